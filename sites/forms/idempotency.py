"""The key a page for a new record carries: sent twice with the same content, one record."""

import hashlib
from collections.abc import Collection
from typing import Any
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.db.models import ForeignKey, Model

from sites.keys import uuid7_from


def read_key(text: Any) -> UUID | None:
    """Return the key in a text; None where it is none."""
    try:
        return UUID(str(text))
    except ValueError:
        return None


def key_for(page_key: UUID, record: Model, data: Any, files: Any, beside: Collection[str]) -> UUID:
    """Return the primary key of the record that this page with this content makes.

    The same page with the same content gives the same key, so the second sending finds what the
    first one saved; other content, or the same sent to another building, gives another key.

    record: not saved yet, with what it belongs to filled in.
    beside: names in what was posted that are no content, such as those of buttons.
    """
    content = hashlib.sha256(record._meta.label.encode())
    for field in record._meta.concrete_fields:
        if isinstance(field, ForeignKey):
            _add(content, field.attname, str(record.__dict__.get(field.attname)))
    for name in sorted(set(data) - set(beside)):
        for value in data.getlist(name) if hasattr(data, "getlist") else [data[name]]:
            _add(content, name, str(value))
    for name in sorted(files or ()):
        for file in files.getlist(name) if hasattr(files, "getlist") else [files[name]]:
            _add(content, name, f"{file.name} {_digest_of(file)}")
    return uuid7_from(page_key, content.digest())


def _add(content: Any, name: str, value: str) -> None:
    """Each with its length before it: no two contents run together into the same bytes."""
    for text in (name, value):
        encoded = text.encode("utf-8", "surrogatepass")
        content.update(len(encoded).to_bytes(8, "big") + encoded)


def _digest_of(file: UploadedFile) -> str:
    digest = hashlib.sha256()
    for chunk in file.chunks():
        digest.update(chunk)
    file.seek(0)
    return digest.hexdigest()
