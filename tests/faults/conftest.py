"""Real servers: the database of each, and one with a record of every kind that many tests share."""

import os
from collections.abc import Iterator

import pytest

from sites.keys import uuid7
from tests.faults.served import Served, set_up
from tests.faults.server import Server
from tests.prepared import address_of, drop, make_database


@pytest.fixture
def database_url() -> Iterator[str]:
    """Empty for SQLite, which makes its own file; on PostgreSQL a database that goes afterwards."""
    suite = os.environ.get("DATABASE_URL", "")
    if not suite:
        yield ""
        return
    name = f"faults_{uuid7().hex}"
    make_database(suite, name)
    yield address_of(suite, name)
    drop(suite, name)


@pytest.fixture(scope="session")
def served(tmp_path_factory) -> Iterator[Served]:
    """One server for all tests that only ask it: which engine is behind it does not matter."""
    server = Server(tmp_path_factory.mktemp("served"))
    try:
        made = set_up(server)
        server.start()
        yield made
    finally:
        server.kill()
