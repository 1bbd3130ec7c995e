"""Site safety sheets: from the facts of a visit or a job to its cautions."""

import hashlib
import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from django.core.cache import cache

from condition.compute.safety.facts import SheetCaution, SheetFacts
from condition.compute.safety.limits import ChildUse
from condition.compute.safety.sheet import cautions_for_sheet
from condition.documents.safety_sheet.layout import SETTINGS, sheet_html
from condition.models import SafetySheet
from condition.models.choices import HotWork, MeansOfAccess, Suspect
from sites.models import Building
from sites.printing import Printed, print_pdf
from sites.services.figures import figures_of

YEAR: Final = re.compile(r"\b(1[0-9]{3}|20[0-9]{2})\b")
HOT: Final = "hot-work"
KEPT_SECONDS: Final = 600
# Letters that each setting but the last has room for on the smaller paper, as tried out.
ROOM: Final = (3300, 4600)


def facts_of(sheet: SafetySheet) -> SheetFacts:
    """Return a sheet's facts as the cautions are reckoned from."""
    return SheetFacts(
        country=sheet.building.country,
        units=sheet.building.units,
        height_mm=sheet.height_mm,
        access=sheet.access,
        hot_work=sheet.hot_work,
        lead=sheet.lead,
        old_paint=sheet.old_paint,
        hours=sheet.hours,
        inside_m2=sheet.disturbed_inside_m2,
        outside_m2=sheet.disturbed_outside_m2,
        window_replaced=sheet.window_replaced,
        built_year=sheet.built_year,
        children=ChildUse(
            sheet.child_days_a_week, sheet.child_hours_a_day, sheet.child_weeks_a_year
        ),
        putty=sheet.putty,
        heating=sheet.heating,
        nesting=sheet.nesting,
        people_below=sheet.people_below,
    )


def cautions_of(sheet: SafetySheet) -> tuple[SheetCaution, ...]:
    """Return what a sheet's facts call for, the worst first, with the studio's own figures."""
    return cautions_for_sheet(facts_of(sheet), figures_of(sheet.building.studio))


def print_sheet(sheet: SafetySheet) -> Printed:
    """Return a sheet printed in the largest letters that leave it on one page.

    Raises PrintError in the user's words.
    """
    cautions = cautions_of(sheet)
    for setting in SETTINGS[_beyond(sheet, cautions) :]:
        printed = _printed(sheet_html(sheet, cautions, setting))
        if printed.pages == 1:
            break
    return printed


def _printed(html: str) -> Printed:
    """The page as PDF; the same page asked for again within minutes is not printed again."""
    key = f"safety-sheet:{hashlib.sha256(html.encode()).hexdigest()}"
    kept: Printed | None = cache.get(key)
    if kept is None:
        kept = print_pdf(html)
        cache.set(key, kept, KEPT_SECONDS)
    return kept


def _beyond(sheet: SafetySheet, cautions: Iterable[SheetCaution]) -> int:
    """How many of the settings are too large for so many letters, not to print them in vain."""
    letters = len(sheet.notes) + sum(
        len(each.do) + sum(len(line.text) + len(line.source) + 20 for line in each.lines)
        for each in cautions
    )
    return sum(letters > room for room in ROOM)


def built_year_of(building: Building) -> int | None:
    """Return the earliest year that the building's record names, if it names one."""
    years = [int(year) for year in YEAR.findall(building.built)]
    return min(years, default=None)


def facts_for_work(
    building: Building,
    codes: Iterable[str],
    *,
    height_mm: Decimal | None,
    people_below: bool | None,
) -> SheetFacts:
    """Return the facts of planned work, as far as its usual cautions and its place tell them.

    codes: of the cautions of its kinds. Hot work is taken for an open flame, and the means of
        access for a ladder, until a sheet says otherwise: the worse case.
    height_mm: of the head of the opening above the floor.
    """
    told = set(codes)
    return SheetFacts(
        country=building.country,
        units=building.units,
        height_mm=height_mm,
        access=MeansOfAccess.LADDER if "work-at-height" in told else MeansOfAccess.FLOOR,
        hot_work=HotWork.FLAME if HOT in told else HotWork.NONE,
        lead="lead" in told,
        old_paint="lead-paint-small-children" in told,
        built_year=built_year_of(building),
        putty=Suspect.NOT_TESTED if "asbestos" in told else Suspect.NONE,
        nesting="nesting-birds-and-bats" in told,
        people_below=people_below,
    )


def cautions_for_work(building: Building, facts: SheetFacts) -> tuple[SheetCaution, ...]:
    """Return what planned work at a building is to mind, with the studio's own figures."""
    return cautions_for_sheet(facts, figures_of(building.studio))
