"""The first command on a new machine, where DATA_DIR is not there or cannot be."""

import os
import subprocess
import sys

import pytest

from tests.faults.server import DATABASE, ROOT

pytestmark = pytest.mark.faults


def migrate(folder, *words: str) -> subprocess.CompletedProcess:
    return subprocess.run(
        [sys.executable, "manage.py", "migrate", *words],
        cwd=ROOT,
        env=os.environ
        | {
            "DJANGO_SETTINGS_MODULE": "restoration.settings.base",
            "SECRET_KEY": "k" * 64,
            "DATA_DIR": str(folder),
            "DATABASE_URL": "",
        },
        capture_output=True,
        text=True,
        check=False,
    )


def test_a_data_folder_that_is_not_there_is_made(tmp_path):
    folder = tmp_path / "not" / "there"
    ended = migrate(folder, "--plan")
    assert (ended.returncode, ended.stderr) == (0, "")
    assert "Planned operations" in ended.stdout
    assert (folder / DATABASE).exists()


def test_a_file_in_its_place_is_refused_in_words(tmp_path):
    file = tmp_path / "data"
    file.write_text("")
    ended = migrate(file)
    assert ended.returncode == 1
    assert f"DATA_DIR is {file}. {file} is not a folder." in ended.stderr
    assert f"Run `mv {file} {file}.old`" in ended.stderr
    assert "Traceback" not in ended.stderr
