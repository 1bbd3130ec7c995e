"""Areas that stand closed, as the report repeats them: by danger, with the notice that says so."""

from collections.abc import Iterable
from datetime import date
from itertools import groupby
from zoneinfo import ZoneInfo

from django.utils.translation import gettext as _

from condition.documents.snapshot import OpenNotice
from condition.documents.words import subject_of
from condition.models import AreaClosure, Danger, Survey
from sites.documents.words import day_words


def open_notices_told(
    closures: Iterable[AreaClosure], survey: Survey, locale: str
) -> list[OpenNotice]:
    """Return in a line, for each danger: where it is, the areas closed, since when, by what notice.

    The number of a finding is of this survey alone: 0 where it did not see the danger.
    """
    by_danger = groupby(
        sorted(closures, key=lambda each: (each.danger_id, each.closed_at, each.pk)),
        key=lambda each: each.danger,
    )
    told = [_line(danger, list(closed), survey, locale) for danger, closed in by_danger]
    return [line for _since, line in sorted(told, key=lambda pair: (pair[0], pair[1].number))]


def notice_number(closures: Iterable[AreaClosure]) -> str:
    """Return the number of the notice that names areas closed for one danger, or that it is being
    printed."""
    issued = [each.notice for each in closures if each.notice]
    newest = max(issued, key=lambda each: each.version, default=None)
    return newest.number if newest else _("notice being printed")


def finding_told(danger: Danger, survey: Survey) -> int:
    """Return the number of the finding by which a survey tells of a danger; 0 where it has none."""
    numbers = [each.number for each in danger.findings.all() if each.survey_id == survey.pk]
    return min(numbers, default=0)


def _line(
    danger: Danger, closures: list[AreaClosure], survey: Survey, locale: str
) -> tuple[date, OpenNotice]:
    days = [_day(each, survey) for each in closures]
    since = min(days)
    areas = [
        name
        if day == since
        else _("%(area)s (since %(day)s)") % {"area": name, "day": day_words(day, locale)}
        for name, day in zip((_name(each) for each in closures), days, strict=True)
    ]
    line = OpenNotice(
        number=notice_number(closures),
        day_words=day_words(since, locale),
        where=_where(danger),
        hazard=danger.shown_kind.name,
        area="; ".join(areas),
        finding=finding_told(danger, survey),
    )
    return since, line


def _name(closure: AreaClosure) -> str:
    return closure.area.name.strip().rstrip(".")


def _day(closure: AreaClosure, survey: Survey) -> date:
    return closure.closed_at.astimezone(ZoneInfo(survey.building.time_zone)).date()


def _where(danger: Danger) -> str:
    place = danger.place.strip().rstrip(".")
    return f"{place} ({subject_of(danger)})" if place else subject_of(danger)
