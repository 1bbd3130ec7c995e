"""A backup and a restore killed at any moment do no harm, and are simply made again."""

import random
import shutil
import time

import pytest

from tests.sites.backup import plain
from tests.sites.backup.test_damaged_backup import EMPTY

pytestmark = [pytest.mark.faults, pytest.mark.django_db]

KILLS = 6


def moments(seconds: float) -> list[float]:
    """Moments spread by chance over work that takes so many seconds, one in each sixth of it."""
    chance = random.Random(1931)
    return [seconds * (part + chance.random()) / KILLS for part in range(KILLS)]


def test_a_killed_backup_is_never_taken_for_one_and_harms_no_other(studio, backups, tmp_path):
    target = tmp_path / "backups"
    killed = 0
    with studio:
        started = time.monotonic()
        studio.manage("backup", tmp_path / "timed")
        for seconds in moments(time.monotonic() - started):
            # A list that does not name the files as they are now: each is copied again.
            shutil.rmtree(target, ignore_errors=True)
            shutil.copytree(backups, target, copy_function=shutil.copy)
            for original in studio.media.rglob("*.*"):
                original.touch()
            killed += studio.kill_after(seconds, "backup", target)
            assert_whole(target, "one killed after", seconds)
        assert studio.manage("backup", target)[0] == 0
    assert killed >= KILLS // 2
    assert_whole(target, "the last")
    assert not [*target.glob("unfinished*"), *target.glob("files/*.part")]


def assert_whole(target, *which):
    finished = list(target.glob("2*Z*"))
    assert finished, which
    for backup in finished:
        assert plain.parts_not_as_written(backup) == [], which


def test_a_killed_restore_leaves_nothing_half_and_is_made_again(studio, backups, installations):
    started = time.monotonic()
    timed = installations.new()
    with timed:
        timed.manage("restore", backups)
    taken = time.monotonic() - started
    copy = installations.new()
    killed = 0
    for seconds in moments(taken):
        with copy:
            killed += copy.kill_after(seconds, "restore", backups)
        if set(plain.counts(copy)) != EMPTY:
            assert plain.differences(plain.record(studio), plain.record(copy)) == []
            copy = installations.new()
    with copy:
        assert copy.manage("restore", backups)[0] == 0
    assert killed >= KILLS // 2
    assert plain.differences(plain.record(studio), plain.record(copy)) == []
    assert plain.files(studio.media) == plain.files(copy.media)
