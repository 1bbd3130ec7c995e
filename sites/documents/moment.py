"""Reading everything as it stood at one moment, though others go on writing."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.db import connection, transaction


@contextmanager
def repeatable_read() -> Iterator[None]:
    """Let the queries inside the block see one state of the database.

    SQLite's transaction does so by itself. PostgreSQL's must be told, as its first statement;
    inside a transaction that has begun already (as in most tests) that cannot be done.
    """
    must_be_told = connection.vendor == "postgresql" and not connection.in_atomic_block
    with transaction.atomic():
        if must_be_told:
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield
