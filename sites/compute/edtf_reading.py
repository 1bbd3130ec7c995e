"""The part of EDTF (ISO 8601-2) that old dates are kept in: reading it, and its bounds."""

import calendar
import re
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final, Literal

Qualifier = Literal["", "?", "~", "%"]
Gap = Literal["", ".."]

QUALIFIERS: Final[dict[str, Qualifier]] = {"": "", "?": "?", "~": "~", "%": "%"}
# Our own, as the calendar module's names follow the locale of the process.
MONTHS: Final = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
OPEN_START: Final = date.min
OPEN_END: Final = date.max

_PART: Final = re.compile(
    r"(?P<year>[0-9]{4}|[0-9]{3}X|[0-9]{2}XX)"
    r"(?:-(?P<month>[0-9]{2}|XX)(?:-(?P<day>[0-9]{2}|XX))?)?"
    r"(?P<qualifier>[?~%]?)"
)
_SEASONS: Final = range(21, 25)
_OUTSIDE: Final = re.compile(r"[\[\]{}]|[0-9]T[0-9]|Y-?[0-9]|^-|S[0-9]|[~?%][0-9X-]")


class OldDateError(ValueError):
    """What was typed is not a date we can be sure of; the message says why."""


@dataclass(frozen=True)
class DatePart:
    """One date of EDTF: a day, a month, a year, a decade (189X) or a hundred years (18XX)."""

    year: str
    month: str | None = None
    day: str | None = None
    qualifier: Qualifier = ""

    @property
    def unqualified(self) -> "DatePart":
        return replace(self, qualifier="")

    @property
    def is_approximate(self) -> bool:
        return self.qualifier in ("~", "%")

    @property
    def precision(self) -> Literal["year", "month", "day"]:
        """The finest part that is stated; years for a decade or a century."""
        if self.day not in (None, "XX"):
            return "day"
        return "month" if self.month not in (None, "XX") else "year"

    def __str__(self) -> str:
        stated = [part for part in (self.year, self.month, self.day) if part is not None]
        return "-".join(stated) + self.qualifier


@dataclass(frozen=True)
class DateSpan:
    """Two dates with a slash; an end may be open (`..`) or not known (nothing)."""

    start: DatePart | Gap
    end: DatePart | Gap

    def __str__(self) -> str:
        return f"{self.start}/{self.end}"


def read_edtf(text: str) -> DatePart | DateSpan:
    """Return the date or the span that EDTF text states.

    Understood: level 0 dates and intervals without a time of day, and of level 1 the
    qualifiers `?`, `~`, `%`, unspecified digits (`189X`, `18XX`, `1931-XX`) and open or unknown
    ends of an interval. Of level 2, unspecified digits may be qualified (`189X~`) and may end
    an interval (`189X/191X`). Years run from 0001 to 9999.

    Raises OldDateError for the rest, for a day that no calendar has and for a span that runs
    backwards.

    Source: ISO 8601-2:2019 and the Library of Congress EDTF specification of 4 February 2019.
    From memory.
    """
    if _OUTSIDE.search(text):
        raise OldDateError(
            f"{text} uses a part of EDTF that is not kept here. "
            "Write one date, or two with a slash between."
        )
    if "/" not in text:
        return read_part(text)
    start, _, end = text.partition("/")
    return span(_read_end(start), _read_end(end))


def read_part(text: str) -> DatePart:
    """Return the single date that EDTF text states. Raises OldDateError as read_edtf does."""
    match = _PART.fullmatch(text)
    if match is None:
        raise OldDateError(f'"{text}" is not a date as EDTF writes it, such as 1931-05-12 or 189X.')
    part = DatePart(match["year"], match["month"], match["day"], QUALIFIERS[match["qualifier"]])
    _refuse_impossible(part)
    return part


def span(start: DatePart | Gap, end: DatePart | Gap) -> DateSpan:
    """Return the span between two ends. Raises OldDateError when it is empty or backwards."""
    both = DateSpan(start, end)
    if not isinstance(start, DatePart) and not isinstance(end, DatePart):
        raise OldDateError("A span needs a date at one end at least.")
    earliest, latest = _plain_bounds(start)[0], _plain_bounds(end)[1]
    if earliest > latest:
        raise OldDateError(f"{both} runs backwards: {end} is before {start}.")
    return both


def bounds(value: DatePart | DateSpan, margin: int) -> tuple[date, date]:
    """Return the first and the last day that the date may be.

    margin: how far "about" reaches either way: that many years, or months where the date
        names a month, or days where it names a day. An open or unknown end has no bound
        and gives the first or last day Python can hold. `?` doubts the source, not the
        date, and widens nothing.

    Raises ValueError for a margin below zero.
    """
    if margin < 0:
        raise ValueError(f"the margin of an approximate date cannot be below zero, got {margin}")
    if isinstance(value, DateSpan):
        return _bounds_of_end(value.start, margin)[0], _bounds_of_end(value.end, margin)[1]
    return _bounds_of_end(value, margin)


def day_before(part: DatePart) -> DatePart:
    """Return the date just before, in the same precision: 1939 for 1940, 1931-04 for 1931-05.

    Raises OldDateError before the year 1.
    """
    earliest, _ = _plain_bounds(part)
    if earliest == date.min:
        raise OldDateError("Dates here begin with the year 1.")
    return _at_precision(earliest - timedelta(days=1), part)


def day_after(part: DatePart) -> DatePart:
    """Return the date just after, in the same precision. Raises OldDateError after 9999."""
    _, latest = _plain_bounds(part)
    if latest == date.max:
        raise OldDateError("Dates here end with the year 9999.")
    return _at_precision(latest + timedelta(days=1), part)


def _read_end(text: str) -> DatePart | Gap:
    if text == "..":
        return ".."
    return read_part(text) if text else ""


def _refuse_impossible(part: DatePart) -> None:
    if part.year == "0000":
        raise OldDateError("There is no year 0 here. Dates begin with the year 1.")
    if part.month is not None and "X" in part.year:
        raise OldDateError(
            f"{part} names a month of a year that is not known. Leave the month out."
        )
    if part.month == "XX" and part.day not in (None, "XX"):
        raise OldDateError(f"{part} names a day of a month that is not known. Leave the day out.")
    if part.month not in (None, "XX"):
        _refuse_impossible_month(part, int(part.month or 0))


def _refuse_impossible_month(part: DatePart, month: int) -> None:
    if month in _SEASONS:
        raise OldDateError(
            f"{part} is a season, which falls in other months north and south of the equator. "
            f"Write the months, such as {part.year}-03/{part.year}-05."
        )
    if not 1 <= month <= 12:
        raise OldDateError(f"{part} has no month {part.month}. Months run from 01 to 12.")
    if part.day in (None, "XX"):
        return
    days = calendar.monthrange(int(part.year), month)[1]
    if not 1 <= int(part.day or 0) <= days:
        raise OldDateError(
            f"{MONTHS[month - 1]} {part.year} has {days} days, so there is no day "
            f"{int(part.day or 0)}."
        )


def _bounds_of_end(end: DatePart | Gap, margin: int) -> tuple[date, date]:
    earliest, latest = _plain_bounds(end)
    if not isinstance(end, DatePart) or not end.is_approximate:
        return earliest, latest
    if end.precision == "day":
        return _days_away(earliest, -margin), _days_away(latest, margin)
    months = margin if end.precision == "month" else 12 * margin
    return _first_of_month(earliest, -months), _last_of_month(latest, months)


def _plain_bounds(end: DatePart | Gap) -> tuple[date, date]:
    """The bounds of a date without its qualifier; these always begin or end whole months."""
    if not isinstance(end, DatePart):
        return OPEN_START, OPEN_END
    first_year = max(int(end.year.replace("X", "0")), 1)
    last_year = int(end.year.replace("X", "9"))
    if end.precision == "year":
        return date(first_year, 1, 1), date(last_year, 12, 31)
    month = int(end.month or 1)
    if end.precision == "month":
        return date(first_year, month, 1), _last_of_month(date(last_year, month, 1), 0)
    exact = date(first_year, month, int(end.day or 1))
    return exact, exact


def _days_away(day: date, days: int) -> date:
    ordinal = min(max(day.toordinal() + days, date.min.toordinal()), date.max.toordinal())
    return date.fromordinal(ordinal)


def _first_of_month(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    return date(year, month + 1, 1) if year >= 1 else date.min


def _last_of_month(day: date, months: int) -> date:
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > date.max.year:
        return date.max
    return date(year, month + 1, calendar.monthrange(year, month + 1)[1])


def _at_precision(day: date, part: DatePart) -> DatePart:
    names_month = part.precision in ("month", "day")
    return DatePart(
        year=f"{day.year:04}",
        month=f"{day.month:02}" if names_month else None,
        day=f"{day.day:02}" if part.precision == "day" else None,
        qualifier=part.qualifier,
    )
