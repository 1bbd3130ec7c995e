"""What would be done about a finding, as the record supports it: one answer for page and paper."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final
from uuid import UUID

from condition.models import ActionKind, Finding
from condition.models.choices import RecommendationClass, Step
from sites.compute.figures import Figures
from sites.models import AttachedItem
from sites.models.choices import ItemKind
from sites.services.fixings import remedy_of

# Which way of fixing a plaque each kind of work is; see `sites.compute.fixings.remedy`.
WAYS: Final[Mapping[str, str]] = {
    "refix-plaque-two-fixings": "tabs and beads",
    "strap-plaque-to-bar": "straps",
    "rescrew-plaque-to-wall": "screws",
}
# How many of the supported steps, mildest first, a level of recommendation takes in.
STEPS_AT: Final[Mapping[int, int | None]] = {
    RecommendationClass.MAINTENANCE: 1,
    RecommendationClass.MODERATE_REPAIR: 2,
    RecommendationClass.MAJOR_INTERVENTION: None,
}


@dataclass(frozen=True)
class Work:
    """What the room above knows of findings, by their keys.

    proposed: kinds of work proposed for each. tried: keys of those done about it before.
    """

    proposed: Mapping[UUID, Sequence[ActionKind]] = field(default_factory=dict)
    tried: Mapping[UUID, set[UUID]] = field(default_factory=dict)


# Set from above, as the application starts: nothing is known here of estimates and quotes.
work_on: list[Callable[[Sequence[Finding]], Work]] = []


@dataclass(frozen=True)
class Steps:
    """supported: what is usual for its kind, mildest first, without what the record excludes.

    proposed: the work that is proposed for it already, which is then what is said.
    """

    supported: tuple[ActionKind, ...]
    proposed: tuple[ActionKind, ...] = ()

    def told(self, recommendation: int | None) -> tuple[ActionKind, ...]:
        """Return the steps that are named at a level of recommendation, mildest first."""
        if self.proposed:
            return self.proposed
        if recommendation is None or recommendation not in STEPS_AT:
            return ()
        return self.supported[: STEPS_AT[recommendation]]

    def names(self, recommendation: int | None) -> list[str]:
        """Return the names of the steps at a level of recommendation."""
        return [kind.name for kind in self.told(recommendation)]


def steps_of(findings: Iterable[Finding], figures: Figures) -> dict[UUID, Steps]:
    """Return by key what would be done about each finding. Reads a fixed number of queries.

    findings: with attached item, opening, and their kinds' usual actions loaded.
    figures: the studio's.

    Left out is what was done about the same thing before and did not end it; watching, where it
    can hurt someone; and, for a plaque, each way of fixing but the one that its metal, weight and
    host speak for (for anything else that is attached, all of them: they are for plaques).
    """
    rows = list(findings)
    work = work_on[0](rows) if work_on else Work()
    ways = _ways_of({row.attached_item_id for row in rows if row.attached_item_id}, figures)
    return {
        row.pk: Steps(
            tuple(
                kind
                for kind in row.kind.usual_actions
                if _is_open(kind, row, ways, work.tried.get(row.pk, set()))
            ),
            tuple(work.proposed.get(row.pk, ())),
        )
        for row in rows
    }


def _is_open(kind: ActionKind, row: Finding, ways: Mapping[Any, str], tried: set[UUID]) -> bool:
    if kind.step == Step.MONITOR and row.hazard:
        return False
    if kind.pk in tried and kind.step != Step.MAKE_SAFE:
        return False
    if kind.code in WAYS and row.attached_item_id:
        return ways.get(row.attached_item_id) == WAYS[kind.code]
    return True


def _ways_of(items: set[Any], figures: Figures) -> dict[Any, str]:
    """How each plaque would be fixed anew; what is no plaque has none."""
    rows = (
        AttachedItem.objects.filter(pk__in=items, kind=ItemKind.PLAQUE)
        .select_related("opening__building")
        .prefetch_related("fixings")
    )
    return {row.pk: remedy_of(row, figures).choice for row in rows}
