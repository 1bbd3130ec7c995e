"""Checks at start."""

from pathlib import Path

import pytest
from django.core.checks import run_checks

from sites.checks import database_is_on_this_machine, filesystem_of


@pytest.mark.django_db
def test_a_database_as_it_should_be_passes():
    assert run_checks(databases=["default"]) == []


def test_a_database_on_a_network_share_is_refused(settings, monkeypatch):
    monkeypatch.setitem(settings.DATABASES["default"], "ENGINE", "django.db.backends.sqlite3")
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
