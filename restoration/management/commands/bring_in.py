"""Take in a visit folder: a register, findings and photographs, out of which documents come."""

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from restoration.services.visit_folder.bringing_in import BroughtIn, bring_in
from restoration.services.visit_folder.checking import FolderProblemsError
from restoration.services.visit_folder.documents import documents_of
from sites.access import studio_abilities
from sites.compute.roles import (
    EDIT_REGISTER,
    ISSUE_QUOTES,
    ISSUE_REPORTS,
    PRICE,
    SURVEY,
)
from sites.errors import SaddlebarError
from sites.models import Studio, User, VisitFolder

TO_WRITE = {EDIT_REGISTER, SURVEY, PRICE}
TO_ISSUE = {ISSUE_REPORTS, ISSUE_QUOTES}
MOST_SHOWN = 200
ONE = {"people": "person"}


class Command(BaseCommand):
    """`manage.py bring_in FOLDER`: all of the folder or nothing; run again, it changes nothing."""

    help = "Take in a visit folder, issue its condition report and its quote, and write them out."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("folder", type=Path)
        parser.add_argument("--studio", required=True, help="the studio's name")
        parser.add_argument("--user", required=True, help="e-mail address of who takes it in")
        parser.add_argument("--out", type=Path, help="where the documents are written")
        parser.add_argument("--check-only", action="store_true", help="say what is wrong, no more")
        parser.add_argument("--no-documents", action="store_true", help="take in, issue nothing")

    def handle(self, *args: Any, **options: Any) -> None:
        check_only = options["check_only"]
        documents = not (check_only or options["no_documents"])
        if documents and options["out"] is None:
            raise CommandError("Say where the documents go with --out, or give --no-documents.")
        studio, user = who(options["studio"], options["user"], documents)
        try:
            brought = bring_in(options["folder"], studio, user, self.tell, check_only=check_only)
        except FolderProblemsError as found:
            self.list_problems(found)
            raise CommandError("Nothing was changed.") from found
        except SaddlebarError as problem:
            raise CommandError(str(problem)) from problem
        except OSError as error:
            raise CommandError(
                f"The disk refused: {error.strerror or error}. What was written before stands "
                "whole or not at all; run the same command again once there is room."
            ) from error
        self.report(brought, check_only)
        if documents and brought.folder is not None:
            self.write_documents(brought.folder, user, options["out"])

    def tell(self, line: str) -> None:
        self.stdout.write(f"… {line}")
        self.stdout.flush()

    def list_problems(self, found: FolderProblemsError) -> None:
        count = len(found.problems)
        self.stderr.write(f"{count} problem{'' if count == 1 else 's'} in this folder:")
        for problem in found.problems[:MOST_SHOWN]:
            self.stderr.write(f"  {problem}")
        if count > MOST_SHOWN:
            self.stderr.write(f"  and {count - MOST_SHOWN} more of the same kind, most likely.")

    def report(self, brought: BroughtIn, check_only: bool) -> None:
        for name in brought.left_alone:
            self.stdout.write(f"Left alone, being no part of a visit folder: {name}")
        counts = ", ".join(
            f"{count} {ONE.get(what, what.removesuffix('s')) if count == 1 else what}"
            for what, count in brought.counts.items()
            if count
        )
        if not brought.is_new:
            self.stdout.write("This very folder was taken in before: nothing was changed.")
        elif check_only:
            self.stdout.write(f"Nothing is wrong. It would bring: {counts}.")
        else:
            self.stdout.write(f"Taken in: {counts}.")

    def write_documents(self, folder: VisitFolder, user: User, out: Path) -> None:
        written, failed = documents_of(folder, user, out, self.tell)
        for document in written:
            self.stdout.write(f"{document.path}  SHA-256 {document.sha256}")
        if failed:
            raise CommandError("The folder is taken in. " + " ".join(failed))


def who(studio_name: str, email: str, documents: bool) -> tuple[Studio, User]:
    """Return the studio and the user, who may do all that is going to be done.

    Raises CommandError, naming what is missing.
    """
    studio = Studio.objects.filter(name=studio_name.strip()).first()
    if studio is None:
        names = "; ".join(Studio.objects.values_list("name", flat=True)[:12]) or "none yet"
        raise CommandError(f'No studio is called "{studio_name}". There is: {names}.')
    user = User.objects.filter(email=email.strip().lower(), is_active=True).first()
    if user is None:
        raise CommandError(f"Nobody signs in as {email}. Add them with add_user.")
    lacking = (TO_WRITE | (TO_ISSUE if documents else set())) - studio_abilities(user, studio)
    if lacking:
        raise CommandError(
            f"{email} may not do this at {studio}: it takes an owner or estimator of the studio."
        )
    return studio, user
