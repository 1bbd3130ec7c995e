"""Checking that issued documents are still what they were when they were issued."""

import re
from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.db.models.fields.files import FieldFile
from django.utils.translation import gettext as _

from sites.documents.canonical import digest
from sites.models import Building, FrozenDocument
from sites.verify.checks import Found
from sites.verify.stored import file_trouble


def document_tables() -> list[type[FrozenDocument]]:
    """Return the table of every kind of document there is."""
    return [table for table in apps.get_models() if issubclass(table, FrozenDocument)]


def issued_documents(building: Building | None = None) -> Iterator[FrozenDocument]:
    """Yield every issued document of every kind, oldest number first; or those of a building."""
    for table in document_tables():
        manager: Any = table.objects
        rows = manager.select_related("building", "supersedes").order_by("number", "version")
        if building is not None:
            rows = rows.filter(building=building)
        # Snapshots are large: never all of them in memory at once.
        yield from rows.defer("supersedes__snapshot").iterator(chunk_size=20)


def read_document(document: FrozenDocument) -> Found:
    """Return what is wrong with one issued document."""
    return Found(troubles_of(document))


def name_of(document: FrozenDocument) -> str:
    return f"{document} ({document.building})"


def troubles_of(document: FrozenDocument) -> list[str]:
    """Return what is wrong with a document as it is kept: its files, its data, its columns."""
    read = [file_trouble(*file) for file in files_of(document)]
    found = [trouble for trouble in read if trouble]
    try:
        unchanged = digest(document.snapshot) == document.snapshot_sha256
    except TypeError:
        unchanged = False
    if not unchanged:
        found.append(_("its data (the snapshot) has been changed since it was issued"))
    return [*found, *differences(document)]


def differences(document: FrozenDocument) -> Iterator[str]:
    """Yield a sentence for each column of an issued row that is not what its snapshot says."""
    if not re.fullmatch(rf"{document.kind}-[0-9]{{4}}-[0-9]{{4,}}", document.number):
        yield _("its number is none of its kind's: %s") % document.number
    for column, kept, printed in held_twice(document):
        if kept != printed:
            yield _("its %(column)s is “%(kept)s” in its row and “%(printed)s” in its data") % {
                "column": column,
                "kept": kept,
                "printed": printed,
            }


def held_twice(document: FrozenDocument) -> Iterator[tuple[str, object, object]]:
    """Yield each column that the snapshot holds too: its name, its value, the snapshot's."""
    yield from document.held_twice()
    # What an approval of the document stands for, where its kind has one.
    if kept := getattr(document, "content_sha256", ""):
        content = document.printed("content")
        yield "content", kept, digest(content) if content is not None else None


def files_of(document: FrozenDocument) -> Iterator[tuple[FieldFile, str, int]]:
    """Yield each file of a document with its digest and length as issued.

    The one for reading; and the one for keeping, where the kind of document has one.
    """
    yield document.pdf, document.pdf_sha256, document.pdf_bytes
    if archival := getattr(document, "archival", None):
        yield archival, document.archival_sha256, document.archival_bytes  # type: ignore[attr-defined]
