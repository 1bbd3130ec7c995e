"""One small record, backed up once, for all tests that only look at it."""

import pytest

from tests.sites.backup.installations import Installations
from tests.sites.backup.world import make_world


@pytest.fixture(scope="package")
def installations():
    made = Installations()
    yield made
    made.close()


@pytest.fixture(scope="package")
def studio(installations, django_db_setup, django_db_blocker):
    """An installation with a small record in it, for looking at only."""
    with django_db_blocker.unblock():
        made = installations.new()
        with made:
            make_world()
    return made


@pytest.fixture(scope="package")
def backups(studio, installations, django_db_blocker):
    """The folder with one backup of the studio's record, for looking at only."""
    target = installations.root / "backups"
    with django_db_blocker.unblock(), studio:
        assert studio.manage("backup", target)[0] == 0
    return target


@pytest.fixture(scope="module")
def desk(backups, installations, django_db_blocker):
    """An installation with the same record, for a module of tests to work in."""
    with django_db_blocker.unblock():
        made = installations.new()
        with made:
            assert made.manage("restore", backups)[0] == 0
    return made
