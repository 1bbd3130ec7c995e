"""Make-safe notices: what they close is closed as they are asked for, then a worker prints."""

import logging
import tempfile
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from condition.compute.danger.acts import ActData
from condition.compute.danger.facts import Act, Falls
from condition.documents.images import fetch_copies
from condition.documents.make_safe.build import NoticeWords, build_snapshot
from condition.documents.make_safe.layout import notice_html, settings_to_try
from condition.models import AreaClosure, Danger, Finding, MakeSafeNotice, Photograph
from condition.models.choices import PhotographState
from condition.services.photographs import prepare_photograph
from condition.services.recording.closures import close_areas, why_not_closed
from condition.services.recording.dangers import problems_of, record_act
from condition.services.recording.sending import digest_of
from condition.services.whole_photographs import read_photograph
from sites.errors import JobFailedError
from sites.jobs import Progress, ask_for
from sites.keys import uuid7_from
from sites.models import DocumentNumber, Job, User
from sites.models.choices import DocumentKind
from sites.models.job import JobState
from sites.printing import Printed
from sites.rules.actor import acting_as
from sites.services.issuing import Draft, freeze, print_draft
from sites.services.numbers import next_version, reserve_number, today_at
from sites.services.recording import NotRecordedError, Problem, raise_for

logger = logging.getLogger(__name__)

TASK: Final = "issue_notice"
STEPS: Final = 3
# What a measure calls what the notice asks for under another name.
BOXES: Final = {"day": "done_on", "because": "done"}


def next_notice_version(danger: Danger) -> int:
    """Return the version that the danger's next notice will have."""
    return next_version(DocumentKind.MAKE_SAFE, danger.pk)


def open_job(danger: Danger) -> Job | None:
    """Return the job that is printing the danger's next notice, or failed at it; None for none."""
    key = job_key(danger, next_notice_version(danger))
    return Job.objects.filter(key=key).select_related("asked_by").first()


def job_key(danger: Danger, version: int) -> str:
    return f"{TASK}:{danger.pk}:{version}"


def why_no_notice(danger: Danger) -> str:
    """Return why a danger gets no notice, in the user's words; "" where it may have one."""
    state = danger.state_on()
    if state.end is not None:
        return _("This danger has ended: a notice is of one that is open.")
    if state.falls == Falls.NO:
        return _("It was judged that it cannot come down. Answer that again first.")
    return ""


def ask_for_notice(danger: Danger, words: NoticeWords, version: int, user: User) -> Job:
    """Return the job that issues version `version` of a danger's notice; asked twice with the
    same words, it is one job.

    From now on its areas stand closed, and what was done is a measure of the danger, whether the
    notice gets printed or not. Raises NotRecordedError with all problems; also where that version
    is being issued, or has been, with other words.
    """
    with transaction.atomic(), acting_as(str(user.pk)):
        held = Danger.objects.select_for_update(of=("self",)).with_facts().get(pk=danger.pk)
        asked = words.as_dict()
        there = Job.objects.filter(key=job_key(held, version)).first()
        failed = there is not None and there.state == JobState.FAILED
        if there is not None and not failed and there.arguments["words"] != asked:
            raise NotRecordedError([Problem("", _another())])
        if there is None or failed:
            raise_for(problems_of_notice(held, words))
            close_areas(held, words.areas, words.new_area, words.closed_at, version)
            _record_measure(held, words, user)
        if there is not None and failed:
            there.arguments = there.arguments | {"words": asked}
            there.save(update_fields=["arguments"])
        return ask_for(
            held.building.studio,
            TASK,
            job_key(held, version),
            user,
            danger=str(held.pk),
            version=version,
            asked_by=str(user.pk),
            words=asked,
        )


