"""All that a condition report is made of, read from the database at one moment."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TypeVar
from uuid import UUID

from django.db.models import Prefetch

from condition.documents.judged import Judged, Judging
from condition.models import (
    AreaClosure,
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
    """Rows of one survey, sorted as they print. Photographs are the ready ones alone."""

    survey: Survey
    openings: list[Opening]
    findings: dict[UUID, list[Finding]]
    inspections: dict[UUID, list[Inspection]]
    items: dict[UUID, list[AttachedItem]]
    photographs: dict[UUID | None, list[Photograph]]
    damaged: int
    assessments: dict[UUID, SubjectAssessment]
    judged: Judged
    closures: list[AreaClosure]
    terms: ReportTerms | None
    figures: Figures

    @property
    def in_order(self) -> list[Finding]:
        """All findings, opening after opening as they stand, by number in each."""
        return [
            finding for opening in self.openings for finding in self.findings.get(opening.pk, [])
        ]

    def says_something_of(self, opening: Opening) -> bool:
        """Whether the survey has a finding, a look or a photograph of the opening."""
        key = opening.pk
        return key in self.findings or key in self.inspections or key in self.photographs


def gather(survey: Survey, judge: Judging) -> Material:
    """Return what the survey's report is made of, in a fixed number of queries.

    judge: works out what judging adds, from what has been read.
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
        openings=list(openings.prefetch_related("older_numbers", "panels", "bars")),
        findings=_by_opening(findings),
        inspections=_by_opening(inspections),
        items=_by_opening(_items(survey)),
        photographs=_by_opening(sorted(ready, key=_printing_order)),
        damaged=sum(each.state == PhotographState.DAMAGED for each in photographs),
        assessments=_assessments(survey),
        judged=judge(survey, list(findings), figures),
        closures=_closures(survey),
        terms=ReportTerms.objects.in_force(survey.building).first(),
        figures=figures,
    )


def _assessments(survey: Survey) -> dict[UUID, SubjectAssessment]:
    """The classes set for openings as a whole, by opening."""
    whole = survey.assessments.filter(panel__isnull=True, attached_item__isnull=True)
    return {each.opening_id: each for each in whole}


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
