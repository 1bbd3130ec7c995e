"""Read all that is kept against what was written down of it: documents, photographs, numbers."""

import logging
import sys
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError, CommandParser

from sites.models import Building
from sites.rules.actor import acting_as
from sites.verify.checks import Check, Found, checks

logger = logging.getLogger(__name__)


class Command(BaseCommand):
    """`manage.py verify_documents`: names each thing not as it was kept, and then ends with 1.

    What can be made again (a photograph's copies, from a sound original) is.
    """

    help = "Read every stored file, document, number and rule against what was written down of it."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--building", default="", help="only those of this building: its key or its name"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        building = _building(options["building"])
        with acting_as("verify_documents"):
            wrong = sum([self._read_all(check, building) for check in checks])
        if wrong:
            sys.exit(1)
        self.stdout.write("Nothing is wrong.")

    def _read_all(self, check: Check, building: Building | None) -> int:
        """Read all of one kind, list what was found, and return how many are wrong."""
        read = wrong = mended = 0
        for row in check.rows(building):
            found = _read(check, row)
            read, wrong, mended = read + 1, wrong + bool(found.wrong), mended + bool(found.mended)
            for sentence in (*found.wrong, *found.mended):
                self.stdout.write(f"{check.name(row)}: {sentence}")
        mended_too = f", {mended} mended" if mended else ""
        self.stdout.write(f"{check.what}: {read} read, {wrong} wrong{mended_too}")
        return wrong


def _read(check: Check, row: Any) -> Found:
    """What one thing has shown; one that breaks the reading is wrong, and stops no other."""
    try:
        return check.read(row)
    except OSError as problem:
        return Found([f"it cannot be read at present: {problem}"])
    except Exception:
        logger.exception(
            "%s %s could not be read", check.what, row.pk if hasattr(row, "pk") else row
        )
        return Found(["it could not be read; the log has the details"])


def _building(named: str) -> Building | None:
    """The building of that key or name. Raises CommandError for none, or more than one."""
    if not named:
        return None
    try:
        found = list(Building.objects.filter(pk=UUID(named)))
    except ValueError:
        found = list(Building.objects.filter(name=named))
    if len(found) != 1:
        raise CommandError(
            f"{len(found)} buildings are called {named!r}. Give the key that ends the address of "
            "the building's page."
        )
    return found[0]
