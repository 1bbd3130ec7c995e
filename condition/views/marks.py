"""Marks on the register's lists and drawings: the worst urgency still standing, and danger."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.db.models import Max, OuterRef, Subquery

from condition.models import Danger, Finding, Survey
from condition.models.choices import UrgencyClass
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
    hazards = _dangerous(standing, "survey__building")
    return {
        building.pk: _mark(worst.get(building.pk), building.pk in hazards)
        for building in buildings
        if worst.get(building.pk) is not None or building.pk in hazards
    }


def opening_marks(request: AppRequest, building: Building) -> Marks:
    """For each opening: the findings of the latest survey that found something there."""
    return _marks(Finding.objects.of_building(building), "opening")


def part_marks(request: AppRequest, opening: Opening) -> Marks:
    """The same for each panel and each attached item of an opening."""
    findings = Finding.objects.filter(opening=opening)
    return {
        **_marks(findings.filter(panel__isnull=False), "panel"),
        **_marks(findings.filter(attached_item__isnull=False), "attached_item"),
    }


def _marks(findings: FindingQuerySet, by: str) -> Marks:
    rows = findings.not_continued().order_by()
    hazards = _dangerous(findings, by)
    return {
        thing: _mark_of(group, thing in hazards)
        for thing, group in _grouped(
            Seen(*row) for row in rows.values_list(by, "survey__day", "urgency_class")
        ).items()
    }


def _dangerous(findings: FindingQuerySet, by: str) -> set[UUID]:
    """What of it a danger that nobody ended can hurt somebody at today."""
    dangers = Danger.objects.not_ended().filter(findings__in=findings).with_facts()
    dangerous = [danger for danger in dangers.distinct() if danger.state_on().is_dangerous]
    rows = findings.filter(danger__in=dangerous).order_by()
    return set(rows.values_list(by, flat=True).distinct())


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
