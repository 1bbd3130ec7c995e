"""Restore a backup into an empty installation, check one, or bring back files that are gone."""

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from sites.backup.folder import Manifest
from sites.backup.restoring import bring_back_missing, check_backup, restore
from sites.errors import BackupError
from sites.management.commands.backup import reason


class Command(BaseCommand):
    """`manage.py restore SOURCE`: all of a backup or nothing of it."""

    help = "Restore a backup made by `manage.py backup` into an empty installation."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "source", type=Path, help="a folder of backups, of which the newest counts, or one"
        )
        only = parser.add_mutually_exclusive_group()
        only.add_argument(
            "--check-only", action="store_true", help="read the whole backup and change nothing"
        )
        only.add_argument(
            "--missing-files",
            action="store_true",
            help="bring back only the stored files that the record names and storage lacks",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            self.carry_out(options)
        except BackupError as problem:
            raise CommandError(str(problem)) from problem
        except (OSError, DatabaseError) as problem:
            raise CommandError(
                f"It could not be done: {reason(problem)}. No row was restored; run the same "
                "command again once that is mended."
            ) from problem

    def carry_out(self, options: dict[str, Any]) -> None:
        source = options["source"]
        if options["missing_files"]:
            self.bring_back(source)
        elif options["check_only"]:
            self.describe("The backup is whole", *check_backup(source))
        else:
            self.describe("Restored and compared", *restore(source, self.show_progress))

    def bring_back(self, source: Path) -> None:
        brought, missing = bring_back_missing(source)
        for name in brought:
            self.stdout.write(f"Brought back: {name}")
        for name in missing:
            self.stderr.write(f"In no backup here: {name}")
        self.stdout.write(f"{len(brought)} files brought back, {len(missing)} still missing.")
        if missing:
            sys.exit(1)

    def show_progress(self, line: str) -> None:
        self.stdout.write(f"… {line}")
        self.stdout.flush()

    def describe(self, done: str, folder: Path, manifest: Manifest) -> None:
        for name in manifest.missing_files:
            self.stderr.write(f"Missing already when the backup was made: {name}")
        self.stdout.write(
            f"{done}: {folder}, the record of {manifest.made_at} from {manifest.engine}: "
            f"{manifest.rows} rows in {len(manifest.tables)} tables and {manifest.files} stored "
            f"files ({manifest.files_bytes} bytes)."
        )