def problems_of_notice(danger: Danger, words: NoticeWords) -> list[Problem]:
    """Return all that is wrong with what is to be issued of a danger."""
    if reason := why_no_notice(danger):
        return [Problem("", reason)]
    problems = why_not_closed(danger, words.areas, words.new_area, words.closed_at)
    measure = problems_of(_measure(danger, words), danger)
    return problems + [replace(each, field=BOXES.get(each.field, each.field)) for each in measure]


def issue_notice(
    danger: Danger, version: int, words: NoticeWords, user: User, progress: Progress
) -> MakeSafeNotice:
    """Issue version `version` of a danger's notice; issued already, it is returned as it is.

    May be run again after a crash at any point: the number is found again, and one row at most
    is ever inserted. Raises PrintError in the user's words, and JobFailedError where no area
    stands closed any more.
    """
    if issued := danger.notices.filter(version=version).first():
        return issued
    closures = list(AreaClosure.objects.standing().for_list().filter(danger=danger))
    if not closures:
        raise JobFailedError(
            _("Every area was opened again before the notice was printed: nothing is closed.")
        )
    number = _reserve(danger, user)
    before = danger.notices.filter(version=number.version - 1).first()
    progress.step(1, STEPS, _("Preparing the photograph"))
    _prepare(danger, words.photograph)
    finding = latest_sighting(danger)
    snapshot = build_snapshot(danger, finding, closures, words, number, before)
    with tempfile.TemporaryDirectory(prefix="notice-") as folder:
        progress.step(2, STEPS, _("Printing"))
        draft, printed = print_on_one_page(snapshot, _images(snapshot, Path(folder)))
    progress.step(3, STEPS, _("Issuing"))
    notice = freeze(
        MakeSafeNotice,
        number=number,
        building=danger.building,
        supersedes=before,
        draft=draft,
        printed=printed,
        danger=danger,
        finding=finding,
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
    """The task: arguments are the danger's key, the version, who asked and what was typed."""
    asked = job.arguments
    danger = Danger.objects.with_facts().filter(pk=UUID(asked["danger"])).first()
    if danger is None:
        raise JobFailedError(_("The danger is no longer there."))
    user = User.objects.get(pk=UUID(asked["asked_by"]))
    words = NoticeWords.from_dict(asked["words"])
    notice = issue_notice(danger, asked["version"], words, user, progress)
    return {
        "notice": str(notice.pk),
        "url": notice.get_absolute_url(),
        "text": _("Open the notice"),
    }


def latest_sighting(danger: Danger) -> Finding | None:
    """Return the newest finding of a danger; None where it was told without a survey."""
    rows = danger.findings.select_related(
        "survey__building__studio", "kind", "opening", "panel", "attached_item"
    )
    return rows.order_by("-survey__day", "-pk").first()


def _another() -> str:
    return _(
        "A notice of this danger is being issued, or has just been, in other words. "
        "Read it; then issue it again if something must be added."
    )


def _measure(danger: Danger, words: NoticeWords) -> ActData:
    return ActData(
        danger=danger.pk,
        act=Act.MEASURE,
        day=words.done_on,
        measure=words.measure,
        fixed_to=words.fixed_to,
        because=words.done,
        placed=words.placed,
        holder=words.holder,
    )


def _record_measure(danger: Danger, words: NoticeWords, user: User) -> None:
    """Keep what was done with the danger. The same again, on a later version, is the same act."""
    data = _measure(danger, words)
    record_act(data, uuid7_from(danger.pk, digest_of(data).encode()), user)


def _reserve(danger: Danger, user: User) -> DocumentNumber:
    building = danger.building
    return reserve_number(
        studio=building.studio,
        kind=DocumentKind.MAKE_SAFE,
        subject=danger.pk,
        dated=today_at(building),
        user=user,
    )


def _prepare(danger: Danger, key: UUID | None) -> None:
    """Make the copies of a photograph that came with the notice a moment ago, or are lost.

    A photograph that is damaged stops no notice: the notice says so.
    """
    photographs = Photograph.objects.of_danger(danger).select_related("building")
    photograph = photographs.filter(pk=key).first() if key else None
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
