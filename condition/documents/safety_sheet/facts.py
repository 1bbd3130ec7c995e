"""The facts of a sheet in words, for its page and for paper; what nobody has said is said too."""

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext as _

from condition.compute.safety.units import area_words, length_words
from condition.models import SafetySheet
from condition.models.choices import HotWork, Suspect
from sites.compute.plain_numbers import plain_number


def told_facts(sheet: SafetySheet) -> list[tuple[str, str]]:
    """Return the facts by name, as far as they bear on the job."""
    return [*_place(sheet), *_work(sheet), *_suspects(sheet)]


def _place(sheet: SafetySheet) -> Iterator[tuple[str, str]]:
    units = sheet.building.units
    height = length_words(sheet.height_mm, units) if sheet.height_mm is not None else ""
    yield _("Access"), str(sheet.get_access_display())
    yield _("Height of the work"), height or _("not recorded")
    yield _("People below"), _yes(sheet.people_below)
    yield _("Birds or bats"), _yes(sheet.nesting)


def _work(sheet: SafetySheet) -> Iterator[tuple[str, str]]:
    yield _("Hot work"), str(HotWork(sheet.hot_work).label)
    yield _("Lead handled"), _yes(sheet.lead)
    yield _("Old paint disturbed"), _yes(sheet.old_paint)
    if sheet.lead or sheet.old_paint:
        yield _("Hours a day"), _number(sheet.hours)
    if sheet.old_paint or sheet.window_replaced:
        yield from _paint(sheet)


def _paint(sheet: SafetySheet) -> Iterator[tuple[str, str]]:
    units = sheet.building.units
    areas = [
        area_words(area, units) if area is not None else _("not recorded")
        for area in (sheet.disturbed_inside_m2, sheet.disturbed_outside_m2)
    ]
    yield _("Paint, one room; outside"), "; ".join(areas)
    yield _("Window replaced"), _yes(sheet.window_replaced)
    yield _("Built"), str(sheet.built_year or _("not recorded"))
    child = (sheet.child_days_a_week, sheet.child_hours_a_day, sheet.child_weeks_a_year)
    yield (
        _("Same child under 6"),
        _("not all recorded")
        if None in child
        else _("%(days)s days a week, %(hours)s h each, %(weeks)s weeks a year")
        % dict(zip(("days", "hours", "weeks"), map(_number, child), strict=True)),
    )


def _suspects(sheet: SafetySheet) -> Iterator[tuple[str, str]]:
    yield _("Old putty"), str(Suspect(sheet.putty).label)
    yield _("Old heating, electrics"), str(Suspect(sheet.heating).label)


def _yes(answer: bool) -> str:
    return _("yes") if answer else _("no")


def _number(value: Any) -> str:
    if value is None:
        return _("not recorded")
    return plain_number(value) if hasattr(value, "as_tuple") else str(value)
