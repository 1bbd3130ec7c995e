"""Areas closed for a danger, opened again by two people, or their notice taken back."""

from collections.abc import Iterable, Sequence
from dataclasses import asdict
from datetime import datetime
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from condition.compute.danger.closing import (
    NOTHING_ENDS,
    ClosureEndData,
    KnownClosure,
    closing_problems,
    opening_problems,
)
from condition.compute.recording.facts import refused
from condition.models import Area, AreaClosure, ClosureEnd, Danger
from condition.models.danger_facts import row_of
from condition.services.recording.sending import column_problems, in_words
from sites.access import abilities_at
from sites.compute.problems import once_a_field
from sites.compute.roles import MANAGE, SURVEY
from sites.keys import uuid7
from sites.models import Building, User
from sites.rules.actor import acting_as
from sites.services.numbers import today_at
from sites.services.recording import NotRecordedError, Problem, raise_for


def now_at(building: Building) -> datetime:
    """Return the building's own clock, to the minute and without a zone."""
    now = timezone.now().astimezone(ZoneInfo(building.time_zone))
    return now.replace(tzinfo=None, second=0, microsecond=0)


def why_not_closed(
    danger: Danger, areas: Sequence[UUID], new_area: str, closed_at: datetime
) -> list[Problem]:
    """Return why these areas cannot be closed for a danger; those that stand closed stay so."""
    known = Area.objects.filter(building=danger.building_id, pk__in=areas).count()
    if known != len(set(areas)):
        return [Problem("areas", _("That area is not one of this building."))]
    standing = AreaClosure.objects.standing().filter(danger=danger).count()
    count = known + standing + bool(new_area.strip())
    problems = in_words(closing_problems(closed_at, now_at(danger.building), count))
    named = Area(building=danger.building, name=_plain(new_area) or "-")
    return problems + column_problems(named, problems, {"name": "new_area"})


def close_areas(
    danger: Danger, areas: Sequence[UUID], new_area: str, closed_at: datetime, version: int
) -> None:
    """Close areas for a danger from a moment by the building's own clock; a new one by its name.

    An area that stands closed for it stays as it is. version: of the notice that closes them.
    """
    keys = list(areas)
    if name := _plain(new_area):
        there = danger.building.areas.filter(name__iexact=name).first()
        keys.append((there or Area.objects.create(building=danger.building, name=name)).pk)
    standing = AreaClosure.objects.standing().filter(danger=danger)
    closed = set(standing.values_list("area", flat=True))
    moment = closed_at.replace(tzinfo=ZoneInfo(danger.building.time_zone))
    for key in dict.fromkeys(keys):
        if key not in closed:
            AreaClosure.objects.create(
                danger=danger, area_id=key, closed_at=moment, notice_version=version
            )


def end_closures(
    danger: Danger, closures: Iterable[AreaClosure], data: ClosureEndData, key: UUID, user: User
) -> list[ClosureEnd]:
    """Record that closed areas of a danger are open again, the first of them under `key`.

    Raises NotRecordedError with all problems; the rows are frozen.
    """
    with transaction.atomic(), acting_as(str(user.pk)):
        # Two who open at once: the second waits here, and is then told.
        held = Danger.objects.select_for_update(of=("self",)).get(pk=danger.pk)
        rows = AreaClosure.objects.filter(danger=held, pk__in=[each.pk for each in closures])
        asked = list(rows.for_list())
        raise_for(why_not_opened(danger, asked, data, user))
        keys = (key, *(uuid7() for _each in asked[1:]))
        return [
            ClosureEnd.objects.create(pk=end, closure=closure, **asdict(data))
            for end, closure in zip(keys, asked, strict=True)
        ]


def why_not_opened(
    danger: Danger, closures: Sequence[AreaClosure], data: ClosureEndData, user: User
) -> list[Problem]:
    """Return why closed areas of a danger cannot be opened again as `data` says."""
    if SURVEY not in abilities_at(user, danger.building):
        raise NotRecordedError([Problem("", _("That danger is not known here."))])
    if not closures:
        return in_words([refused("areas", NOTHING_ENDS)])
    ended = danger.state_on().end is not None
    problems: list[Problem] = []
    for closure in closures:
        known = _known(danger, closure, ended, user)
        problems += in_words(opening_problems(data, known))
    row = ClosureEnd(closure=closures[0], **asdict(data))
    return once_a_field(problems + column_problems(row, problems, {}))


def may_withdraw(closure: AreaClosure, user: User) -> bool:
    """Whether a user may take back the notice that closed an area: who issued it; where they are
    no longer there, whoever is the studio's owner."""
    if closure.recorded_by_id == user.pk:
        return True
    building = closure.danger.building
    author = closure.recorded_by
    is_there = author is not None and author.is_active and SURVEY in abilities_at(author, building)
    return not is_there and MANAGE in abilities_at(user, building)


def _known(danger: Danger, closure: AreaClosure, ended: bool, user: User) -> KnownClosure:
    zone = ZoneInfo(danger.building.time_zone)
    return KnownClosure(
        area=closure.area.name,
        row=row_of(danger),
        closed_on=closure.closed_at.astimezone(zone).date(),
        today=today_at(danger.building),
        danger_ended=ended,
        is_open=hasattr(closure, "closure_end"),
        may_withdraw=may_withdraw(closure, user),
    )


def _plain(text: str) -> str:
    """One line: runs of blanks and line ends name no other area."""
    return " ".join(text.split())
