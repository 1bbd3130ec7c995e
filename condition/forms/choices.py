"""Long lists to choose from, in groups a surveyor can find the way in."""

from collections.abc import Iterable
from itertools import groupby
from typing import Final, NamedTuple
from uuid import UUID

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from condition.documents.words import subject_of
from condition.models import Finding, FindingKind, Survey
from sites.models import AttachedItem, Opening, Panel

Words = str | Promise
Choice = tuple[str, Words]
Choices = list[Choice | tuple[Words, list[Choice]]]

KIND_GROUPS: Final[dict[str, Words]] = {
    "came": _("Lead came"),
    "cement": _("Cement"),
    "glass": _("Glass and paint"),
    "panel": _("The panel as a whole"),
    "support": _("Bars and ties"),
    "attached-item": _("Plaques and other attached items"),
    "ventilator": _("Ventilator"),
    "guard": _("Guard"),
    "protective-glazing": _("Protective glazing"),
    "surround": _("Stone, timber and frame"),
    "other": _("Other"),
}


class Part(NamedTuple):
    """What a value of the select "Panel or item" stands for."""

    panel: UUID | None = None
    item: UUID | None = None


def part_value(panel: UUID | None, item: UUID | None) -> str:
    """Return the value of the select for a panel or an attached item; "" for neither."""
    if item:
        return f"item:{item}"
    return f"panel:{panel}" if panel else ""


def read_part(value: str) -> Part:
    """Return the keys in a value that `part_value` made. Raises ValueError for any other text."""
    if not value:
        return Part()
    name, _colon, key = value.partition(":")
    if name not in ("panel", "item"):
        raise ValueError(f"{value!r} names no panel and no item")
    return Part(**{name: UUID(key)})


def kind_choices(kinds: Iterable[FindingKind]) -> Choices:
    """Return kinds of finding under the names of their groups."""
    return [
        (KIND_GROUPS.get(group, group), [_choice(kind) for kind in members])
        for group, members in groupby(sorted(kinds, key=_group_place), key=lambda kind: kind.group)
    ]


def _choice(kind: FindingKind) -> Choice:
    return str(kind.pk), kind.name


def _group_place(kind: FindingKind) -> tuple[int, str, int, str]:
    known = list(KIND_GROUPS)
    place = known.index(kind.group) if kind.group in known else len(known)
    return place, kind.group, kind.order, kind.name


def part_choices(openings: Iterable[Opening], chosen: Opening | None, only: bool) -> Choices:
    """Return the panels and items of openings, those of the chosen opening first.

    only: leave out the other openings, as a page may that asks again when the opening changes.
    """
    rows = _chosen_first(openings, chosen, only)
    found: dict[UUID, list[Choice]] = {opening.pk: [] for opening in rows}
    for panel in Panel.objects.filter(opening__in=found):
        label = f"{panel.number} {panel.subject}".strip()
        found[panel.opening_id].append((part_value(panel.pk, None), label))
    for item in AttachedItem.objects.filter(opening__in=found):
        found[item.opening_id].append((part_value(None, item.pk), _item_label(item)))
    groups = [(opening.number, found[opening.pk]) for opening in rows if found[opening.pk]]
    return [("", _("The opening as a whole")), *groups]


def earlier_choices(
    earlier: Iterable[Finding], openings: Iterable[Opening], chosen: Opening | None, only: bool
) -> Choices:
    """Return findings that may be continued, by opening as in `part_choices`, newest first."""
    rows = _chosen_first(openings, chosen, only)
    found: dict[UUID, list[Choice]] = {opening.pk: [] for opening in rows}
    for finding in earlier:
        if finding.opening_id in found:
            found[finding.opening_id].append((str(finding.pk), _earlier_label(finding)))
    groups = [(opening.number, found[opening.pk]) for opening in rows if found[opening.pk]]
    return [("", _("No, it is new")), *groups]


def filing_choices(survey: Survey) -> Choices:
    """Return where a photograph of the survey may be filed: openings, and findings at them."""
    findings: dict[UUID, list[Choice]] = {}
    rows = survey.findings.select_related("kind", "opening", "panel", "attached_item")
    for finding in rows.order_by("number"):
        label = f"{finding.number} · {finding.kind.name}, {subject_of(finding)}"
        findings.setdefault(finding.opening_id, []).append((f"finding:{finding.pk}", label))
    return [
        (
            str(opening),
            [
                (f"opening:{opening.pk}", _("%s, the window as a whole") % opening.number),
                *findings.get(opening.pk, []),
            ],
        )
        for opening in survey.building.openings.all()
    ]


def _chosen_first(openings: Iterable[Opening], chosen: Opening | None, only: bool) -> list[Opening]:
    if chosen is None:
        return list(openings)
    others = [] if only else [opening for opening in openings if opening.pk != chosen.pk]
    return [chosen, *others]


def _item_label(item: AttachedItem) -> str:
    whose = f" ({item.memorial_of})" if item.memorial_of else ""
    return f"{item.number} {item.get_kind_display()}{whose}"


def _earlier_label(finding: Finding) -> str:
    day = finding.survey.day
    return f"{day:%Y-%m-%d} · {finding.number} {finding.kind.name}, {subject_of(finding)}"
