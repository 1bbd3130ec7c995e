"""Marks on the register's lists and drawings: the worst urgency still standing, and danger."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db.models import Max, OuterRef, Subquery

from condition.models import Danger, Finding, Survey
from condition.models.choices import UrgencyClass
from condition.models.danger import DangerQuerySet
from condition.models.finding import FindingQuerySet
from sites.hooks import Mark, Marks
from sites.models import Building, Opening
from sites.web import AppRequest


@dataclass(frozen=True)
class Seen:
    """What a mark is made of: one finding that no later survey has taken up."""

    thing: UUID
    day: date
    urgency: int | None


def building_marks(request: AppRequest, buildings: list[Building]) -> Marks:
    """The worst urgency in each building's latest survey, and danger from whichever survey."""
    latest = Survey.objects.filter(building=OuterRef("survey__building")).order_by("-day", "-id")
    standing = Finding.objects.filter(survey__building__in=buildings).not_continued()
    in_latest = standing.filter(survey=Subquery(latest.values("pk")[:1])).order_by()
    worst = dict(in_latest.values_list("survey__building").annotate(Max("urgency_class")))
    hazards = _dangerous(Danger.objects.filter(building__in=buildings), "building_id")
    return {
        building.pk: _mark(worst.get(building.pk), building.pk in hazards)
        for building in buildings
        if worst.get(building.pk) is not None or building.pk in hazards
    }


def opening_marks(request: AppRequest, building: Building) -> Marks:
    """For each opening: the findings of the latest survey that found something there."""
    dangers = Danger.objects.filter(building=building, opening__isnull=False)
    return _marks(Finding.objects.of_building(building), dangers, "opening_id")


def part_marks(request: AppRequest, opening: Opening) -> Marks:
    """The same for each panel and each attached item of an opening."""
    findings = Finding.objects.filter(opening=opening)
    dangers = Danger.objects.filter(opening=opening)
    marks: dict[UUID, Mark] = {}
    for part in ("panel", "attached_item"):
        of_part = {f"{part}__isnull": False}
        marks |= _marks(findings.filter(**of_part), dangers.filter(**of_part), f"{part}_id")
    return marks


def _marks(findings: FindingQuerySet, dangers: DangerQuerySet, by: str) -> dict[UUID, Mark]:
    rows = findings.not_continued().order_by()
    hazards = _dangerous(dangers, by)
    told_alone: dict[UUID, Mark] = {thing: _mark(None, hazard=True) for thing in hazards}
    return told_alone | {
        thing: _mark_of(group, thing in hazards)
        for thing, group in _grouped(
            Seen(*row) for row in rows.values_list(by, "survey__day", "urgency_class")
        ).items()
    }


def _dangerous(dangers: DangerQuerySet, by: str) -> set[UUID]:
    """At what of it a danger that nobody ended can hurt somebody today. What is not in its place
    hangs over nobody."""
    states = ((danger, danger.state_on()) for danger in dangers.not_ended().with_facts())
    return {
        getattr(danger, by) for danger, state in states if state.is_dangerous and not state.is_away
    }


def _grouped(seen: Iterable[Seen]) -> dict[UUID, list[Seen]]:
    by_thing: dict[UUID, list[Seen]] = defaultdict(list)
    for each in seen:
        by_thing[each.thing].append(each)
    return by_thing


def _mark_of(group: list[Seen], hazard: bool) -> Mark:
    """An older survey's findings give way to the latest one's; its dangers do not."""
    latest = max(each.day for each in group)
    current = [each for each in group if each.day == latest]
    levels = [each.urgency for each in current if each.urgency is not None]
    return _mark(max(levels, default=None), hazard, len(current))


def _mark(urgency: int | None, hazard: bool, findings: int = 0) -> Mark:
    word = "" if urgency is None else str(UrgencyClass(urgency).label)
    return Mark(urgency=urgency, word=word, hazard=hazard, findings=findings)
