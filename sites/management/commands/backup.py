"""Make a backup of the whole record while people work."""

import sys
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser
from django.db import DatabaseError

from sites.backup.making import MadeBackup, make_backup
from sites.errors import BackupError


class Command(BaseCommand):
    """`manage.py backup TARGET`: ends with 1 where storage lacks a file or has it damaged."""

    help = "Make a backup of all rows and stored files, as of one moment, while people work."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "target", type=Path, help="a folder for backups alone; only what is new is copied"
        )
        parser.add_argument(
            "--check-new",
            action="store_true",
            help="read again from the disk only what this backup wrote, not every stored file",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        try:
            made = make_backup(
                options["target"], self.show_progress, check_all=not options["check_new"]
            )
        except BackupError as problem:
            raise CommandError(f"{problem} This backup does not count.") from problem
        except (OSError, DatabaseError) as problem:
            raise CommandError(
                f"The backup could not be made: {reason(problem)}. Nothing of it counts; backups "
                "made before stand as they were. Run the same command again once that is mended."
            ) from problem
        self.describe(made)
        if made.missing or made.damaged:
            sys.exit(1)

    def show_progress(self, line: str) -> None:
        self.stdout.write(f"… {line}")
        self.stdout.flush()

    def describe(self, made: MadeBackup) -> None:
        manifest = made.manifest
        for name in made.removed:
            self.stdout.write(f"Put in and taken away again during the backup, not in it: {name}")
        for name in made.missing:
            here = " It is not in the backup." if name in manifest.missing_files else ""
            self.stderr.write(f"The record names a file that is not in storage: {name}.{here}")
        for name, is_whole_here in made.damaged.items():
            here = "has it as it was" if is_whole_here else "has it no better"
            self.stderr.write(
                f"A stored file is not as the record has written down: {name}. The backup {here}."
            )
        self.stdout.write(
            f"Backed up and checked: {made.folder}: {manifest.rows} rows in "
            f"{len(manifest.tables)} tables and {manifest.files} stored files "
            f"({manifest.files_bytes} bytes), {made.copied} of them copied now."
        )


def reason(problem: Exception) -> str:
    """Return what went wrong in one line: of a file, the system's words and its name."""
    if isinstance(problem, OSError) and problem.strerror:
        return f"{problem.strerror} ({problem.filename})" if problem.filename else problem.strerror
    return " ".join(str(problem).split())
