"""Issuing a condition report: asked for by a person, done by a worker."""

import logging
import tempfile
from collections.abc import Iterable, Mapping
from datetime import datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.documents.consistency import contradictions
from condition.documents.images import fetch_images
from condition.documents.layout import report_html
from condition.models import AreaClosure, ConditionReport, DangerAct, Finding, Survey
from condition.models.choices import PhotographState
from condition.services.comparing import NoSuchSurveyError, chosen_of, earlier_surveys
from condition.services.report_snapshot import build_snapshot
from condition.services.whole_photographs import make_whole
from sites.errors import JobFailedError, SaddlebarError
from sites.jobs import Progress, ask_for
from sites.models import Change, DocumentNumber, Job, User
from sites.models.choices import DocumentKind
from sites.printing import Attachment
from sites.services.issuing import Draft, freeze, print_draft
from sites.services.numbers import next_version, reserve_number, today_at

logger = logging.getLogger(__name__)

TASK = "issue_report"
SCHEMA_FILE = Path(__file__).parents[1] / "documents" / "condition-report-5.schema.json"
STEPS = 3


class ReportNotReadyError(SaddlebarError):
    """A survey whose report cannot be issued yet; the text lists what is missing."""

    def __init__(self, missing: list[str]) -> None:
        super().__init__(" ".join(missing))
        self.missing = missing


class ContradictoryReportError(SaddlebarError):
    """A report two of whose figures contradict each other: nothing is issued."""

    def __init__(self, contradictory: list[str]) -> None:
        super().__init__(
            _(
                "The report was not issued: its figures contradict each other (%s). This is a "
                "fault of the program. Whoever runs it finds the whole list in the log."
            )
            % contradictory[0]
        )
        self.contradictory = contradictory


def missing_for_report(survey: Survey) -> list[str]:
    """Return what must still be done before the survey's report can be issued, if anything."""
    says_something = survey.findings.exists() or survey.inspections.exists()
    waiting = survey.photographs.filter(state=PhotographState.RECEIVED).count()
    return why_not_ready(says_something, waiting)


def why_not_ready(says_something: bool, waiting: int) -> list[str]:
    """Return why a report cannot be issued yet; `waiting`: photographs not prepared."""
    missing = []
    if not says_something:
        missing.append(
            _("Nothing is recorded yet: log a finding, or what was looked at and found sound.")
        )
    if waiting:
        text = ngettext(
            "%d photograph is still being prepared: wait until it is ready.",
            "%d photographs are still being prepared: wait until they are ready.",
            waiting,
        )
        missing.append(text % waiting)
    return missing


def ask_for_report(survey: Survey, user: User, since: UUID | None = None) -> Job:
    """Return the job that issues the survey's next report, made now unless it is there.

    since: the key of the earlier survey it is compared with; None: of the suggested one.
    Raises ReportNotReadyError, naming what is missing.
    """
    missing = missing_for_report(survey)
    try:
        earlier = chosen_of(earlier_surveys(survey), since)
    except NoSuchSurveyError as refusal:
        missing.append(str(refusal))
    if missing:
        raise ReportNotReadyError(missing)
    version = next_version(DocumentKind.REPORT, survey.pk)
    return ask_for(
        survey.building.studio,
        TASK,
        job_key(survey, version),
        user,
        survey=str(survey.pk),
        version=version,
        asked_by=str(user.pk),
        since=str(earlier.pk) if earlier else None,
    )


def job_key(survey: Survey, version: int) -> str:
    return f"{TASK}:{survey.pk}:{version}"


def open_job(survey: Survey) -> Job | None:
    """Return the job that is printing the survey's next report, or failed at it; None for none."""
    key = job_key(survey, next_version(DocumentKind.REPORT, survey.pk))
    return Job.objects.filter(key=key).select_related("asked_by").first()


