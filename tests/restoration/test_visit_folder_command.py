"""The command from a folder to two documents: what it prints, writes and returns."""

import errno
import hashlib
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command

from condition.models import ConditionReport, Finding, Photograph
from restoration.models import Quote
from restoration.services.studios import open_studio
from sites.models import Building, Job, VisitFolder
from tests.factories import MembershipFactory
from tests.prepared import DATABASE, migrated
from tests.restoration.visit_folders import (
    SMALL_FINDINGS,
    changed,
    chapel_folder,
    small_folder,
    ten_mistakes_folder,
)

# What is printed is the same on either engine; the importing itself is tried on both elsewhere.
pytestmark = pytest.mark.one_engine
ROOT = Path(__file__).resolve().parent.parent.parent


@pytest.fixture
def ada(db, files):
    """The owner of a studio that prices in dollars, and of one that prices in euro."""
    studio = open_studio("Alder Lane Glass")
    user = MembershipFactory(studio=studio, building=None, user__email="ada@studio.example").user
    MembershipFactory(studio=open_studio("Atelier", currency="EUR"), building=None, user=user)
    return user


def run(folder: Path, *more: object, studio: str = "Alder Lane Glass") -> None:
    arguments = ["--studio", studio, "--user", "Ada@studio.example", *map(str, more)]
    call_command("bring_in", str(folder), *arguments)


def test_a_folder_becomes_a_report_and_a_quote(ada, tmp_path, capsys):
    root, out = small_folder(tmp_path / "visit"), tmp_path / "out"
    run(root, "--out", out)
    report, quote = ConditionReport.objects.get(), Quote.objects.get()
    names = {f"{each.number}-v1.pdf": each.pdf_sha256 for each in (report, quote)}
    written = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in out.iterdir()}
    assert written == names
    assert all(path.read_bytes().startswith(b"%PDF-") for path in out.iterdir())
    shown = capsys.readouterr().out
    told = ("reading the folder", "prepared 4 of 4 photographs", "issuing the report")
    for line in (*told, "issuing the quote", "Taken in: 1 building, 3 openings", *names.values()):
        assert line in shown
    assert (report.issued_by, quote.issued_by) == (ada, ada)
    assert str(report.survey.day) == "2026-05-04"

    # Run again, it says so, and writes the very same documents out.
    shutil.rmtree(out)
    run(root, "--out", out)
    assert "nothing was changed" in capsys.readouterr().out
    again = {path.name: hashlib.sha256(path.read_bytes()).hexdigest() for path in out.iterdir()}
    assert again == names
    assert ConditionReport.objects.count() == Quote.objects.count() == 1


def test_a_folder_of_another_shape_becomes_both_documents_too(ada, tmp_path):
    out = tmp_path / "out"
    run(chapel_folder(tmp_path / "visit"), "--out", out, studio="Atelier")
    assert Quote.objects.get().currency == "EUR"
    assert len(list(out.glob("*.pdf"))) == 2
    assert Photograph.objects.filter(state="ready").count() == 4


def test_mistakes_are_listed_and_nothing_is_written(ada, tmp_path, files, capsys):
    out = tmp_path / "out"
    with pytest.raises(CommandError, match="Nothing was changed") as caught:
        run(ten_mistakes_folder(tmp_path / "visit"), "--out", out)
    assert caught.value.returncode == 1
    shown = capsys.readouterr().err.splitlines()
    assert shown[0] == "10 problems in this folder:"
    assert len(shown) == 11
    assert not out.exists()
    assert not Building.objects.exists()
    assert not [path for path in files.rglob("*") if path.is_file()]


def test_a_full_disk_is_said_in_words_and_the_next_run_completes(ada, tmp_path, monkeypatch):
    def full(*args, **options):
        raise OSError(errno.ENOSPC, "No space left on device")

    root = small_folder(tmp_path / "visit")
    with monkeypatch.context() as broken:
        broken.setattr("restoration.services.visit_folder.bringing_in.make_copies", full)
        with pytest.raises(CommandError, match="The disk refused: No space left on device"):
            run(root, "--no-documents")
    run(root, "--no-documents")
    assert VisitFolder.objects.count() == 1


def test_checking_alone_says_what_it_would_bring(ada, tmp_path, capsys):
    run(small_folder(tmp_path / "visit"), "--check-only")
    assert "Nothing is wrong. It would bring: 1 building, 3 openings" in capsys.readouterr().out
    assert not Building.objects.exists()


def test_documents_that_were_left_out_are_issued_the_next_time(ada, tmp_path, capsys):
    root = small_folder(tmp_path / "visit")
    run(root, "--no-documents")
    assert not Job.objects.exists()
    run(root, "--out", tmp_path / "out")
    assert len(list((tmp_path / "out").glob("*.pdf"))) == 2


def test_a_quote_that_cannot_be_priced_is_said_and_the_report_is_issued(ada, tmp_path, capsys):
    findings = changed(SMALL_FINDINGS, "Actions", 2, "quantity", "")
    with pytest.raises(CommandError, match="No quote: Enter a quantity") as caught:
        run(small_folder(tmp_path / "v", findings=findings), "--out", tmp_path / "out")
    assert "The folder is taken in." in str(caught.value)
    assert [path.name[:2] for path in (tmp_path / "out").iterdir()] == ["CR"]


def test_a_stored_document_that_is_altered_or_gone_is_not_written_out(ada, tmp_path):
    root, out = small_folder(tmp_path / "visit"), tmp_path / "out"
    run(root, "--out", out)
    path = Path(Quote.objects.get().pdf.path)
    path.write_bytes(path.read_bytes() + b"%")
    shutil.rmtree(out)
    with pytest.raises(CommandError, match=r"No quote: .* is not the one issued"):
        run(root, "--out", out)
    assert [path.name[:2] for path in out.iterdir()] == ["CR"]
    path.unlink()
    with pytest.raises(CommandError, match=r"No quote: .* is gone"):
        run(root, "--out", out)
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(CommandError, match="cannot be written"):
        run(root, "--out", tmp_path / "file")


def test_files_that_are_no_part_of_a_folder_are_named(ada, tmp_path, capsys):
    root = small_folder(tmp_path / "visit")
    (root / "letter.pdf").write_bytes(b"a letter")
    run(root, "--check-only")
    assert "Left alone, being no part of a visit folder: letter.pdf" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("options", "message"),
    [
        ({}, "--out"),
        ({"studio": "Nobody"}, "There is: Alder Lane Glass"),
        ({"user": "nobody@studio.example"}, "Nobody signs in as"),
        ({"user": "reader@studio.example"}, "may not do this"),
    ],
)
def test_who_may_not_and_what_is_missing_is_said(ada, tmp_path, options, message):
    building = Building.objects.create(
        studio=open_studio("Alder Lane Glass"), name="Elsewhere", place="Fen"
    )
    MembershipFactory(building=building, role="owner", user__email="reader@studio.example")
    asked = {"studio": "Alder Lane Glass", "user": "ada@studio.example"} | options
    out = ["--out", str(tmp_path / "out")] if options else []
    with pytest.raises(CommandError, match=message):
        call_command(
            "bring_in", str(tmp_path), "--studio", asked["studio"], "--user", asked["user"], *out
        )


# ---- killed for good -------------------------------------------------------------------------

KILLED_AT = {
    "originals stored, no row yet": "writing.FolderWriter.write",
    "in the middle of the rows": "writing.FolderWriter._write_photographs",
    "rows in, no copies yet": "bringing_in.make_copies",
}
SCRIPT = """
import os, signal, sys
import django
django.setup()
from django.core.management import call_command
from restoration.services.visit_folder import bringing_in, writing
spot = os.environ.get("KILLED_AT")
if spot:
    *path, name = spot.split(".")
    where = globals()[path[0]] if len(path) == 1 else getattr(globals()[path[0]], path[1])
    setattr(where, name, lambda *args, **kwargs: os.kill(os.getpid(), signal.SIGKILL))
call_command("bring_in", *sys.argv[1:])
"""


@pytest.fixture(scope="module")
def prepared(tmp_path_factory):
    """A data folder with a studio and a user, made once for the tests that kill."""
    folder = tmp_path_factory.mktemp("prepared")
    shutil.copy(migrated(), folder / DATABASE)
    setup = (
        "import django; django.setup()\n"
        "from django.core.management import call_command as do\n"
        "do('open_studio', 'S')\n"
        "do('add_user', 'a@s.example', '--name', 'A', '--role', 'owner', '--studio', 'S')\n"
    )
    assert child(setup, folder).returncode == 0
    return folder


def child(
    script: str, data: Path, *arguments: object, spot: str = ""
) -> subprocess.CompletedProcess:
    environment = {key: value for key, value in os.environ.items() if key != "DATABASE_URL"}
    environment |= {
        "DJANGO_SETTINGS_MODULE": "restoration.settings.base",
        "SECRET_KEY": "a-key-for-tests-only-" * 4,
        "DATA_DIR": str(data),
        # What a killed child cannot take away goes with the test's own folder.
        "TMPDIR": str(data.parent),
        "KILLED_AT": spot,
        "LOG_LEVEL": "WARNING",
    }
    command = [sys.executable, "-c", script, *map(str, arguments)]
    return subprocess.run(command, cwd=ROOT, env=environment, capture_output=True, text=True)


def count(data: Path, table: str) -> int:
    with sqlite3.connect(data / "saddlebar.sqlite3") as connection:
        (number,) = connection.execute(f"SELECT count(*) FROM {table}").fetchone()
    connection.close()
    return number


@pytest.mark.faults
@pytest.mark.parametrize("moment", KILLED_AT)
def test_a_killed_import_is_nothing_or_all_and_the_next_run_completes_it(
    prepared, tmp_path, moment
):
    data = tmp_path / "data"
    shutil.copytree(prepared, data)
    arguments = [
        small_folder(tmp_path / "visit"), "--studio", "S", "--user", "a@s.example",
        "--no-documents",
    ]  # fmt: skip
    killed = child(SCRIPT, data, *arguments, spot=KILLED_AT[moment])
    assert killed.returncode == -signal.SIGKILL
    tables = ("sites_building", "condition_finding", "condition_photograph", "sites_visitfolder")
    whole = moment.startswith("rows in")
    assert [bool(count(data, table)) for table in tables] == [whole] * 4

    completed = child(SCRIPT, data, *arguments)
    assert completed.returncode == 0, completed.stderr
    assert [count(data, table) for table in tables] == [1, 3, 4, 1]
    assert count(data, "condition_rendition") == 12


def test_the_row_of_a_folder_says_where_its_keys_went(ada, tmp_path):
    run(small_folder(tmp_path / "visit"), "--no-documents")
    folder = VisitFolder.objects.get()
    keys = set(Finding.objects.values_list("own_key", flat=True))
    assert keys == {"2015-003", "2026-001", "2026-002"}
    assert folder.keys["latest survey"] == folder.keys["surveys"]["2026"]
    assert folder.taken_in_by == ada
