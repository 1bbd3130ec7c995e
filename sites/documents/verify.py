"""Checking that issued documents are still what they were when they were issued."""

import hashlib
from collections.abc import Iterator

from django.apps import apps
from django.db.models.fields.files import FieldFile
from django.utils.translation import gettext as _

from sites.documents.canonical import digest
from sites.models import Building, DocumentNumber, FrozenDocument

CHUNK_BYTES = 1024 * 1024


def issued_documents(building: Building | None = None) -> Iterator[FrozenDocument]:
    """Yield every issued document of every kind, oldest number first; or those of a building."""
    for table in apps.get_models():
        if issubclass(table, FrozenDocument):
            rows = table.objects.select_related("building").order_by("number", "version")
            if building is not None:
                rows = rows.filter(building=building)
            # Snapshots are large: never all of them in memory at once.
            yield from rows.iterator(chunk_size=20)


def rows_that_are_gone() -> list[str]:
    """Return each number that was issued and has no document any more, in words.

    The number's own row outlives the frozen one, whoever took that away and however.
    """
    there = {
        key
        for table in apps.get_models()
        if issubclass(table, FrozenDocument)
        for key in table.objects.values_list("studio_id", "number", "version")
    }
    return [
        _("%s: it was issued, and its row is gone") % number
        for number in DocumentNumber.objects.filter(issued=True).order_by("year", "serial")
        if (number.studio_id, number.number, number.version) not in there
    ]


def troubles_of(document: FrozenDocument) -> list[str]:
    """Return what is wrong with a document as it is kept: its file, its data, or both."""
    found = [
        trouble
        for file, sha256, length in files_of(document)
        for trouble in _of_file(file, sha256, length)
    ]
    try:
        unchanged = digest(document.snapshot) == document.snapshot_sha256
    except TypeError:
        unchanged = False
    if not unchanged:
        found.append(_("its data (the snapshot) has been changed since it was issued"))
    return found


def files_of(document: FrozenDocument) -> Iterator[tuple[FieldFile, str, int]]:
    """Yield each file of a document with its digest and length as issued.

    The one for reading; and the one for keeping, where the kind of document has one.
    """
    yield document.pdf, document.pdf_sha256, document.pdf_bytes
    if archival := getattr(document, "archival", None):
        yield archival, document.archival_sha256, document.archival_bytes  # type: ignore[attr-defined]


def _of_file(kept: FieldFile, sha256: str, length: int) -> Iterator[str]:
    try:
        sha256_now, length_now = _read(kept)
    except FileNotFoundError:
        yield _("its file is missing: %s") % kept.name
        return
    except OSError as problem:
        yield _("its file cannot be read: %(name)s (%(why)s)") % {
            "name": kept.name,
            "why": problem.strerror or problem,
        }
        return
    if sha256_now != sha256:
        yield _("its file has been changed: %(now)d bytes now, %(then)d when issued") % {
            "now": length_now,
            "then": length,
        }


def _read(kept: FieldFile) -> tuple[str, int]:
    sha256, length = hashlib.sha256(), 0
    with kept.open("rb") as file:
        for chunk in file.chunks(CHUNK_BYTES):
            sha256.update(chunk)
            length += len(chunk)
    return sha256.hexdigest(), length
