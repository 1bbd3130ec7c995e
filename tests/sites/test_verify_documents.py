"""Verifying what is kept: a byte, a word, a column or a file that is not as it was is named."""

import datetime as dt
import hashlib
from io import BytesIO, StringIO
from pathlib import Path

import pytest
from django.apps import apps
from django.core.management import CommandError, call_command
from django.db import connection
from django.db.models import FileField

from condition.models import ConditionReport, MakeSafeNotice
from restoration.models import Quote
from sites.models import FrozenDocument, InscriptionProof
from sites.services.plan import keep_picture
from sites.verify.checks import checks
from sites.verify.documents import differences, held_twice, troubles_of
from tests.condition.pictures import jpeg
from tests.factories import BuildingFactory, UserFactory
from tests.sites.issued import kept

pytestmark = pytest.mark.django_db

# What a row holds that its snapshot cannot: checked elsewhere, or against the files.
ELSEWHERE = {
    "id": "the row's own",
    "issued_by": "by key, against the document's number",
    "issued_at": "the moment it was frozen, after its data was made",
    "snapshot": "against its digest",
    "snapshot_sha256": "against the snapshot",
    "pdf": "against its digest",
    "pdf_sha256": "against the file",
    "pdf_bytes": "against the file",
    "pages": "known only once it is printed",
    "archival": "against its digest",
    "archival_sha256": "against the file",
    "archival_bytes": "against the file",
    "estimate": "by key, against the document's number",
}
CALLED = {
    "dated": "date",
    "supersedes": "older version",
    "valid_until": "last day",
    "content_sha256": "content",
}


def verify(**options: str) -> tuple[int, str]:
    out, code = StringIO(), 0
    try:
        call_command("verify_documents", stdout=out, **options)
    except SystemExit as ended:
        code = int(ended.code or 0)
    return code, out.getvalue()


def test_what_is_as_it_was_is_counted_and_nothing_else_is_said(files):
    kept(), kept(Quote)
    code, told = verify()
    assert code == 0
    counts = dict(line.split(": ") for line in told.splitlines()[:-1])
    assert counts.pop("database rules").endswith(" read, 0 wrong")
    assert counts == {
        "issued documents": "2 read, 0 wrong",
        "series of numbers": "2 read, 0 wrong",
        "pictures under plans": "0 read, 0 wrong",
        "photographs with their copies": "0 read, 0 wrong",
    }
    assert told.endswith("Nothing is wrong.\n")


def test_one_changed_byte_is_found_and_the_document_named(files):
    report = kept()
    path = Path(files) / report.pdf.name
    data = bytearray(path.read_bytes())
    data[10] ^= 1
    path.write_bytes(data)
    code, told = verify()
    assert code == 1
    assert f"{report.number} version 1 ({report.building}): " in told
    assert "its file has been changed: 31 bytes now, 31 when it was kept" in told
    assert "issued documents: 1 read, 1 wrong\n" in told


def test_a_missing_file_is_named(files):
    report = kept()
    (Path(files) / report.pdf.name).unlink()
    code, told = verify()
    assert code == 1
    assert f"its file is missing: {report.pdf.name}" in told


def test_a_file_that_cannot_be_read_is_named_and_stops_no_other(files):
    report, other = kept(), kept(Quote)
    path = Path(files) / report.pdf.name
    path.unlink()
    path.mkdir()
    (Path(files) / other.pdf.name).unlink()
    code, told = verify()
    assert code == 1
    assert "it cannot be read at present: " in told
    assert "issued documents: 2 read, 2 wrong\n" in told


def test_changed_data_is_found_though_the_file_is_sound(files):
    report = kept(snapshot={"document": {"number": "CR-2026-0009"}})
    code, told = verify()
    assert code == 1
    assert f"{report.number} version 1" in told
    assert "its data (the snapshot) has been changed" in told


@pytest.mark.parametrize("snapshot", [{"share": 1.5}, ["no", "names"], {"document": "a text"}, "x"])
def test_data_of_any_shape_counts_as_changed_and_breaks_nothing(files, snapshot):
    found = troubles_of(kept(snapshot=snapshot))
    assert "its data (the snapshot) has been changed since it was issued" in found
    assert "its number is “CR-2026-0001” in its row and “None” in its data" in found


# Columns against the snapshot.
@pytest.mark.parametrize(
    ("table", "column", "changed", "says"),
    [
        (ConditionReport, "number", "CR-2026-0009", "its number is “CR-2026-0009” in its row"),
        (ConditionReport, "number", "RQ-2026-0001", "its number is none of its kind's"),
        (ConditionReport, "version", 2, "its version is “2” in its row and “1” in its data"),
        (ConditionReport, "dated", dt.date(2025, 1, 2), "its date is “2025-01-02” in its row"),
        (ConditionReport, "building", None, "its building is “"),
        (ConditionReport, "survey", None, "its survey is “"),
        (Quote, "currency", "EUR", "its currency is “EUR” in its row and “USD” in its data"),
        (Quote, "total", 1, "its total is “1” in its row and “1234.50” in its data"),
        (Quote, "valid_until", dt.date(2030, 1, 1), "its last day is “2030-01-01” in its row"),
    ],
)
def test_a_column_that_is_not_what_the_data_says_is_named(files, table, column, changed, says):
    document = kept(table)
    assert troubles_of(document) == []
    if changed is None:
        related = getattr(document, column)
        changed = type(related).objects.get(pk=related.pk)
        changed.pk = UserFactory().pk
    setattr(document, column, changed)
    (found,) = [each for each in differences(document) if says in each]
    assert found


def test_a_row_changed_behind_the_rules_is_found(files):
    quote = kept(Quote)
    with connection.cursor() as cursor:
        for name in _triggers_of(cursor, "restoration_quote"):
            cursor.execute(_drop(name))
        cursor.execute("UPDATE restoration_quote SET total = 99")
    code, told = verify()
    assert code == 1
    assert f"{quote.number} version 1 ({quote.building}): its total is “99.0000” in its row" in told
    assert "rule_restoration_quote_no_" in told
    assert "it is missing: run `manage.py migrate`" in told


def _triggers_of(cursor, table: str) -> list[str]:
    if connection.vendor == "sqlite":
        cursor.execute(
            "SELECT name FROM sqlite_master WHERE type='trigger' AND tbl_name=%s", [table]
        )
    else:
        cursor.execute(
            "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal AND tgrelid = %s::regclass",
            [table],
        )
    return [name for (name,) in cursor.fetchall()]


def _drop(name: str) -> str:
    on = "" if connection.vendor == "sqlite" else ' ON "restoration_quote"'
    return f'DROP TRIGGER "{name}"{on}'


@pytest.mark.parametrize("table", [ConditionReport, MakeSafeNotice, Quote, InscriptionProof])
def test_every_column_of_an_issued_row_is_held_against_something(table, files):
    columns = {field.name for field in table._meta.concrete_fields}
    day = dt.date(2026, 1, 1)
    given = {"valid_until": day, "content_sha256": "0" * 64}
    row = table(
        building=BuildingFactory.build(),
        dated=day,
        snapshot={},
        **{name: value for name, value in given.items() if name in columns},
    )
    held = {name for name, _, _ in held_twice(row)}
    assert {CALLED.get(column, column) for column in columns - set(ELSEWHERE)} == held


def test_every_kind_of_document_is_among_them():
    tables = [table for table in apps.get_models() if issubclass(table, FrozenDocument)]
    assert {table.__name__ for table in tables} == {
        "ConditionReport",
        "MakeSafeNotice",
        "Quote",
        "InscriptionProof",
    }
    assert len({table.kind for table in tables}) == len(tables)


# Other stored files.
def test_a_changed_picture_under_a_plan_is_named(files):
    picture = keep_picture(BuildingFactory(name="St Aldhelm’s"), BytesIO(jpeg()))
    assert verify()[0] == 0
    path = Path(picture.file.path)
    path.write_bytes(path.read_bytes()[:-1] + b"x")
    code, told = verify()
    assert code == 1
    assert "the picture under the plan of St Aldhelm’s" in told
    assert "its file has been changed since it was kept" in told
    assert hashlib.sha256(path.read_bytes()).hexdigest() != picture.sha256


def test_every_stored_file_is_read_by_one_of_the_checks():
    stored = {
        f"{table.__name__}.{field.name}"
        for table in apps.get_models()
        for field in table._meta.concrete_fields
        if isinstance(field, FileField)
    }
    documents = {name for name in stored if name.endswith((".pdf", ".archival"))}
    assert stored - documents == {"Photograph.original", "Rendition.file", "PlanPicture.file"}
    assert {"issued documents", "pictures under plans", "photographs with their copies"} <= {
        check.what for check in checks
    }


# One building.
def test_only_what_is_of_one_building_is_read_on_request(files):
    sound, other = kept(), kept(snapshot={"schema": "changed"}, serial=2)
    code, told = verify(building=str(sound.building_id))
    assert code == 0
    assert "issued documents: 1 read, 0 wrong" in told
    assert "series of numbers: 0 read" in told
    assert verify(building=other.building.name)[0] == 1


def test_a_building_nobody_knows_or_that_two_studios_have_is_refused(files):
    BuildingFactory(name="St Aldhelm’s"), BuildingFactory(name="St Aldhelm’s")
    with pytest.raises(CommandError, match="2 buildings are called"):
        call_command("verify_documents", building="St Aldhelm’s")
    with pytest.raises(CommandError, match="0 buildings are called"):
        call_command("verify_documents", building="St Nobody’s")
