"""Who is at work: the name the database writes beside each change."""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from typing import Any
from uuid import UUID

from django.db import connection
from django.db.backends.base.base import BaseDatabaseWrapper

_actor: ContextVar[str] = ContextVar("actor", default="")


def give_sqlite_the_actor(connection: BaseDatabaseWrapper, **kwargs: Any) -> None:
    """SQLite has no settings of a session: the history triggers call this function instead."""
    if connection.vendor == "sqlite":
        connection.connection.create_function("saddlebar_actor", 0, _actor.get)


def acting_user() -> UUID | None:
    """Return the key of the user at work, or None where a command is."""
    try:
        return UUID(_actor.get())
    except ValueError:
        return None


@contextmanager
def acting_as(actor: str) -> Iterator[None]:
    """Let the history name `actor` (a user's key, or a command's name) inside the block."""
    before = _actor.get()
    if before == actor:
        yield
        return
    token = _actor.set(actor)
    _tell_postgresql(actor)
    try:
        yield
    finally:
        _actor.reset(token)
        _tell_postgresql(before)


def _tell_postgresql(actor: str) -> None:
    """Set it for the session: the connection belongs to this thread until the block ends."""
    # After a failed statement inside a transaction nothing can be set; the rollback undoes it.
    if connection.vendor == "postgresql" and not connection.needs_rollback:
        with connection.cursor() as cursor:
            cursor.execute("SELECT set_config('saddlebar.actor', %s, false)", [actor])
