"""The documents of a folder: the condition report and the quote, issued once, and written out."""

import hashlib
import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import cast

from django.db.models import Manager
from django.utils.translation import gettext as _

from condition.models import Survey
from condition.services.issuing import ask_for_report
from restoration.models import Estimate
from restoration.services.issuing import ask_for_quote
from restoration.services.visit_folder.pictures import Tell
from sites.errors import SaddlebarError
from sites.jobs import run_now
from sites.models import FrozenDocument, Job, User, VisitFolder
from sites.models.job import JobState

WORKER = "bring_in"


@dataclass(frozen=True)
class WrittenOut:
    """An issued document as a file."""

    path: Path
    sha256: str


class NotIssuedError(SaddlebarError):
    """A document that cannot be had, and why."""


def documents_of(
    folder: VisitFolder, user: User, out: Path, tell: Tell
) -> tuple[list[WrittenOut], list[str]]:
    """Return the folder's documents as files in `out`, and why any could not be issued.

    A document that was issued is written out again, in its latest version, and not issued anew.
    """
    survey = Survey.objects.filter(pk=folder.keys.get("latest survey")).first()
    estimate = Estimate.objects.filter(pk=folder.keys.get("estimate")).first()
    written, failed = [], []
    documents: tuple[tuple[str, Callable[[], FrozenDocument | None]], ...] = (
        ("condition report", lambda: _report(survey, user, tell) if survey else None),
        ("quote", lambda: _quote(estimate, user, tell) if estimate else None),
    )
    for what, issue in documents:
        try:
            document = issue()
            if document is not None:
                written.append(write_out(document, out))
        except SaddlebarError as problem:
            failed.append(f"No {what}: {problem}")
    return written, failed


def write_out(document: FrozenDocument, out: Path) -> WrittenOut:
    """Write an issued document to `out`, whole or not at all, and return it.

    Raises NotIssuedError when the stored file is not the one that was issued, or when `out`
    cannot be written to.
    """
    pdf = _stored(document)
    digest = hashlib.sha256(pdf).hexdigest()
    if digest != document.pdf_sha256:
        raise NotIssuedError(
            _(
                "The stored file of %(document)s is not the one issued. Move the file %(name)s "
                "away, then bring it back with `manage.py restore BACKUPS --missing-files`."
            )
            % {"document": document, "name": document.pdf.name}
        )
    path = out / f"{document.number}-v{document.version}.pdf"
    part = path.with_suffix(".part")
    try:
        out.mkdir(parents=True, exist_ok=True)
        part.write_bytes(pdf)
        os.replace(part, path)
    except OSError as problem:
        raise NotIssuedError(
            _("%(path)s cannot be written: %(why)s") % {"path": path, "why": problem.strerror}
        ) from problem
    return WrittenOut(path, digest)


def _stored(document: FrozenDocument) -> bytes:
    try:
        with document.pdf.storage.open(cast("str", document.pdf.name)) as file:
            pdf: bytes = file.read()
    except FileNotFoundError as problem:
        raise NotIssuedError(
            _(
                "The stored file of %(document)s is gone. Bring it back with "
                "`manage.py restore BACKUPS --missing-files`."
            )
            % {"document": document}
        ) from problem
    return pdf


def _report(survey: Survey, user: User, tell: Tell) -> FrozenDocument:
    return _issued(survey.reports, lambda: ask_for_report(survey, user), "the report", tell)


def _quote(estimate: Estimate, user: User, tell: Tell) -> FrozenDocument:
    return _issued(estimate.quotes, lambda: ask_for_quote(estimate, user), "the quote", tell)


def _issued(
    versions: Manager[FrozenDocument], ask: Callable[[], Job], what: str, tell: Tell
) -> FrozenDocument:
    """Return the latest version, issued now where there is none."""
    if not versions.exists():
        tell(f"issuing {what}")
        job = run_now(ask(), WORKER)
        if job.state != JobState.DONE:
            raise NotIssuedError(job.problem or _("Another worker is at it; try again shortly."))
    document: FrozenDocument = versions.latest("version")
    return document
