"""What every test shares: the database's rules, people of each role, a real folder for files."""

import math
import os
from collections.abc import Iterator, Mapping
from pathlib import Path

import hypothesis
import pytest
from django.db import connection
from django.template import Context, Template
from django.test import Client, TransactionTestCase
from django.test.signals import template_rendered
from django.test.utils import CaptureQueriesContext
from django.utils.safestring import SafeString

from sites.compute.roles import ROLES
from sites.models import Building, User
from sites.printing import press
from sites.rules.install import install_rules, remove_rules
from tests.factories import BuildingFactory, MembershipFactory, UserFactory
from tests.prepared import collect_static_files, test_database
from tests.properties import LONG, examples
from tests.ready_printer import ReadyPrinter
from tests.spending import MOST_SECONDS, Spending

hypothesis.settings.register_profile("tests", examples(100))
hypothesis.settings.load_profile("tests")

# The browser library runs an event loop in the test's own thread; our code is not async.
os.environ.setdefault("DJANGO_ALLOW_ASYNC_UNSAFE", "true")


READY_PRINTER = ReadyPrinter()
PARTS = ("pure", "database", "first engine", "second engine")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--part",
        choices=PARTS,
        help="a part of the tests: those without a database, those with one, both of them on "
        "the first engine, and those that a second engine is for",
    )
    parser.addoption("--spent", default="", help="where to leave what each test spent, as JSON")


def pytest_configure(config: pytest.Config) -> None:
    most = math.inf if LONG else MOST_SECONDS
    spending = Spending(lambda: READY_PRINTER.seconds_spent, config.getoption("--spent"), most)
    config.pluginmanager.register(spending)


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if part := config.getoption("--part"):
        items[:] = [item for item in items if part in parts_of(item)]


# What signs somebody in, or sends a page: such a test asks for pages.
SIGNED_IN = {
    *("client", "client_of", "owner", "estimator", "surveyor", "committee", "reader"),
    *("stranger", "studio_owner"),
}
DATABASE = {"db", "transactional_db", "django_db_setup", "database_url"}


def parts_of(item: pytest.Item) -> set[str]:
    """The parts a test belongs to, by whether it uses the database, itself or by a server.

    What is about SQL runs on both engines. What is marked `one_engine` (printed pages, the table
    of roles) would only say the same again on a second one. Pages are asked for on PostgreSQL
    unless they are marked `both_engines`: on SQLite the browser walks all of them.
    """
    if item.get_closest_marker("one_engine") is not None:
        return {"database", "first engine"}
    asked = set(item.fixturenames)
    if not DATABASE & asked and item.get_closest_marker("django_db") is None:
        return {"pure", "first engine"}
    pages = item.path.name.endswith("_views.py") or SIGNED_IN & asked
    if pages and item.get_closest_marker("both_engines") is None:
        return {"database", "second engine"}
    return {"database", "first engine", "second engine"}


@pytest.fixture(scope="session", autouse=True)
def _ready_printer() -> Iterator[None]:
    """Documents are printed by a child that has the layout library imported already."""
    press.run_limited = READY_PRINTER.run_limited
    yield
    READY_PRINTER.close()


@pytest.fixture(scope="session", autouse=True)
def _static_files() -> None:
    """Pages are tested with the manifest they are served with."""
    collect_static_files()


@pytest.fixture(scope="session", autouse=True)
def _pages_are_told_of(django_test_environment) -> None:
    """A test's client hears of each page and part of one, not of each box of a form in it.

    There are hundreds of boxes, and all that a template was given is copied each time.
    """

    def render(template: Template, context: Context) -> SafeString:
        if not str(template.name).startswith(("django/forms/", "bootstrap5/")):
            template_rendered.send(sender=template, template=template, context=context)
        return template.nodelist.render(context)

    Template._render = render


@pytest.fixture(scope="session")
def django_db_setup(django_test_environment, django_db_blocker) -> Iterator[None]:
    """A migrated database copied, in place of one migrated anew for each run."""
    with django_db_blocker.unblock(), test_database():
        yield


def _lift_rules_and_flush(case: TransactionTestCase, flush=TransactionTestCase._fixture_teardown):
    """A transactional test ends by flushing every table, which frozen ones refuse."""
    remove_rules()
    flush(case)
    install_rules()


TransactionTestCase._fixture_teardown = _lift_rules_and_flush


@pytest.fixture
def building(db):
    return BuildingFactory()


class People(Mapping[str, User]):
    """A user of each role at a building, made when first asked for; a stranger is there anyway."""

    def __init__(self, building: Building) -> None:
        self.building = building
        stranger = MembershipFactory(role="owner", user__email="stranger@else.example").user
        self.made = {"stranger": stranger}

    def __getitem__(self, role: str) -> User:
        if role not in self.made and role in ROLES:
            membership = MembershipFactory(
                building=self.building, role=role, user__email=f"{role}@studio.example"
            )
            self.made[role] = membership.user
        return self.made[role]

    def __iter__(self) -> Iterator[str]:
        return iter((*ROLES, "stranger"))

    def __len__(self) -> int:
        return len(ROLES) + 1


@pytest.fixture
def people(building) -> People:
    """A user of each role at `building`, by role; and a stranger with a building elsewhere."""
    return People(building)


@pytest.fixture
def client_of():
    """A function from a user to a client signed in as them."""

    def make(user) -> Client:
        client = Client()
        client.force_login(user)
        return client

    return make


@pytest.fixture
def owner(people, client_of):
    return client_of(people["owner"])


@pytest.fixture
def estimator(people, client_of):
    return client_of(people["estimator"])


@pytest.fixture
def surveyor(people, client_of):
    return client_of(people["surveyor"])


@pytest.fixture
def committee(people, client_of):
    return client_of(people["committee"])


@pytest.fixture
def reader(people, client_of):
    return client_of(people["reader"])


@pytest.fixture
def stranger(people, client_of):
    return client_of(people["stranger"])


@pytest.fixture
def studio_owner(building, client_of):
    """A client signed in as the owner of the whole studio."""
    user = MembershipFactory(studio=building.studio, building=None, role="owner").user
    return client_of(user)


@pytest.fixture
def user(db):
    return UserFactory()


@pytest.fixture
def count_queries():
    """A function that runs something and returns how many queries it took."""

    def count(work) -> int:
        with CaptureQueriesContext(connection) as caught:
            work()
        return len(caught)

    return count


@pytest.fixture
def files(settings, tmp_path) -> Path:
    """A folder of the test's own for stored files."""
    settings.MEDIA_ROOT = tmp_path / "files"
    settings.STORAGES = {
        **settings.STORAGES,
        "default": {
            "BACKEND": "django.core.files.storage.FileSystemStorage",
            "OPTIONS": {"location": tmp_path / "files"},
        },
    }
    return tmp_path / "files"
