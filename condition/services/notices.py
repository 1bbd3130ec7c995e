"""Make-safe notices: issued at once by a worker, open until somebody signs the area reopened."""

import logging
import tempfile
from contextlib import suppress
from pathlib import Path
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.db.models import QuerySet
from django.utils.translation import gettext as _

from condition.documents.images import fetch_copies
from condition.documents.make_safe.build import NoticeWords, build_snapshot
from condition.documents.make_safe.layout import notice_html, settings_to_try
from condition.models import Finding, MakeSafeNotice, NoticeReopening
from condition.models.choices import PhotographState
from condition.services.photographs import prepare_photograph
from condition.services.whole_photographs import read_photograph
from sites.errors import JobFailedError, SaddlebarError
from sites.jobs import Progress, ask_for
from sites.models import Building, DocumentNumber, Job, Studio, User
from sites.models.choices import DocumentKind
from sites.models.job import JobState
from sites.printing import Printed
from sites.services.issuing import Draft, freeze, print_draft
from sites.services.numbers import next_version, reserve_number, today_at

logger = logging.getLogger(__name__)

TASK: Final = "issue_notice"
STEPS: Final = 3


class NoticeError(SaddlebarError):
    """A notice that cannot be issued, in the user's words."""


class ReopeningError(SaddlebarError):
    """A reopening that cannot stand; `box` is the box of the form it belongs to."""

    def __init__(self, message: str, box: str | None = None) -> None:
        super().__init__(message)
        self.box = box


def open_rows() -> QuerySet[MakeSafeNotice]:
    """Return the notices whose area nobody has signed reopened, the newest first.

    Of a notice issued anew the last version counts.
    """
    return (
        MakeSafeNotice.objects.filter(superseded_by__isnull=True, reopening__isnull=True)
        .select_related(
            "building",
            "finding__kind",
            "finding__opening",
            "finding__panel",
            "finding__attached_item",
            "finding__survey",
        )
        .defer("snapshot")
        .order_by("-issued_at")
    )


def open_notices(where: Building | Studio) -> QuerySet[MakeSafeNotice]:
    """Return the open notices of a building, or of all a studio looks after."""
    if isinstance(where, Building):
        return open_rows().filter(building=where)
    return open_rows().filter(studio=where)


def open_notices_for(user: User) -> QuerySet[MakeSafeNotice]:
    """Return the open notices at every building the user may read."""
    return open_rows().filter(building__in=Building.objects.open_to(user))


def next_notice_version(finding: Finding) -> int:
    """Return the version that the finding's next notice will have."""
    return next_version(DocumentKind.MAKE_SAFE, finding.pk)


def open_job(finding: Finding) -> Job | None:
    """Return the job that is printing the finding's next notice, or failed at it; None for none."""
    key = job_key(finding, next_notice_version(finding))
    return Job.objects.filter(key=key).select_related("asked_by").first()


def job_key(finding: Finding, version: int) -> str:
    return f"{TASK}:{finding.pk}:{version}"


@transaction.atomic
def ask_for_notice(finding: Finding, words: NoticeWords, version: int, user: User) -> Job:
    """Return the job that issues version `version` of the finding's notice; asked twice with the
    same words, it is one job. What was done is noted on the finding where nothing stands yet.

    Raises NoticeError where the finding is no danger, and where that version is being issued, or
    has been, with other words.
    """
    held = Finding.objects.select_for_update().get(pk=finding.pk)
    if not held.hazard:
        raise NoticeError(_("This finding is not marked as able to hurt someone: say that first."))
    said = words.as_dict()
    there = Job.objects.filter(key=job_key(finding, version)).first()
    if there is not None and there.arguments["words"] != said:
        if there.state != JobState.FAILED:
            raise NoticeError(
                _(
                    "A notice of this danger is being issued, or has just been, in other words. "
                    "Read it; then issue it again if something must be added."
                )
            )
        there.arguments = there.arguments | {"words": said}
        there.save(update_fields=["arguments"])
    return ask_for(
        finding.survey.building.studio,
        TASK,
        job_key(finding, version),
        user,
        finding=str(finding.pk),
        version=version,
        asked_by=str(user.pk),
        words=said,
    )


def issue_notice(
    finding: Finding, version: int, words: NoticeWords, user: User, progress: Progress
) -> MakeSafeNotice:
    """Issue version `version` of the finding's notice; issued already, it is returned as it is.

    May be run again after a crash at any point: the number is found again, and one row at most
    is ever inserted. Raises PrintError in the user's words.
    """
    if issued := finding.notices.filter(version=version).first():
        return issued
    number = _reserve(finding, user)
    before = finding.notices.filter(version=number.version - 1).first()
    progress.step(1, STEPS, _("Preparing the photograph"))
    _prepare(finding, words.photograph)
    snapshot = build_snapshot(finding, words, number, before)
    with tempfile.TemporaryDirectory(prefix="notice-") as folder:
        progress.step(2, STEPS, _("Printing"))
        draft, printed = print_on_one_page(snapshot, _images(snapshot, Path(folder)))
    progress.step(3, STEPS, _("Issuing"))
    notice = freeze(
        MakeSafeNotice,
        number=number,
        building=finding.survey.building,
        supersedes=before,
        draft=draft,
        printed=printed,
        finding=finding,
        area=words.area,
    )
    logger.info("make-safe notice %s issued", notice.pk)
    return notice


def print_on_one_page(snapshot: dict[str, Any], images: dict[str, Path]) -> tuple[Draft, Printed]:
    """Return the notice printed in the largest letters that leave it on one page.

    Raises PrintError in the user's words.
    """
    for setting in settings_to_try(snapshot):
        draft = Draft(snapshot, notice_html(snapshot, setting), images)
        printed = print_draft(draft)
        if printed.pages == 1:
            break
    return draft, printed


def do_issue_notice(job: Job, progress: Progress) -> dict[str, Any]:
    """The task: arguments are the finding's key, the version, who asked and what was typed."""
    asked = job.arguments
    rows = Finding.objects.select_related(
        "survey__building__studio", "kind", "opening", "panel", "attached_item"
    )
    finding = rows.filter(pk=UUID(asked["finding"])).first()
    if finding is None:
        raise JobFailedError(_("The finding is no longer there."))
    user = User.objects.get(pk=UUID(asked["asked_by"]))
    words = NoticeWords.from_dict(asked["words"])
    notice = issue_notice(finding, asked["version"], words, user, progress)
    return {
        "notice": str(notice.pk),
        "url": notice.get_absolute_url(),
        "text": _("Open the notice"),
    }


@transaction.atomic
def reopen(notice: MakeSafeNotice, reopening: NoticeReopening, user: User) -> NoticeReopening:
    """Record that somebody signed the area of a notice reopened. The row is frozen.

    Raises ReopeningError for a notice that is not open, and for a day before the notice's or
    after today.
    """
    # Two may sign at once: the second waits here for the first, and is then told.
    held = MakeSafeNotice.objects.select_for_update().get(pk=notice.pk)
    if MakeSafeNotice.objects.filter(supersedes=held).exists():
        raise ReopeningError(_("A newer version of this notice stands: sign that one."))
    if NoticeReopening.objects.filter(notice=held).exists():
        raise ReopeningError(_("The area of this notice has been signed reopened already."))
    if reopening.reopened_on < held.dated:
        raise ReopeningError(_("The area was not closed yet on that day."), "reopened_on")
    if reopening.reopened_on > today_at(notice.building):
        raise ReopeningError(_("That day is still to come."), "reopened_on")
    reopening.notice, reopening.recorded_by = held, user
    reopening.save(force_insert=True)
    logger.info("make-safe notice %s reopened", notice.pk)
    return reopening


def _reserve(finding: Finding, user: User) -> DocumentNumber:
    building = finding.survey.building
    return reserve_number(
        studio=building.studio,
        kind=DocumentKind.MAKE_SAFE,
        subject=finding.pk,
        dated=today_at(building),
        user=user,
    )


def _prepare(finding: Finding, key: UUID | None) -> None:
    """Make the copies of a photograph that came with the notice a moment ago, or are lost.

    A photograph that is damaged stops no notice: the notice says so.
    """
    if key is None:
        return
    photograph = finding.photographs.filter(pk=key).select_related("building").first()
    if photograph is None:
        return
    if photograph.state == PhotographState.RECEIVED:
        with suppress(JobFailedError):
            prepare_photograph(photograph)
    else:
        read_photograph(photograph)


def _images(snapshot: dict[str, Any], folder: Path) -> dict[str, Path]:
    """The notice's picture as a local file; one that is gone is left to the printer to name."""
    picture = snapshot["picture"]
    return fetch_copies([UUID(picture["id"])], folder) if picture else {}
