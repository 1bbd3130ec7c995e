"""All that a condition report is made of, read from the database at one moment."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, TypeVar
from uuid import UUID

from django.db.models import Prefetch

from condition.models import Finding, Look, Photograph, Survey
from condition.models.choices import PhotographState
from sites.models import AttachedItem, Fixing, Opening

Row = TypeVar("Row")


@dataclass(frozen=True)
class Material:
    """Rows of one survey, sorted as they print. Photographs are the ready ones alone."""

    survey: Survey
    openings: list[Opening]
    findings: dict[UUID, list[Finding]]
    looks: dict[UUID, list[Look]]
    items: dict[UUID, list[AttachedItem]]
    photographs: dict[UUID | None, list[Photograph]]
    damaged: int

    @property
    def in_order(self) -> list[Finding]:
        """All findings, opening after opening as they stand, by number in each."""
        return [
            finding for opening in self.openings for finding in self.findings.get(opening.pk, [])
        ]

    def says_something_of(self, opening: Opening) -> bool:
        """Whether the survey has a finding, a look or a photograph of the opening."""
        key = opening.pk
        return key in self.findings or key in self.looks or key in self.photographs


def gather(survey: Survey) -> Material:
    """Return what the survey's report is made of, in a fixed number of queries."""
    # Counting panels makes the database group the rows, and then it forgets their order.
    openings = survey.building.openings.for_list().order_by("order", "number")
    findings = survey.findings.select_related(
        "kind", "opening", "panel", "attached_item", "continues__survey"
    ).order_by("number")
    looks = survey.looks.select_related("opening", "panel", "attached_item")
    photographs = list(
        survey.photographs.select_related(
            "opening",
            "finding__kind",
            "finding__opening",
            "finding__panel",
            "finding__attached_item",
        )
    )
    ready = [each for each in photographs if each.state == PhotographState.READY]
    return Material(
        survey=survey,
        openings=list(openings.prefetch_related("older_numbers", "panels", "bars")),
        findings=_by_opening(findings),
        looks=_by_opening(looks),
        items=_by_opening(_items(survey)),
        photographs=_by_opening(sorted(ready, key=_printing_order)),
        damaged=sum(each.state == PhotographState.DAMAGED for each in photographs),
    )


def _items(survey: Survey) -> Iterable[AttachedItem]:
    return (
        AttachedItem.objects.filter(opening__building=survey.building_id)
        .select_related("panel")
        .prefetch_related(Prefetch("fixings", Fixing.objects.order_by("kind", "state", "id")))
    )


def _printing_order(photograph: Photograph) -> tuple[bool, int, str, str]:
    """Those of findings first, in the order of the findings; then by the camera's clock."""
    finding = photograph.finding
    number = finding.number if finding else 0
    return finding is None, number, photograph.taken_local, str(photograph.pk)


def _by_opening(rows: Iterable[Row]) -> dict[Any, list[Row]]:
    found: dict[Any, list[Row]] = defaultdict(list)
    for row in rows:
        found[row.opening_id].append(row)  # type: ignore[attr-defined]
    return dict(found)
