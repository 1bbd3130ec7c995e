"""Verifying issued documents: a byte, a word or a file that is not as issued is found and named."""

import hashlib
from io import StringIO
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command

from sites.documents.canonical import digest
from sites.models import DocumentNumber
from tests.factories import BuildingFactory, ConditionReportFactory, EstimateFactory, QuoteFactory

pytestmark = pytest.mark.django_db
PDF = b"%PDF-1.7 a report of four pages"
SNAPSHOT = {"schema": "saddlebar/condition-report/1", "findings": ["Finding 4"]}


def kept(factory=ConditionReportFactory, **fields):
    """An issued document whose file and data are as they should be."""
    path = default_storage.save("studio/documents/a.pdf", ContentFile(PDF))
    sound = {
        "pdf": path,
        "pdf_sha256": hashlib.sha256(PDF).hexdigest(),
        "pdf_bytes": len(PDF),
        "snapshot": SNAPSHOT,
        "snapshot_sha256": digest(SNAPSHOT),
    }
    return factory(**(sound | fields))


def verify(**options: str) -> tuple[int, str]:
    out, code = StringIO(), 0
    try:
        call_command("verify_documents", stdout=out, **options)
    except SystemExit as ended:
        code = int(ended.code or 0)
    return code, out.getvalue()


def test_documents_as_issued_are_counted_and_nothing_else_is_said(files):
    kept(), kept(QuoteFactory)
    assert verify() == (0, "2 checked, 2 as issued, 0 not as issued.\n")


def test_one_changed_byte_is_found_and_the_document_named(files):
    report = kept()
    path = Path(files) / report.pdf.name
    data = bytearray(path.read_bytes())
    data[10] ^= 1
    path.write_bytes(data)
    code, told = verify()
    assert code == 1
    assert f"{report.number} version 1" in told
    assert "its file has been changed: 31 bytes now, 31 when issued" in told
    assert told.endswith("1 checked, 0 as issued, 1 not as issued.\n")


def test_a_missing_file_is_named(files):
    report = kept()
    (Path(files) / report.pdf.name).unlink()
    code, told = verify()
    assert code == 1
    assert f"its file is missing: {report.pdf.name}" in told


def test_changed_data_is_found_though_the_file_is_sound(files):
    report = kept(snapshot={**SNAPSHOT, "findings": ["Finding 5"]})
    code, told = verify()
    assert code == 1
    assert f"{report.number} version 1" in told
    assert "its data (the snapshot) has been changed" in told


def test_data_that_was_never_canonical_counts_as_changed(files):
    kept(snapshot={"share": 1.5})
    assert verify()[0] == 1


def test_only_the_documents_of_one_building_are_checked_on_request(files):
    sound, other = kept(), kept(snapshot={"schema": "changed"})
    assert verify(building=str(sound.building_id))[0] == 0
    assert verify(building=other.building.name)[0] == 1
    quote = kept(QuoteFactory, estimate=EstimateFactory(building=sound.building))
    assert verify(building=quote.building.name) == (
        0,
        "2 checked, 2 as issued, 0 not as issued.\n",
    )


def test_a_building_nobody_knows_or_that_two_studios_have_is_refused(files):
    BuildingFactory(name="St Aldhelm’s"), BuildingFactory(name="St Aldhelm’s")
    with pytest.raises(CommandError, match="2 buildings are called"):
        call_command("verify_documents", building="St Aldhelm’s")
    with pytest.raises(CommandError, match="0 buildings are called"):
        call_command("verify_documents", building="St Nobody’s")


def test_an_issued_number_whose_row_was_taken_away_is_named(files, user):
    report = kept()
    DocumentNumber.objects.create(
        studio=report.studio,
        kind="CR",
        year=2026,
        serial=77,
        subject=report.survey_id,
        dated=report.dated,
        asked_by=user,
        issued=True,
    )
    code, told = verify()
    assert code == 1
    assert "CR-2026-0077 version 1: it was issued, and its row is gone" in told
    assert "2 checked, 1 as issued, 1 not as issued." in told
