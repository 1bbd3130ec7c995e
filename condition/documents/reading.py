"""All that a condition report is made of, read from the database at one moment."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, TypeVar
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Prefetch

from condition.compute.danger.state import DangerState
from condition.documents.danger_words import pressing
from condition.documents.judged import Judged, Judging
from condition.models import (
    AreaClosure,
    Danger,
    Finding,
    Inspection,
    Photograph,
    ReportTerms,
    SubjectAssessment,
    Survey,
)
from condition.models.choices import Alike, PhotographState
from sites.compute.figures import Figures
from sites.models import AttachedItem, Fixing, Opening
from sites.services.figures import figures_of

Row = TypeVar("Row")


@dataclass(frozen=True)
class Material:
    """Rows of one survey, sorted as they print. Photographs are the ready ones alone.

    moment: when it was read. dangers: all of the building, whatever survey saw them, with their
    states at the moment, the worst first.
    """

    survey: Survey
    moment: datetime
    openings: list[Opening]
    findings: dict[UUID, list[Finding]]
    inspections: dict[UUID, list[Inspection]]
    items: dict[UUID, list[AttachedItem]]
    photographs: dict[UUID | None, list[Photograph]]
    damaged: int
    assessments: dict[UUID, SubjectAssessment]
    judged: Judged
    dangers: list[tuple[Danger, DangerState]]
    closures: list[AreaClosure]
    terms: ReportTerms | None
    figures: Figures

    @property
    def day(self) -> date:
        """The date at the building, at the moment it was read."""
        return self.moment.astimezone(ZoneInfo(self.survey.building.time_zone)).date()

    @property
    def in_order(self) -> list[Finding]:
        """All findings, opening after opening as they stand, by number in each."""
        return [
            finding for opening in self.openings for finding in self.findings.get(opening.pk, [])
        ]

    def is_dangerous(self, opening: UUID) -> bool:
        """Whether a danger at an opening can hurt somebody today, whatever survey saw it."""
        return any(
            danger.opening_id == opening and state.is_dangerous for danger, state in self.dangers
        )

    def says_something_of(self, opening: Opening) -> bool:
        """Whether there is a finding, a look or a photograph of the opening, or an open danger."""
        key = opening.pk
        seen = key in self.findings or key in self.inspections or key in self.photographs
        return seen or any(
            danger.opening_id == key and state.end is None for danger, state in self.dangers
        )


def gather(survey: Survey, judge: Judging, moment: datetime) -> Material:
    """Return what the survey's report is made of, in a fixed number of queries.

    judge: works out what judging adds, from what has been read. moment: just before reading.
    """
    # Counting panels makes the database group the rows, and then it forgets their order.
    openings = survey.building.openings.for_list().order_by("order", "number")
    findings = (
        survey.findings.select_related(
            "kind", "opening", "panel", "attached_item", "continues__survey", "continues__kind"
        )
        .with_dangers()
        .prefetch_related("kind__action_links__action_kind")
        .order_by("number")
    )
    inspections = survey.inspections.select_related("opening", "panel", "attached_item")
    photographs = list(survey.photographs.select_related("opening").with_findings())
    ready = [
        each
        for each in photographs
        if each.state == PhotographState.READY and each.alike != Alike.LEFT_OUT
    ]
    figures = figures_of(survey.building.studio)
    return Material(
        survey=survey,
        moment=moment,
        openings=list(openings.prefetch_related("older_numbers", "panels", "bars")),
        findings=_by_opening(findings),
        inspections=_by_opening(inspections),
        items=_by_opening(_items(survey)),
        photographs=_by_opening(sorted(ready, key=_printing_order)),
        damaged=sum(each.state == PhotographState.DAMAGED for each in photographs),
        assessments=_assessments(survey),
        judged=judge(survey, list(findings), figures),
        dangers=_dangers(survey, moment),
        closures=_closures(survey),
        terms=ReportTerms.objects.in_force(survey.building).first(),
        figures=figures,
    )


def _assessments(survey: Survey) -> dict[UUID, SubjectAssessment]:
    """The classes set for openings as a whole, by opening."""
    whole = survey.assessments.filter(panel__isnull=True, attached_item__isnull=True)
    return {each.opening_id: each for each in whole}


def _dangers(survey: Survey, moment: datetime) -> list[tuple[Danger, DangerState]]:
    """Every danger of the building, ended or not."""
    day = moment.astimezone(ZoneInfo(survey.building.time_zone)).date()
    rows = Danger.objects.filter(building=survey.building_id).with_facts()
    rows = rows.prefetch_related("findings__survey", "acts__finding__survey")
    return sorted(((each, each.state_on(day)) for each in rows), key=pressing)


def _closures(survey: Survey) -> list[AreaClosure]:
    """The areas of the building that stand closed, whatever survey saw the danger."""
    rows = AreaClosure.objects.standing().for_list()
    return list(
        rows.filter(danger__building=survey.building_id).prefetch_related("danger__findings")
    )


def _items(survey: Survey) -> Iterable[AttachedItem]:
    return (
        AttachedItem.objects.filter(opening__building=survey.building_id)
        .select_related("panel")
        .prefetch_related(Prefetch("fixings", Fixing.objects.order_by("kind", "state", "id")))
    )


def _printing_order(photograph: Photograph) -> tuple[bool, int, str, str]:
    """Views of the whole first; then those of findings, in the order of the findings; by the
    camera's clock in each."""
    number = min((each.number for each in photograph.findings.all()), default=0)
    return bool(number), number, photograph.taken_local, str(photograph.pk)


def _by_opening(rows: Iterable[Row]) -> dict[Any, list[Row]]:
    found: dict[Any, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.opening_id].append(row)  # type: ignore[attr-defined]
    return dict(found)
