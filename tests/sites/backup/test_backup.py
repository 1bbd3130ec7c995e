"""What is in a backup, what a second one copies, and what is said when it cannot be made."""

import datetime as dt
import fcntl
import json
import os
import resource
import shutil
import subprocess
from contextlib import contextmanager
from io import BytesIO
from itertools import count
from pathlib import Path

import pytest
from django.apps import apps
from django.core.files.storage import default_storage
from django.core.management import CommandError
from django.db import connection, models, transaction

from condition.models import Photograph, Rendition
from sites.backup import making, tables
from sites.models import Building, PlanPicture
from sites.services.plan import keep_picture, remove_picture
from tests.condition.pictures import jpeg, quarters
from tests.factories import BuildingFactory
from tests.sites.backup import plain
from tests.sites.backup.installations import in_threads

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


def newest(folder: Path) -> Path:
    return max(folder.glob("2*Z*"), key=lambda path: path.stat().st_mtime_ns)


@pytest.fixture
def target(backups, tmp_path) -> Path:
    """A folder that has one backup already; times of files as they were."""
    return Path(shutil.copytree(backups, tmp_path / "backups"))


def test_every_table_and_column_of_the_database_is_in_it(studio, backups):
    """Found by asking the database itself: a new table that is left out fails here."""
    backup = newest(backups)
    raw = studio.raw()
    there = {
        f"{table}.{column}" for table, kinds in plain.tables(raw).items() for column in kinds
    } - plain.computed_columns(raw)
    raw.close()
    manifest = json.loads((backup / "manifest.json").read_text("utf-8"))
    columns = {part["table"]: part["columns"] for part in manifest["tables"]}
    assert {f"{table}.{column}" for table in columns for column in columns[table]} == there
    assert {path.stem for path in backup.glob("tables/*.jsonl")} == set(columns)
    assert list(manifest["left_out"]) == ["django_session"]


def test_its_rows_are_read_without_the_program(studio, backups):
    lines = (newest(backups) / "tables/sites_opening.jsonl").read_text("utf-8").splitlines()
    (opening,) = [json.loads(line) for line in lines if "873" in line]
    assert opening["width_mm"] == "873.521875"
    assert json.loads(opening["light_widths_mm"]) == ["436.76", "436.76"]


def test_it_is_checked_with_general_tools_as_its_own_page_says(backups):
    commands = [
        line.strip()
        for line in (backups / "READ-ME.txt").read_text("utf-8").splitlines()
        if line.strip().startswith(("sha256sum", "find"))
    ]
    for command, folder in zip(commands, (newest(backups), backups / "files"), strict=True):
        subprocess.run(["bash", "-ec", command], cwd=folder, check=True, capture_output=True)


def test_every_stored_file_is_kept_in_the_one_storage_that_is_backed_up():
    assert [
        str(field)
        for model in apps.get_models()
        for field in model._meta.local_fields
        if isinstance(field, models.FileField) and field.storage is not default_storage
    ] == []


def test_a_column_of_a_new_sort_is_refused_until_it_has_a_form(studio, target, monkeypatch):
    monkeypatch.delitem(tables.TYPE_NAMES, "DecimalField")
    with studio, pytest.raises(CommandError, match=r"column \w+\.\w+ is a DecimalField"):
        studio.manage("backup", target)
    assert_only_the_earlier_backup(target)


def test_a_second_backup_copies_only_what_is_new(desk, target):
    with desk:
        desk.manage("backup", target)
        before = {path: path.stat().st_ino for path in target.glob("files/*/*")}
        assert "0 of them copied now" in desk.manage("backup", target)[1]
        assert {path: path.stat().st_ino for path in target.glob("files/*/*")} == before
        building = Building.objects.get(name__startswith="Chapel")
        picture = keep_picture(building, BytesIO(jpeg(quarters(size=(40, 40)))))
        assert "1 of them copied now" in desk.manage("backup", target)[1]
        remove_picture(picture)
    assert len(list(target.glob("2*Z*"))) == 4
    assert plain.parts_not_as_written(newest(target)) == []


