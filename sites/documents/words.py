"""Dates, lengths and counts as they are printed at a building: its language, place and units."""

import re
from collections.abc import Iterable
from contextlib import suppress
from datetime import date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

from babel import Locale, UnknownLocaleError
from babel.dates import format_date, format_time
from django.conf import settings
from django.utils.translation import gettext as _

from sites.compute.lengths import BareUnit, LengthError, format_inches, format_mm, parse_length
from sites.models import AttachedItem, Building

TIMES = "\N{MULTIPLICATION SIGN}"
ABOUT = "about "
DEFAULT_LOCALE = "en_GB"
INCHES = re.compile(r"['\"′″’”]|in|f")


def language_of(building: Building) -> str:
    """Return the language a document at the building is written in: one we have words for."""
    wanted = building.language.split("-")[0]
    return wanted if wanted in dict(settings.LANGUAGES) else settings.LANGUAGE_CODE


def locale_of(building: Building) -> str:
    """Return the locale for dates and money, `en_US`, from the language and the country."""
    language = language_of(building)
    for name in (f"{language}_{building.country.upper()}", DEFAULT_LOCALE):
        with suppress(UnknownLocaleError, ValueError):
            return str(Locale.parse(name, resolve_likely_subtags=False))
    return language


def day_words(day: date, locale: str) -> str:
    """Return a day in full: `12 March 2026`, `March 12, 2026`."""
    return str(format_date(day, "long", locale=locale))


def placement_words(item: AttachedItem, locale: str) -> str:
    """Return where an attached item is: `Taken down, 12 May 2026; vestry; held by the sexton`."""
    since = f", {day_words(item.placed_since, locale)}" if item.placed_since else ""
    held_by = _("held by %s") % item.held_by if item.held_by else ""
    parts = (f"{item.get_placement_display()}{since}", item.placed_at, held_by)
    return "; ".join(part for part in parts if part)


def moment_words(moment: datetime, zone: ZoneInfo, locale: str) -> str:
    """Return a moment by the clock at a building: `12 March 2026, 14:05`."""
    there = moment.astimezone(zone)
    return f"{day_words(there.date(), locale)}, {format_time(there, 'short', locale=locale)}"


def lines(text: str) -> list[str]:
    """Return the lines of a text as typed, without empty ones at its ends."""
    return text.strip().splitlines()


def size_words(sides: Iterable[tuple[str, Decimal | None]]) -> str:
    """Return a size as typed, then in the other unit: `34 3/8" × 60" (873 mm × 1524 mm)`.

    sides: each length as typed with its millimetres; those not known are left out.
    """
    known = [(typed, mm) for typed, mm in sides if mm is not None]
    if not known:
        return ""
    as_typed = f" {TIMES} ".join(_with_its_unit(typed, mm) for typed, mm in known)
    other = [
        format_inches(mm) if _unit(typed, mm) == "mm" else format_mm(mm, 0) for typed, mm in known
    ]
    about = ABOUT if any(side.startswith(ABOUT) for side in other) else ""
    return f"{as_typed} ({about}{f' {TIMES} '.join(side.removeprefix(ABOUT) for side in other)})"


def _with_its_unit(typed: str, mm: Decimal) -> str:
    """What was typed, followed by the unit it was read in where none was typed."""
    if _read(typed, "mm") == _read(typed, "in"):
        return typed
    return f"{typed} mm" if _unit(typed, mm) == "mm" else f'{typed}"'


def _unit(typed: str, mm: Decimal) -> BareUnit:
    """The unit a length was typed in: written beside it, or the one its millimetres tell."""
    as_mm = _read(typed, "mm")
    if as_mm == _read(typed, "in"):
        return "in" if INCHES.search(typed.lower()) else "mm"
    return "mm" if as_mm == mm else "in"


def _read(typed: str, bare_unit: BareUnit) -> Decimal | None:
    with suppress(LengthError):
        return parse_length(typed, bare_unit).mm
    return None
