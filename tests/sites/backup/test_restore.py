"""A restored record is the record: on each engine, and from each to the other."""

import errno
import hashlib
import shlex
import shutil

import pytest
from django.contrib.auth.models import Group, Permission
from django.core.files.storage import FileSystemStorage
from django.core.management import CommandError
from django.db import DatabaseError, transaction

from condition.models import ConditionReport, Finding, Photograph
from condition.services.photographs import prepare_photograph
from sites.backup.folder import Backups, StoredFile
from sites.backup.restoring import put_into_storage
from sites.errors import JobFailedError
from sites.management.commands.restore import Command
from sites.models import Building, Change
from sites.rules.install import missing_rules
from tests.sites.backup import plain
from tests.sites.backup.installations import OWN_ENGINE
from tests.sites.backup.world import FIRST

pytestmark = pytest.mark.django_db


def restored(installations, engine, source):
    made = installations.new(engine)
    with made:
        code, words = made.manage("restore", source)
    assert code == 0, words
    assert "Restored and compared" in words
    return made


def assert_same_record(one, other):
    assert plain.differences(plain.record(one), plain.record(other)) == []
    assert plain.files(one.media) == plain.files(other.media)


@pytest.fixture(scope="module")
def copy(studio, backups, installations, django_db_blocker):
    """The record restored on its own engine."""
    with django_db_blocker.unblock():
        return restored(installations, OWN_ENGINE, backups)


@pytest.fixture
def working(copy):
    """The restored installation, in use; what a test changes in it is undone."""
    with copy, transaction.atomic():
        yield copy
        transaction.set_rollback(True)


def test_the_record_to_be_compared_is_worth_it(studio):
    counts = plain.counts(studio)
    assert len(counts) > 25
    assert counts["sites_change"] >= 2
    assert len(plain.files(studio.media)) > 5


def test_restored_on_the_same_engine_it_is_equal(studio, copy):
    assert_same_record(studio, copy)


def test_restored_across_the_engines_and_back_it_is_equal(studio, backups, installations, tmp_path):
    """Where there is a PostgreSQL: from there to SQLite, worked in, and back to PostgreSQL."""
    moved = restored(installations, "sqlite", backups)
    assert_same_record(studio, moved)
    with moved:
        # What SQLite's own triggers write differs in form from PostgreSQL's.
        Building.objects.update(ritual_east="12.5", built="c. 1890")
        assert moved.manage("backup", tmp_path / "backups")[0] == 0
    back = restored(installations, OWN_ENGINE, tmp_path / "backups")
    assert_same_record(moved, back)
    assert len(plain.record(back)["sites_change"]) > len(plain.record(studio)["sites_change"])


def test_restored_documents_verify_as_those_that_were_backed_up(studio, copy):
    with studio:
        wanted = studio.manage("verify_documents")
    with copy:
        code, words = copy.manage("verify_documents")
    assert (code, words) == wanted
    assert "its file" not in words
    assert "photographs with their copies: 1 read, 0 wrong" in words


def test_the_database_holds_to_its_rules_again(working):
    assert missing_rules() == []
    with pytest.raises(DatabaseError), transaction.atomic():
        ConditionReport.objects.update(pages=99)
    before = Change.objects.count()
    Building.objects.update(place="Elsewhere")
    assert Change.objects.count() == before + Building.objects.count()


def test_new_rows_get_keys_that_no_row_ever_had(working):
    group = Group.objects.get()
    keys = Group.permissions.through.objects.values_list("pk", flat=True)
    assert list(keys.order_by("pk")) == [1, 2]
    group.permissions.add(Permission.objects.order_by("pk")[0])
    # Number 3 was given, and its row taken away before the backup.
    assert keys.order_by("-pk")[0] == 4


def test_the_keys_of_the_history_go_on(working):
    greatest = Change.objects.order_by("-pk").values_list("pk", flat=True)[0]
    Finding.objects.filter(pk=FIRST).update(note="seen again")
    assert Change.objects.order_by("-pk")[0].pk > greatest


