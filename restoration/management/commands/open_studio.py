"""Open a studio, or bring the vocabulary of one up to date."""

from typing import Any

from babel.numbers import is_currency
from django.core.management.base import BaseCommand, CommandError, CommandParser

from restoration.services.studios import open_studio, refresh_vocabulary
from sites.models import Studio
from sites.models.choices import Paper
from sites.rules.actor import acting_as

FIELDS = ("address", "email", "phone", "registration", "paper")


class Command(BaseCommand):
    """`manage.py open_studio NAME`: safe to run again; nothing of the studio's is overwritten."""

    help = "Open a studio with its kinds of finding and action and a starting rate book."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", help="the studio's name as its documents print it")
        parser.add_argument("--currency", default="", help="of the starting rate book, such as EUR")
        parser.add_argument("--paper", choices=Paper.values, default=Paper.A4)
        for field in FIELDS[:-1]:
            parser.add_argument(f"--{field}", default="")

    def handle(self, *args: Any, **options: Any) -> None:
        name, currency = options["name"].strip(), options["currency"].upper()
        if not name:
            raise CommandError("The studio needs a name.")
        if currency and not is_currency(currency):
            raise CommandError(f"{currency} is no currency. Give three letters, such as EUR.")
        with acting_as("open_studio"):
            if studio := Studio.objects.filter(name=name).first():
                self.report("was open already", refresh_vocabulary(studio, currency=currency))
                return
            fields = {field: options[field] for field in FIELDS}
            studio = open_studio(name, currency=currency, **fields)
        self.report(
            "is open",
            {
                "finding_kinds": studio.finding_kinds.count(),
                "action_kinds": studio.action_kinds.count(),
                "rate_books": studio.rate_books.count(),
                "came_profiles": studio.came_profiles.count(),
                "class_rules": studio.class_rules.count(),
            },
        )
        self.stdout.write("The starting rates are invented: put your own in before you quote.")

    def report(self, how: str, added: dict[str, int]) -> None:
        self.stdout.write(
            f"The studio {how}. Added: {added['finding_kinds']} kinds of finding, "
            f"{added['action_kinds']} kinds of action, {added['rate_books']} rate book(s), "
            f"{added['came_profiles']} came profiles, {added['class_rules']} rules of the classes."
        )
