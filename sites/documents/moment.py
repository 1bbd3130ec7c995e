"""Reading everything as it stood at one moment, though others go on writing."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from django.db import connection, transaction


@contextmanager
def repeatable_read() -> Iterator[None]:
    """Let the queries inside the block see one state of the database; nothing may be written.

    Nobody waits for it: SQLite's transaction takes no lock against writers here. PostgreSQL's must
    be told to keep to one state, as its first statement. Inside a transaction that has begun
    already (as in most tests) neither can be done.
    """
    is_outermost = not connection.in_atomic_block
    with _begun_as_reader() if is_outermost else transaction.atomic():
        if is_outermost and connection.vendor == "postgresql":
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield


@contextmanager
def _begun_as_reader() -> Iterator[None]:
    """A transaction that on SQLite does not take the write lock at its start, as all others do."""
    # Connecting reads the mode from the settings, so it comes before the mode is changed.
    connection.ensure_connection()
    if connection.vendor != "sqlite":
        with transaction.atomic():
            yield
        return
    sqlite: Any = connection
    mode, sqlite.transaction_mode = sqlite.transaction_mode, "DEFERRED"
    try:
        with transaction.atomic():
            yield
    finally:
        sqlite.transaction_mode = mode