def test_what_was_damaged_in_the_backup_is_copied_again(studio, target):
    content = sorted(target.glob("files/*/*"))[0]
    content.write_bytes(b"x" * content.stat().st_size)
    with studio:
        assert "is damaged in the backup" in studio.manage("backup", target)[1]
    assert plain.sha256(content) == content.name
    content.write_bytes(b"x" * content.stat().st_size)
    with studio:
        assert "is damaged" not in studio.manage("backup", target, "--check-new")[1]


def test_what_was_cut_short_in_the_backup_is_copied_again(studio, target):
    content = sorted(target.glob("files/*/*"))[0]
    whole = content.read_bytes()
    content.write_bytes(whole[:-1])
    with studio:
        assert "1 of them copied now" in studio.manage("backup", target, "--check-new")[1]
    assert content.read_bytes() == whole


def test_what_is_written_after_its_first_table_was_read_is_in_none(desk, tmp_path, monkeypatch):
    read, written = making.table_lines, []

    def write_meanwhile(_number) -> None:
        written.append(BuildingFactory(name="Built meanwhile"))
        connection.close()

    def read_and_let_write(model):
        yield from read(model)
        if not written:
            with in_threads(1, write_meanwhile):
                pass

    monkeypatch.setattr(making, "table_lines", read_and_let_write)
    with desk:
        assert desk.manage("backup", tmp_path / "backups")[0] == 0
        assert Building.objects.filter(name="Built meanwhile").exists()
    rows = (newest(tmp_path / "backups") / "tables/sites_building.jsonl").read_text("utf-8")
    assert "Chapel without a plan" in rows
    assert "Built meanwhile" not in rows


def test_a_missing_file_is_named_and_stays_in_the_backup_that_had_it(desk, target):
    with desk:
        original = desk.media / Photograph.objects.get().original.name
        data, times = original.read_bytes(), original.stat()
        original.unlink()
        code, words = desk.manage("backup", target)
        original.write_bytes(data)
        os.utime(original, ns=(times.st_atime_ns, times.st_mtime_ns))
    assert code == 1
    assert f"not in storage: {original.relative_to(desk.media)}" in words
    assert str(original.relative_to(desk.media)) in (newest(target) / "files.jsonl").read_text()


def test_a_missing_file_that_no_backup_has_is_said_to_be_in_none(desk, tmp_path):
    with desk, transaction.atomic():
        Rendition.objects.filter(size=800).update(file="gone/800.jpg", sha256="0" * 64)
        code, words = desk.manage("backup", tmp_path / "new")
        transaction.set_rollback(True)
    assert code == 1
    assert "not in storage: gone/800.jpg. It is not in the backup." in words


def test_a_file_put_in_and_taken_away_meanwhile_is_put_into_words(desk, target, monkeypatch):
    repeatable_read = making.repeatable_read

    @contextmanager
    def while_somebody_works():
        building = Building.objects.get(name__startswith="Chapel")
        keep_picture(building, BytesIO(jpeg(quarters(size=(40, 40)))))
        with repeatable_read():
            yield
        remove_picture(PlanPicture.objects.get(building=building))

    monkeypatch.setattr(making, "repeatable_read", while_somebody_works)
    with desk:
        code, words = desk.manage("backup", target)
    assert code == 0
    assert "Put in and taken away again during the backup, not in it: plans/" in words


def in_its_list(backup: Path, name: str) -> str:
    """The SHA-256 under which a stored file lies in the backup."""
    files = map(json.loads, (backup / "files.jsonl").read_text("utf-8").splitlines())
    return next(file["sha256"] for file in files if file["name"] == name)


@contextmanager
def damaged_original(installation):
    """The photograph, while a byte of its original is another."""
    photograph = Photograph.objects.get()
    original = installation.media / photograph.original.name
    whole = original.read_bytes()
    original.write_bytes(whole[:-1] + bytes([whole[-1] ^ 1]))
    yield photograph
    original.write_bytes(whole)


