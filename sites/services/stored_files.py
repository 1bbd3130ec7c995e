"""Files that are stored before the rows that name them, and go again if those never come."""

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from typing import BinaryIO

from django.core.files import File
from django.core.files.storage import Storage

logger = logging.getLogger(__name__)


class StoredFiles:
    """The files stored so far in one change."""

    def __init__(self) -> None:
        self._stored: list[tuple[Storage, str]] = []

    def save(self, storage: Storage, name: str, file: BinaryIO) -> str:
        """Store `file`, read from its start, and return the name it was given."""
        file.seek(0)
        # A free name, noted first: storing may fail half-way and leave a part of the file.
        free = storage.get_available_name(name)
        self._stored.append((storage, free))
        given = storage.save(free, File(file))
        if given != free:
            self._stored.append((storage, given))
        return given

    def take_away(self) -> None:
        """Delete what was stored, last first; one that resists is logged and stops no other."""
        while self._stored:
            storage, name = self._stored.pop()
            try:
                storage.delete(name)
            except OSError:
                logger.exception("stored file %s could not be taken away", name)


@contextmanager
def kept_only_on_success() -> Iterator[StoredFiles]:
    """Give a `StoredFiles` whose files are deleted if the block, commit included, does not succeed.

    Open the transaction inside this block: a rollback then reaches here as an exception.
    """
    stored = StoredFiles()
    try:
        yield stored
    except BaseException:
        stored.take_away()
        raise