def test_nothing_is_restored_over_a_record(studio, backups):
    before = plain.record(studio)
    with studio, pytest.raises(CommandError, match=r"not empty.*sites_building"):
        studio.manage("restore", backups)
    assert plain.differences(before, plain.record(studio)) == []


def test_files_that_are_gone_are_brought_back_and_no_other_is_touched(
    studio, backups, installations
):
    copy = restored(installations, OWN_ENGINE, backups)
    with copy:
        photograph, report = Photograph.objects.get(), ConditionReport.objects.get()
    for name in (photograph.original.name, report.pdf.name):
        (copy.media / name).unlink()
    other = next(copy.media.glob("plans/*/*.jpg"))
    other.write_bytes(b"changed by somebody")
    with copy:
        code, words = copy.manage("restore", backups, "--missing-files")
    assert code == 0
    assert f"Brought back: {report.pdf.name}" in words
    assert words.endswith("2 files brought back, 0 still missing.\n")
    assert other.read_bytes() == b"changed by somebody"
    assert [
        path
        for path, digest in plain.files(studio.media).items()
        if digest not in plain.files(copy.media).values()
    ] == [str(other.relative_to(copy.media))]


def test_a_file_is_brought_back_as_it_was_before_it_was_damaged(
    studio, backups, installations, tmp_path
):
    later = shutil.copytree(backups, tmp_path / "backups")
    copy = restored(installations, OWN_ENGINE, later)
    damaged = next(copy.media.glob("plans/*/*.jpg"))
    damaged.write_bytes(b"changed by somebody")
    with copy:
        assert copy.manage("backup", later)[0] == 1
        damaged.unlink()
        assert copy.manage("restore", later, "--missing-files")[0] == 0
    assert plain.files(copy.media) == plain.files(studio.media)


def test_a_file_that_is_only_damaged_in_the_backups_is_not_brought_back(
    backups, installations, tmp_path
):
    copy = restored(installations, OWN_ENGINE, backups)
    damaged = next(copy.media.glob("plans/*/*.jpg"))
    damaged.write_bytes(b"changed by somebody")
    with copy:
        copy.manage("backup", tmp_path / "new")
        damaged.unlink()
        code, words = copy.manage("restore", tmp_path / "new", "--missing-files")
    assert code == 1
    assert f"In no backup here: {damaged.relative_to(copy.media)}" in words
    assert not damaged.exists()


def test_a_file_that_differs_goes_only_once_storage_has_taken_the_other(
    studio, backups, installations, monkeypatch
):
    copy = restored(installations, OWN_ENGINE, backups)
    differs = next(copy.media.glob("plans/*/*.jpg"))
    name = str(differs.relative_to(copy.media))
    content = (studio.media / name).read_bytes()
    file = StoredFile(name, hashlib.sha256(content).hexdigest(), len(content), "")
    differs.write_bytes(b"somebody's own")

    def full(storage, name, content):
        (copy.media / name).write_bytes(b"half")
        raise OSError(errno.ENOSPC, "No space left on device")

    with copy:
        with monkeypatch.context() as disk:
            disk.setattr(FileSystemStorage, "_save", full)
            with pytest.raises(OSError, match="No space"):
                put_into_storage(Backups(backups), file)
        assert differs.read_bytes() == b"somebody's own"
        put_into_storage(Backups(backups), file)
    assert plain.files(copy.media) == plain.files(studio.media)


def test_a_file_that_no_backup_has_is_named(copy, backups):
    with copy, transaction.atomic():
        Photograph.objects.update(original="gone/original.jpg", sha256="0" * 64)
        code, words = copy.manage("restore", backups, "--missing-files")
        transaction.set_rollback(True)
    assert code == 1
    assert "In no backup here: gone/original.jpg" in words


def test_who_meets_a_missing_original_is_told_a_command_that_there_is(working):
    photograph = Photograph.objects.get()
    photograph.state = "received"
    photograph.original.name = "gone/original.jpg"
    with pytest.raises(JobFailedError) as failed:
        prepare_photograph(photograph)
    command = shlex.split(str(failed.value).split("`")[1])
    assert command[:2] == ["manage.py", "restore"]
    assert Command().create_parser("manage.py", "restore").parse_args(command[2:]).missing_files