def issue_report(
    survey: Survey, version: int, user: User, progress: Progress, since: UUID | None = None
) -> ConditionReport:
    """Issue version `version` of the survey's report; issued already, it is returned as it is.

    since: the key of the earlier survey it is compared with; None: of the suggested one.
    May be run again after a crash at any point: the number is found again, and one row at most
    is ever inserted. Raises PrintError in the user's words; NoSuchSurveyError and
    ContradictoryReportError before anything is printed.
    """
    if issued := survey.reports.filter(version=version).first():
        return issued
    number = _reserve(survey, user)
    before = survey.reports.filter(version=number.version - 1).first()
    progress.step(1, STEPS, _("Gathering what was seen"))
    make_whole(survey)
    snapshot = build_snapshot(survey, number, before, since)
    refuse_contradictions(snapshot)
    with tempfile.TemporaryDirectory(prefix="report-") as folder:
        images = fetch_images(snapshot, Path(folder))
        draft = report_draft(snapshot, images)
        progress.step(2, STEPS, _("Printing"))
        printed = print_draft(draft)
    progress.step(3, STEPS, _("Issuing"))
    return freeze(
        ConditionReport,
        number=number,
        building=survey.building,
        supersedes=before,
        draft=draft,
        printed=printed,
        survey=survey,
    )


def refuse_contradictions(snapshot: dict[str, Any]) -> None:
    """Raise ContradictoryReportError for a report that says two things of one figure."""
    if found := contradictions(snapshot):
        for each in found:
            logger.error("report %s: %s", snapshot["document"]["number"], each)
        raise ContradictoryReportError(found)


def report_draft(snapshot: dict[str, Any], images: Mapping[str, Path]) -> Draft:
    """Return the report ready to print, for reading and for keeping, with its data's schema."""
    schema = Attachment(
        SCHEMA_FILE.name,
        SCHEMA_FILE.read_bytes(),
        "What the data holds and how it is written (JSON Schema)",
        "Supplement",
    )
    return Draft(
        snapshot, report_html(snapshot), images, extra_attachments=(schema,), archival=True
    )


def recorded_after(report: ConditionReport) -> list[str]:
    """Return what was recorded of its survey, and of the dangers of its building, after the moment
    that an issued report shows; in words, and nothing where nothing was.

    Findings are told apart by their keys: one saved while the report was printing is not in it.
    """
    survey, printed = report.survey, report.snapshot
    if "moment" not in printed:
        return []
    since = datetime.fromisoformat(printed["moment"])
    known = {UUID(each["id"]) for part in printed["openings"] for each in part["findings"]}
    later = {"received_at__gt": since}
    of_building = {"danger__building": report.building_id} | later
    counts = {
        _("findings recorded"): survey.findings.exclude(pk__in=known).count(),
        _("findings changed or removed"): _changed(known, since),
        _("looks recorded"): survey.inspections.filter(**later).count(),
        _("photographs received"): survey.photographs.filter(**later).count(),
        _("entries about dangers"): DangerAct.objects.filter(**of_building).count(),
        _("areas closed"): AreaClosure.objects.filter(**of_building).count(),
    }
    return [f"{words}: {count}" for words, count in counts.items() if count]


def _changed(findings: Iterable[UUID], since: datetime) -> int:
    """How many of the findings were changed or removed since a moment."""
    keys = [form for key in findings for form in (str(key), key.hex)]
    rows = Change.objects.filter(table=Finding._meta.db_table, at__gt=since, row__in=keys)
    return rows.values("row").distinct().count()


def _reserve(survey: Survey, user: User) -> DocumentNumber:
    building = survey.building
    return reserve_number(
        studio=building.studio,
        kind=DocumentKind.REPORT,
        subject=survey.pk,
        dated=today_at(building),
        user=user,
    )


def do_issue_report(job: Job, progress: Progress) -> dict[str, Any]:
    """The task: arguments are the survey's key, the version and who asked."""
    asked = job.arguments
    survey = Survey.objects.select_related("building__studio").get(pk=UUID(asked["survey"]))
    user = User.objects.get(pk=UUID(asked["asked_by"]))
    since = UUID(asked["since"]) if asked.get("since") else None
    try:
        report = issue_report(survey, asked["version"], user, progress, since)
    except NoSuchSurveyError as refusal:
        # Taken away since it was chosen: whoever asks again chooses again.
        raise JobFailedError(str(refusal)) from refusal
    return {
        "report": str(report.pk),
        "url": report.get_absolute_url(),
        "text": _("Open the report"),
    }
