"""A backup that is not as it was written is refused, and what is wrong with it is named."""

import hashlib
import json
import shutil

import pytest
from django.core.management import CommandError

from tests.sites.backup import plain

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

EMPTY = {"django_content_type", "auth_permission"}


@pytest.fixture
def backup(backups, tmp_path):
    """A copy of the one backup, to be spoilt."""
    shutil.copytree(backups, tmp_path / "backups")
    return next((tmp_path / "backups").glob("2*Z"))


@pytest.fixture(scope="module")
def empty(installations, django_db_blocker):
    with django_db_blocker.unblock():
        return installations.new()


def flip(path):
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def cut(path):
    path.write_bytes(path.read_bytes()[:-1])


def remove(path):
    path.unlink()


def refusal(installation, source, *options) -> str:
    with installation, pytest.raises(CommandError) as refused:
        installation.manage("restore", source, *options)
    assert set(plain.counts(installation)) == EMPTY
    return str(refused.value)


@pytest.mark.parametrize("spoil", [flip, cut, remove])
@pytest.mark.parametrize(
    "part",
    ["tables/sites_building.jsonl", "files.jsonl", "manifest.json", "../files/??/*"],
)
def test_a_damaged_part_is_named_and_nothing_is_restored(empty, backup, part, spoil):
    path = sorted(backup.glob(part) if ".." not in part else backup.parent.glob(part[3:]))[0]
    spoil(path)
    assert str(path) in refusal(empty, backup)
    if spoil is not remove:
        assert str(path) in refusal(empty, backup.parent, "--check-only")


def test_a_whole_backup_is_called_whole(empty, backup):
    with empty:
        code, words = empty.manage("restore", backup.parent, "--check-only")
    assert code == 0
    assert "The backup is whole" in words
    assert set(plain.counts(empty)) == EMPTY


def test_a_folder_without_a_backup_is_refused(empty, tmp_path):
    assert f"There is no finished backup in {tmp_path}" in refusal(empty, tmp_path)
    assert "There is no finished backup in" in refusal(empty, tmp_path / "none")


def test_one_made_with_the_clock_ahead_is_restored_only_where_it_is_named(
    empty, backup, installations
):
    ahead = shutil.copytree(backup, backup.parent / "2999-01-01T00-00-00Z")
    words = refusal(empty, backup.parent)
    assert f"{ahead} says that it was made at 2999-01-01 00:00:00 UTC" in words
    assert f"Name the sub-folder that you want: {ahead} or {backup}." in words
    named = installations.new()
    with named:
        assert named.manage("restore", ahead)[0] == 0


def rewrite(backup, table, change) -> None:
    """Change a table's lines and sign the backup anew, as somebody might who knows how."""
    path = backup / f"tables/{table}.jsonl"
    lines = change(path.read_text("utf-8").split("\n")[:-1])
    path.write_text("".join(f"{line}\n" for line in lines), "utf-8")
    sign(backup, table, rows=len(lines), sha256=hashlib.sha256(path.read_bytes()).hexdigest())


def sign(backup, table, **facts) -> None:
    path = backup / "manifest.json"
    manifest = json.loads(path.read_text("utf-8"))
    next(part for part in manifest["tables"] if part["table"] == table).update(facts)
    path.write_text(json.dumps(manifest), "utf-8")
    digest = hashlib.sha256(path.read_bytes()).hexdigest()
    (backup / "manifest.sha256").write_text(f"{digest}  manifest.json\n")


def test_a_row_that_the_database_does_not_take_is_shown(empty, backup):
    rewrite(backup, "sites_building", lambda lines: [*lines, lines[0]])
    words = refusal(empty, backup)
    assert "does not take this row of sites_building" in words
    assert '"place": "Testham"' in words


def test_a_row_without_the_row_it_names_is_refused_in_words(empty, backup):
    rewrite(backup, "sites_building", lambda lines: [])
    assert "No row was restored" in refusal(empty, backup)


def test_rows_that_are_not_as_many_as_were_counted_are_refused(empty, backup):
    sign(backup, "condition_finding", rows=99)
    assert "condition_finding has" in refusal(empty, backup)


def test_a_backup_of_other_columns_is_refused_with_its_version(empty, backup):
    sign(backup, "sites_opening", columns={"id": "uuid"})
    words = refusal(empty, backup)
    assert "another version of the program (0." in words
    assert "sites_opening had other columns" in words
