"""Check every issued document against the digests kept when it was issued."""

import sys
from typing import Any
from uuid import UUID

from django.core.management.base import BaseCommand, CommandError, CommandParser

from sites.documents.verify import issued_documents, rows_that_are_gone, troubles_of
from sites.models import Building


class Command(BaseCommand):
    """`manage.py verify_documents`: names each document not as issued, and then ends with 1."""

    help = "Check every issued document against the digests kept when it was issued."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--building", default="", help="only those of this building: its key or its name"
        )

    def handle(self, *args: Any, **options: Any) -> None:
        building = _building(options["building"])
        checked = wrong = 0
        for document in issued_documents(building):
            checked += 1
            found = troubles_of(document)
            wrong += bool(found)
            for trouble in found:
                self.stdout.write(f"{document} ({document.building}): {trouble}")
        # Of one building it cannot be told: a number does not name its building.
        for trouble in [] if building else rows_that_are_gone():
            checked, wrong = checked + 1, wrong + 1
            self.stdout.write(trouble)
        self.stdout.write(f"{checked} checked, {checked - wrong} as issued, {wrong} not as issued.")
        if wrong:
            sys.exit(1)


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
