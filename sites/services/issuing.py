"""Issuing a document: print it, keep the file, and freeze its row, in steps that may be repeated.

A worker may die between any two of them. What counts is the frozen row, inserted last and in one
transaction with the end of its number's reservation; a file that no row names was never issued.
"""

import hashlib
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeVar
from uuid import UUID

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.utils import timezone

from sites.documents.canonical import canonical, digest
from sites.keys import uuid7
from sites.models import Building, DocumentNumber, FrozenDocument
from sites.printing import Attachment, Printed, print_pdf

logger = logging.getLogger(__name__)

Document = TypeVar("Document", bound=FrozenDocument)
SNAPSHOT_NAME = "snapshot.json"


@dataclass(frozen=True)
class Draft:
    """A document ready to print: its data, its pages as HTML, and the pictures they show."""

    snapshot: dict[str, Any]
    html: str
    images: Mapping[str, Path]
    # A description of the data that goes with it, such as its schema.
    extra_attachments: tuple[Attachment, ...] = ()
    archival: bool = False


def print_draft(draft: Draft) -> Printed:
    """Return the draft as a PDF that carries its own snapshot. Outside any transaction.

    Raises PrintError in the user's words.
    """
    data = Attachment(
        SNAPSHOT_NAME,
        canonical(draft.snapshot),
        "The data this document was printed from, as JSON",
        "Source",
    )
    return print_pdf(
        draft.html,
        images=draft.images,
        attachments=(data, *draft.extra_attachments),
        archival=draft.archival,
    )


def freeze(
    table: type[Document],
    *,
    number: DocumentNumber,
    building: Building,
    supersedes: Document | None,
    draft: Draft,
    printed: Printed,
    **fields: Any,
) -> Document:
    """Store the file and insert the row for ever; the number is no longer reserved but issued.

    Two workers may come here with one number, when the first was thought dead: the row of the
    first stands, the second's file is thrown away, and both get the same row back.
    """
    key = uuid7()
    path = _store(f"{number.studio_id}/documents/{key}.pdf", printed.pdf)
    kept = _kept(number, key, printed.archival) if printed.archival else {}
    issued = _insert(
        table,
        number,
        id=key,
        building=building,
        supersedes=supersedes,
        snapshot=draft.snapshot,
        snapshot_sha256=digest(draft.snapshot),
        pdf=path,
        pdf_sha256=hashlib.sha256(printed.pdf).hexdigest(),
        pdf_bytes=len(printed.pdf),
        pages=printed.pages,
        **kept,
        **fields,
    )
    # Thrown away only when another's row stands: after an error we cannot know whether ours
    # went in (a commit whose answer was lost), and a file too many does no harm.
    if issued.pk != key:
        for stored in filter(None, (path, kept.get("archival"))):
            default_storage.delete(stored)
    return issued


def _kept(number: DocumentNumber, key: UUID, pdf: bytes) -> dict[str, Any]:
    """The copy for keeping, stored: the fields of a row that has one."""
    return {
        "archival": _store(f"{number.studio_id}/documents/{key}-archival.pdf", pdf),
        "archival_sha256": hashlib.sha256(pdf).hexdigest(),
        "archival_bytes": len(pdf),
    }


def _store(name: str, data: bytes) -> str:
    return default_storage.save(name, ContentFile(data))


@transaction.atomic
def _insert(table: type[Document], number: DocumentNumber, **fields: Any) -> Document:
    # The lock makes a second worker wait here until the first has issued; on SQLite the
    # transaction itself does.
    held = DocumentNumber.objects.select_for_update().get(pk=number.pk)
    if held.issued:
        return table.objects.get(studio=held.studio_id, number=held.number, version=held.version)
    issued = table.objects.create(
        studio_id=held.studio_id,
        number=held.number,
        version=held.version,
        # As printed: a second attempt may have dated the reservation anew meanwhile.
        dated=number.dated,
        issued_at=timezone.now(),
        issued_by_id=number.asked_by_id,
        **fields,
    )
    held.issued = True
    held.save(update_fields=["issued"])
    logger.info("%s %s issued", table._meta.label, issued.pk)
    return issued