def test_a_file_that_was_damaged_since_stays_in_the_backup_as_the_record_has_it(desk, target):
    with desk, damaged_original(desk) as photograph:
        for _night in range(2):
            code, words = desk.manage("backup", target)
            assert code == 1
            name = photograph.original.name
            assert f"not as the record has written down: {name}. The backup has it as it" in words
            assert in_its_list(newest(target), name) == photograph.sha256
    with desk:
        assert desk.manage("backup", target)[0] == 0


def test_a_file_that_was_damaged_before_any_backup_is_named_each_time(desk, tmp_path):
    with desk, damaged_original(desk) as photograph:
        for _night in range(2):
            code, words = desk.manage("backup", tmp_path / "new")
            assert code == 1
            assert f"{photograph.original.name}. The backup has it no better." in words
    with desk:
        assert desk.manage("backup", tmp_path / "new")[0] == 0


def test_every_column_of_stored_files_has_one_of_their_sha256():
    """A stored file without one could be damaged and nobody would see it."""
    for model in tables.backed_up_models():
        for sha256 in tables.file_columns(model).values():
            assert sha256 in tables.stored_columns(model), model


@pytest.mark.parametrize("most_bytes", [300, 4000])
def test_a_disk_that_takes_no_more_is_put_into_words(studio, target, most_bytes):
    """The system itself refuses every file above so many bytes."""
    for content in target.glob("files/*/*"):
        content.unlink()
    with studio:
        Building.objects.count()
        limits = resource.getrlimit(resource.RLIMIT_FSIZE)
        resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, limits[1]))
        try:
            with pytest.raises(CommandError) as refused:
                studio.manage("backup", target)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        assert "could not be made: File too large" in str(refused.value)
        assert "Nothing of it counts" in str(refused.value)
        assert not [*target.glob("unfinished*"), *target.glob("files/*.part")]
        assert studio.manage("backup", target)[0] == 0
    assert plain.parts_not_as_written(newest(target)) == []


def test_a_folder_of_something_else_is_left_alone(studio, tmp_path):
    (tmp_path / "letter.txt").write_text("mine")
    with studio, pytest.raises(CommandError, match="something else than backups"):
        studio.manage("backup", tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]
    with studio, pytest.raises(CommandError, match="could not be made: File exists"):
        studio.manage("backup", tmp_path / "letter.txt")


def test_none_is_made_that_would_count_as_older_than_one_made_with_the_clock_ahead(studio, target):
    ahead = newest(target).rename(target / "2999-01-01T00-00-00Z")
    with studio, pytest.raises(CommandError) as refused:
        studio.manage("backup", target)
    assert f"{ahead} says that it was made at 2999-01-01 00:00:00 UTC" in str(refused.value)
    assert str(dt.datetime.now(dt.UTC).date()) in str(refused.value)
    assert_only_the_earlier_backup(target)


def test_nobody_else_on_the_machine_may_read_it_in_a_folder_that_was_there(studio, tmp_path):
    target = tmp_path / "mounted"
    target.mkdir()
    target.chmod(0o755)
    before = os.umask(0o022)
    try:
        with studio:
            assert studio.manage("backup", target)[0] == 0
    finally:
        os.umask(before)
    folders = [path for path in target.iterdir() if path.is_dir()]
    assert [path.stat().st_mode & 0o777 for path in folders] == [0o700, 0o700]


def test_a_file_that_is_written_to_whenever_it_is_read_is_named(studio, tmp_path, monkeypatch):
    written = count()
    monkeypatch.setattr(making, "_state", lambda name: (1, str(next(written))))
    with studio, pytest.raises(CommandError, match=r"\w+ was written to each of the 3 times"):
        studio.manage("backup", tmp_path / "new")
    assert not [*(tmp_path / "new").glob("2*Z*")]


def test_two_backups_are_not_made_in_one_folder_at_once(studio, target):
    held = os.open(target, os.O_RDONLY)
    fcntl.flock(held, fcntl.LOCK_EX)
    with studio, pytest.raises(CommandError, match="Another backup is being made"):
        studio.manage("backup", target)
    os.close(held)


def assert_only_the_earlier_backup(target):
    (backup,) = target.glob("2*Z")
    assert plain.parts_not_as_written(backup) == []
    assert not [*target.glob("unfinished*"), *target.glob("files/*.part")]
