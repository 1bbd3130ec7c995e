"""Checks at start."""

import io
import re
import stat
from pathlib import Path

import pytest
from django.core.checks import run_checks
from django.core.management import CommandError, call_command
from django.db import connection

from sites.checks import data_folder_is_usable, database_is_on_this_machine, filesystem_of
from sites.management.commands.serve import Command as Serve
from sites.rules.install import ENGINES, missing_rules


@pytest.fixture
def on_sqlite(settings, monkeypatch):
    monkeypatch.setitem(settings.DATABASES["default"], "ENGINE", "django.db.backends.sqlite3")


@pytest.mark.django_db
def test_a_database_as_it_should_be_passes():
    assert run_checks(databases=["default"]) == []


def test_a_database_on_a_network_share_is_refused(on_sqlite, monkeypatch):
    monkeypatch.setattr("sites.checks.filesystem_of", lambda path: "nfs4")
    (error,) = database_is_on_this_machine()
    assert "network share" in error.msg
    assert "DATABASE_URL" in error.hint


def test_the_innermost_mount_tells_the_file_system(tmp_path):
    mounts = tmp_path / "mounts"
    mounts.write_text("/dev/a / ext4 rw 0 0\nserver:/x /data nfs4 rw 0 0\n")
    assert filesystem_of(Path("/data/saddlebar/x"), str(mounts)) == "nfs4"
    assert filesystem_of(Path("/database/x"), str(mounts)) == "ext4"


def test_a_system_that_does_not_tell_is_let_pass(tmp_path):
    assert filesystem_of(tmp_path, str(tmp_path / "none")) == ""


def test_a_data_folder_that_is_missing_is_made_for_its_owner_alone(settings, tmp_path, on_sqlite):
    settings.DATA_DIR = tmp_path / "new" / "data"
    assert data_folder_is_usable() == []
    assert stat.S_IMODE(settings.DATA_DIR.stat().st_mode) == 0o700


@pytest.mark.parametrize("inside", ["", "data"])
def test_a_file_in_place_of_the_data_folder_is_named(settings, tmp_path, inside, on_sqlite):
    file = tmp_path / "a file"
    file.write_text("")
    settings.DATA_DIR = file / inside
    (error,) = data_folder_is_usable()
    assert error.msg == f"DATA_DIR is {settings.DATA_DIR}. {file} is not a folder."
    assert f"mv '{file}' '{file}.old'" in error.hint


def test_a_data_folder_that_may_not_be_made_is_refused_with_the_command(
    settings, monkeypatch, on_sqlite
):
    settings.DATA_DIR = Path("/srv/saddlebar data")
    monkeypatch.setattr(Path, "mkdir", refuse)
    (error,) = data_folder_is_usable()
    assert "may not make it" in error.msg
    assert re.search(r"sudo mkdir -p '/srv/saddlebar data' && sudo chown \d+:\d+ '", error.hint)


def refuse(*args, **options):
    raise PermissionError


def test_a_data_folder_that_cannot_be_made_is_refused_with_the_reason(settings, on_sqlite):
    settings.DATA_DIR = Path("/proc/saddlebar")
    (error,) = data_folder_is_usable()
    assert "It cannot be made: No such file or directory." in error.msg


def may_write_all_but(*refused):
    return lambda path, mode: Path(path).name not in refused


@pytest.mark.parametrize("name", ["data", "test.sqlite3", "test.sqlite3-wal"])
def test_a_data_folder_of_somebody_else_is_refused(
    settings, on_sqlite, tmp_path, monkeypatch, name
):
    settings.DATA_DIR = tmp_path / "data"
    settings.DATA_DIR.mkdir()
    monkeypatch.setitem(settings.DATABASES["default"], "NAME", settings.DATA_DIR / "test.sqlite3")
    for file in ("test.sqlite3", "test.sqlite3-wal"):
        (settings.DATA_DIR / file).write_text("")
    monkeypatch.setattr("os.access", may_write_all_but(name))
    (error,) = data_folder_is_usable()
    assert "may not write to it" in error.msg
    assert re.search(r"sudo chown -R \d+:\d+ ", error.hint)


def test_a_data_folder_in_which_nothing_lies_is_not_looked_at(settings, tmp_path, monkeypatch):
    settings.DATA_DIR, settings.MEDIA_ROOT = Path("/proc/saddlebar"), tmp_path
    monkeypatch.setitem(settings.DATABASES["default"], "ENGINE", "django.db.backends.postgresql")
    assert data_folder_is_usable() == []


def drop_a_rule() -> str:
    engine = ENGINES[connection.vendor]
    with connection.cursor() as cursor:
        name, table = next(iter(engine.installed(cursor).items()))
        for statement in engine.drop(name, table):
            cursor.execute(statement)
    return name


@pytest.mark.both_engines
@pytest.mark.django_db
def test_the_command_that_is_advised_where_a_rule_is_missing_puts_it_back():
    name = drop_a_rule()
    (warning,) = run_checks(databases=["default"])
    assert name in warning.msg
    assert "manage.py migrate" in warning.hint
    said = io.StringIO()
    call_command("migrate", skip_checks=False, verbosity=0, stderr=said)
    assert name in said.getvalue()
    assert missing_rules() == []
    assert run_checks(databases=["default"]) == []


@pytest.mark.django_db
def test_a_database_without_a_rule_is_not_served(monkeypatch):
    Serve()._refuse_unfinished_database()
    drop_a_rule()
    with pytest.raises(CommandError, match=r"does not hold all its rules(.|\n)*manage.py migrate"):
        Serve()._refuse_unfinished_database()
