"""What the records say of findings, put as the situations that the rules ask about."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.db.models import Exists, OuterRef

from condition.compute.classes.situation import Situation
from condition.compute.danger.facts import Falls, sides_of
from condition.models import Finding, FindingSource
from condition.models.choices import AmountUnit
from condition.services.continuing import grown_since
from sites.compute.figures import Figures
from sites.models import AttachedItem
from sites.services.figures import figures_of
from sites.services.fixings import fixing_verdict
from sites.services.numbers import today_at

# Beside one of these a bow is not a harmless one. Common practice, no source.
GIVING_WAY: Final = frozenset(
    {
        "hinged-panel",
        "cracked-glass",
        "narrow-strip-cracked",
        "failed-solder-joint",
        "fractured-came",
        "broken-tie",
        "missing-tie",
        "flat-bar-come-away",
    }
)


@dataclass(frozen=True)
class _Around:
    """What is read beside the findings themselves."""

    grown: Mapping[UUID, bool]
    kinds_on_panels: Mapping[tuple[UUID, UUID | None], set[str]]
    not_held: set[UUID]


def situations_of(findings: Iterable[Finding]) -> dict[UUID, Situation]:
    """Return the situation of each finding, as it is stored. Reads a fixed number of queries."""
    rows: list[Any] = list(
        Finding.objects.filter(pk__in=[finding.pk for finding in findings])
        .select_related("kind", "survey", "panel", "opening__building__studio")
        .with_dangers()
        .annotate(
            stands=~Exists(Finding.objects.filter(continues=OuterRef("pk")))
            & ~Exists(FindingSource.objects.filter(earlier=OuterRef("pk")))
        )
    )
    if not rows:
        return {}
    figures = figures_of(rows[0].opening.building.studio)
    around = _Around(
        grown=grown_since(rows, figures),
        kinds_on_panels=_kinds_on_panels(rows),
        not_held=_not_held({row.attached_item_id for row in rows if row.stands}, figures),
    )
    return {row.pk: _situation(row, around) for row in rows}


def _situation(finding: Any, around: _Around) -> Situation:
    opening = finding.opening
    state = finding.danger.state_on() if finding.danger else None
    beside = around.kinds_on_panels.get((finding.survey_id, finding.panel_id), set())
    return Situation(
        kind=finding.kind.code,
        group=finding.kind.group,
        extent=finding.extent,
        amount=finding.amount,
        unit=finding.unit,
        of_total=_total(finding),
        span_mm=finding.span_mm,
        part=finding.part,
        hazard=state is not None and state.is_dangerous,
        falls_now=state is None or state.falls == Falls.NOW,
        held=state is not None and state.is_held,
        water=finding.water,
        people_below=any(opening.people_under(side) for side in sides_of(finding.side)),
        significance=opening.significance,
        grown=around.grown.get(finding.pk, False),
        # What holds an item is recorded as it is now: an older finding is not judged by it.
        one_more_lost=bool(finding.stands) and finding.attached_item_id in around.not_held,
        other_damage=bool((beside - {finding.kind.code}) & GIVING_WAY),
        diagnosed=bool(finding.diagnosis.strip()),
    )


def _total(finding: Finding) -> int | None:
    """Out of how many: as counted, or the pieces of the panel for a share of pieces."""
    if finding.of_total is None and finding.unit == AmountUnit.PERCENT_OF_PIECES and finding.panel:
        return finding.panel.pieces
    return finding.of_total


def _kinds_on_panels(findings: Iterable[Finding]) -> dict[tuple[UUID, UUID | None], set[str]]:
    """The kinds of damage found on each panel at each survey, but for what is mended."""
    panels = {finding.panel_id for finding in findings if finding.panel_id}
    found: dict[tuple[UUID, UUID | None], set[str]] = defaultdict(set)
    rows = Finding.objects.filter(panel__in=panels).exclude(amount=0).order_by()
    for survey, panel, kind in rows.values_list("survey", "panel", "kind__code"):
        found[survey, panel].add(kind)
    return found


def _not_held(items: set[Any], figures: Figures) -> set[UUID]:
    """The items that may come down with one more fixing lost, see `Verdict.may_come_down`."""
    rows = (
        AttachedItem.objects.filter(pk__in=items - {None})
        .select_related("opening__building__studio")
        .prefetch_related("fixings")
    )
    return {
        item.pk
        for item in rows
        if fixing_verdict(item, today_at(item.opening.building), figures).may_come_down
    }
