"""Writes a visit folder with an invented church, its workbooks and photographs."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from restoration.demo.folder import FolderInUseError, write_visit_folder


class Command(BaseCommand):
    help = (
        "Write a visit folder to try the import with: an invented church, two surveys, photographs."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("out", type=Path, help="a new or empty folder")

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            write_visit_folder(options["out"], self._say)
        except FolderInUseError as error:
            raise CommandError(str(error)) from error
        self.stdout.write(self.style.SUCCESS(f"Visit folder written to {options['out']}"))

    def _say(self, done: int, total: int, name: str) -> None:
        self.stdout.write(f"{done}/{total} {name}")
