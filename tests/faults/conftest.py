"""The database of a real server: a file of its own, or a new database of the suite's PostgreSQL."""

import os
from collections.abc import Iterator

import psycopg
import pytest
from psycopg import sql

from sites.keys import uuid7


@pytest.fixture
def database_url() -> Iterator[str]:
    """Empty for SQLite, which makes its own file; on PostgreSQL a database that goes afterwards."""
    suite = os.environ.get("DATABASE_URL", "")
    if not suite:
        yield ""
        return
    name = f"faults_{uuid7().hex}"
    with psycopg.connect(suite, autocommit=True) as connection:
        connection.execute(sql.SQL("CREATE DATABASE {}").format(sql.Identifier(name)))
        address, _, options = suite.partition("?")
        yield f"{address.rsplit('/', 1)[0]}/{name}?{options}"
        connection.execute(sql.SQL("DROP DATABASE {} WITH (FORCE)").format(sql.Identifier(name)))
