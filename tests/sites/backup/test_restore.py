"""A restored record is the record: on each engine, and from each to the other."""

import pytest

from sites.models import Building
from tests.sites.backup import plain
from tests.sites.backup.installations import OWN_ENGINE

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


@pytest.fixture(scope="package")
def copy(studio, backups, installations, django_db_blocker):
    """The record restored on its own engine, for looking at only."""
    with django_db_blocker.unblock():
        return restored(installations, OWN_ENGINE, backups)


def test_the_record_to_be_compared_is_worth_it(studio):
    counts = plain.counts(studio)
    assert len(counts) > 25
    assert counts["sites_change"] >= 3
    assert len(plain.files(studio.media)) > 5


def test_restored_on_the_same_engine_it_is_equal(studio, copy):
    assert_same_record(studio, copy)


def test_restored_across_the_engines_and_back_it_is_equal(studio, backups, installations, tmp_path):
    """On the run with a PostgreSQL: from there to SQLite, worked in, and back to PostgreSQL."""
    moved = restored(installations, "sqlite", backups)
    assert_same_record(studio, moved)
    with moved:
        # What SQLite's own triggers write differs in form from PostgreSQL's.
        Building.objects.update(ritual_east="12.5", built="c. 1890")
        assert moved.manage("backup", tmp_path / "backups")[0] == 0
    back = restored(installations, OWN_ENGINE, tmp_path / "backups")
    assert_same_record(moved, back)
    assert len(plain.record(back)["sites_change"]) == len(plain.record(studio)["sites_change"]) + 1
