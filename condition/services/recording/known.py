"""What stands in the database around values that are to be recorded."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import Any

from django.db.models import Q
from django.utils.translation import gettext as _

from condition.compute.danger.facts import ANYTHING_ELSE
from condition.compute.recording.facts import (
    AboutSubject,
    Context,
    Continuation,
    FindingData,
    Key,
    KnownKind,
    KnownPart,
    KnownSurvey,
    PhotographData,
    RecordedFinding,
    RecordedInspection,
)
from condition.compute.recording.subjects import NO_SURVEY
from condition.models import Finding, FindingKind, FindingSource, Inspection, Survey
from condition.models.danger_facts import rules_of_row
from sites.access import abilities_at
from sites.compute.roles import READ, SURVEY
from sites.models import AttachedItem, Building, Panel, User
from sites.models.building import UNDER_SIDES
from sites.services.recording import NotRecordedError, Problem


def building_to_record_at(user: User, surveys: Iterable[Key]) -> Building:
    """Return the one building of these surveys, where the user may record.

    Raises NotRecordedError for a survey the user may not know of or record at, and where they
    are of several buildings.
    """
    keys = set(surveys)
    rows = Survey.objects.filter(pk__in=keys - {None}).select_related("building__studio")
    buildings = {row.building_id: row.building for row in rows}
    building = next(iter(buildings.values()), None)
    allowed = abilities_at(user, building) if building else frozenset()
    if building is None or len(buildings) > 1 or len(rows) < len(keys) or READ not in allowed:
        raise NotRecordedError([Problem("survey", _(NO_SURVEY))])
    if SURVEY not in allowed:
        raise NotRecordedError([Problem("survey", _("You may not record at this building."))])
    return building


def known_at(building: Building, records: Sequence[AboutSubject]) -> Context:
    """Return what is known of all that the records name, in a fixed number of queries."""
    openings, surveys = _named(records, "opening"), _named(records, "survey")
    findings = [each for each in records if isinstance(each, FindingData)]
    earlier = {key for each in findings for key in (each.continues, *each.also_from)}
    numbers = {each.number for each in findings} - {None}
    there = _findings(
        building,
        Q(pk__in=earlier - {None})
        | Q(survey__in=surveys, opening__in=openings)
        | Q(survey__in=surveys, number__in=numbers),
    )
    subjects = [*records, *(there[key] for key in earlier & there.keys())]
    return Context(
        surveys=_surveys(building),
        **_openings(building),
        panels=_panels(building, _named(subjects, "panel")),
        items=_items(building, _named(subjects, "attached_item")),
        kinds=_kinds(building, {each.kind for each in findings}),
        findings=there,
        continuations=_continuations(earlier - {None}),
        inspections=_inspections(surveys, openings),
    )


def known_of_photographs(building: Building, data: PhotographData) -> Context:
    """Return what is known of where a photograph is to be filed."""
    return Context(
        surveys=_surveys(building),
        openings=dict(building.openings.order_by().values_list("pk", "number")),
        findings=_findings(building, Q(pk__in=data.findings)),
    )


def finding_label(number: int, survey: Survey) -> str:
    return _("Finding %(number)s of %(day)s") % {
        "number": number,
        "day": f"{survey.day:%Y-%m-%d}",
    }


def _named(records: Iterable[AboutSubject], name: str) -> set[Any]:
    return {getattr(each, name) for each in records} - {None}


def _surveys(building: Building) -> dict[Key, KnownSurvey]:
    rows = building.surveys.order_by().values_list("pk", "day")
    return {key: KnownSurvey(f"{day:%Y-%m-%d}", day) for key, day in rows}


def _openings(building: Building) -> dict[str, Any]:
    openings = list(building.openings.order_by().select_related("building"))
    return {
        "openings": {opening.pk: opening.number for opening in openings},
        "over_people": frozenset(
            opening.pk
            for opening in openings
            if any(opening.people_under(side) for side in UNDER_SIDES)
        ),
    }


def _panels(building: Building, keys: set[Any]) -> dict[Key, KnownPart]:
    rows = Panel.objects.filter(opening__building=building, pk__in=keys)
    return {
        key: KnownPart(number, opening)
        for key, number, opening in rows.order_by().values_list("pk", "number", "opening_id")
    }


def _items(building: Building, keys: set[Any]) -> dict[Key, KnownPart]:
    rows = AttachedItem.objects.filter(opening__building=building, pk__in=keys).order_by()
    values = rows.values_list("pk", "number", "opening_id", "weighed_kg", "lower_edge_mm")
    return {
        key: KnownPart(number, opening, _number(weight), _number(edge))
        for key, number, opening, weight, edge in values
    }


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _kinds(building: Building, keys: set[Any]) -> dict[Key, KnownKind]:
    rows = FindingKind.objects.filter(studio=building.studio_id, pk__in=keys - {None})
    return {row.pk: known_kind(row, row.name) for row in rows.select_related("danger_row")}


def known_kind(row: FindingKind, name: str) -> KnownKind:
    """Return a kind as the rules take it. name: what it is called where it is recorded."""
    return KnownKind(
        name,
        tuple(row.units),
        row.danger,
        row.danger_when_all,
        row.code,
        rules_of_row(row.danger_row) if row.danger_row else ANYTHING_ELSE,
    )


def _findings(building: Building, wanted: Q) -> dict[Key, RecordedFinding]:
    rows = Finding.objects.of_building(building).filter(wanted).select_related("survey")
    return {row.pk: known_finding(row) for row in rows.order_by()}


def _continuations(earlier: set[Any]) -> dict[Key, list[Continuation]]:
    found: dict[Key, list[Continuation]] = defaultdict(list)
    rows = Finding.objects.filter(continues__in=earlier).select_related("survey")
    links = FindingSource.objects.filter(earlier__in=earlier).select_related("finding__survey")
    pairs = [(row.continues_id, row) for row in rows.order_by()]
    pairs += [(link.earlier_id, link.finding) for link in links]
    for key, row in pairs:
        label = finding_label(row.number, row.survey)
        found[key].append(Continuation(row.pk, label, row.survey.day))
    return found


def known_finding(row: Finding) -> RecordedFinding:
    """Return a recorded finding as the rules take it. row: with its survey."""
    return RecordedFinding(
        label=finding_label(row.number, row.survey), number=str(row.number), **about(row)
    )


def _inspections(surveys: set[Any], openings: set[Any]) -> dict[Key, RecordedInspection]:
    rows = Inspection.objects.filter(survey__in=surveys, opening__in=openings).order_by()
    return {row.pk: RecordedInspection(outcome=row.outcome, **about(row)) for row in rows}


def about(row: Finding | Inspection) -> dict[str, Any]:
    """Return by key what a row is about, and the side it was seen from."""
    return {
        "survey": row.survey_id,
        "opening": row.opening_id,
        "panel": row.panel_id,
        "attached_item": row.attached_item_id,
        "side": row.side,
    }
