"""Issued documents as they ought to be, for tests of what is found where they are not."""

import hashlib
from decimal import Decimal
from typing import Any

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage

from condition.models import ConditionReport
from restoration.models import Quote
from sites.documents.canonical import digest
from sites.models import DocumentNumber
from tests.factories import EstimateFactory, SurveyFactory, UserFactory, issued_fields

PDF = b"%PDF-1.7 a report of four pages"
AS_MADE = {
    ConditionReport: lambda: {"survey": SurveyFactory()},
    Quote: lambda: {
        "estimate": EstimateFactory(),
        "valid_until": issued_fields("")["dated"],
        "currency": "USD",
        "total": Decimal("1234.50"),
    },
}


def kept(table=ConditionReport, serial: int = 1, **fields: Any):
    """An issued document whose file, data, columns and number are as they should be.

    fields: set otherwise than the snapshot and the number have it.
    """
    own = AS_MADE[table]()
    building = own[table.subject].building
    sound = issued_fields(
        f"{table.kind}-2026-{serial:04d}",
        building=building,
        studio=building.studio,
        issued_by=UserFactory(),
        pdf=default_storage.save("studio/documents/a.pdf", ContentFile(PDF)),
        pdf_sha256=hashlib.sha256(PDF).hexdigest(),
        pdf_bytes=len(PDF),
        **own,
    )
    sound["snapshot"] = snapshot_of(table(**sound))
    sound["snapshot_sha256"] = digest(sound["snapshot"])
    number_of(table(**sound))
    document = table(**(sound | fields))
    document.save(force_insert=True)
    return document


def number_of(document, **changed: Any) -> DocumentNumber:
    """The number that a document was issued under."""
    fields = {
        "studio": document.studio,
        "kind": document.kind,
        "year": 2026,
        "serial": int(document.number[-4:]),
        "version": document.version,
        "subject": getattr(document, f"{document.subject}_id"),
        "dated": document.dated,
        "asked_by": document.issued_by,
        "issued": True,
    }
    return DocumentNumber.objects.create(**(fields | changed))


def snapshot_of(document) -> dict[str, Any]:
    """What a snapshot says of its document, and nothing else."""
    told = {
        "document": {
            "number": document.number,
            "version": document.version,
            "dated": document.dated.isoformat(),
            "supersedes": None,
        },
        "building": {"id": str(document.building_id)},
    }
    if isinstance(document, ConditionReport):
        return told | {"survey": {"id": str(document.survey_id)}}
    return told | {
        "stands_until": document.valid_until.isoformat(),
        "currency": document.currency,
        "total": {"amount": "1234.50", "words": "$1,234.50"},
    }
