"""Old dates as people write them, kept as EDTF, and told back in plain English."""

import re
from dataclasses import dataclass
from datetime import date
from typing import Final

from sites.compute.date_words import EXAMPLES, is_short_range, read_words, refuse_two_readings
from sites.compute.edtf_reading import (
    MONTHS,
    DatePart,
    DateSpan,
    OldDateError,
    bounds,
    read_edtf,
)
from sites.compute.typed_text import plain_text

__all__ = [
    "APPROXIMATE_MARGIN",
    "OldDate",
    "OldDateError",
    "describe",
    "from_edtf",
    "parse_old_date",
]

# Studio default: "about 1931" is taken as five years either way. No standard fixes it.
APPROXIMATE_MARGIN: Final = 5
LONGEST_TEXT: Final = 80

_END: Final = r"(?:[0-9]{2}[0-9x]{2}(?:-[0-9x]{2}){0,2}[?~%]?|\.\.)?"
_LOOKS_LIKE_EDTF: Final = re.compile(
    # One date or two; then what only EDTF has, for which it says what it does not take.
    rf"{_END}/?{_END}|[\[{{].*|y-?[0-9].*|-[0-9].*|[0-9-]+t[0-9].*"
)
_HUNDRED_YEARS: Final = re.compile(r"[0-9]{2}XX")
_TEN_YEARS: Final = re.compile(r"[0-9]{3}X")
_ORDINAL_ENDINGS: Final = {1: "st", 2: "nd", 3: "rd"}
_QUALIFIER_WORDS: Final = {"": "", "?": "possibly ", "~": "about ", "%": "possibly about "}


@dataclass(frozen=True)
class OldDate:
    """A date that may be vague: EDTF, the first and last day it may be, and what was typed.

    A span means: some time within it. An end without a bound is date.min or date.max.
    """

    edtf: str
    earliest: date
    latest: date
    typed: str


def parse_old_date(text: str, margin: int = APPROXIMATE_MARGIN) -> OldDate:
    """Return the date that `text` states, in the words of an old record or in EDTF.

    margin: how far "about" reaches either way, in years (in months or days where the date
        names a month or a day); a studio default.

    Raises OldDateError, in words for the person who typed it, when the text is no date, is
    no day of the calendar, or can be read two ways.

    Source: ISO 8601-2:2019 and the Library of Congress EDTF specification of 4 February 2019.
    From memory.
    """
    typed = text.strip()
    if len(typed) > LONGEST_TEXT:
        raise OldDateError("That is too long for a date. Put the rest in a note.")
    plain = plain_text(typed, dash="\N{EN DASH}")
    if not plain:
        raise OldDateError(f"Enter a date, such as {EXAMPLES}.")
    value = _read(plain)
    earliest, latest = bounds(value, margin)
    return OldDate(str(value), earliest, latest, typed)


def from_edtf(edtf: str, typed: str = "", margin: int = APPROXIMATE_MARGIN) -> OldDate:
    """Return the date that kept EDTF states, read by the standard alone.

    Unlike parse_old_date it takes `1908-09` for September 1908. typed: what was once typed;
    the EDTF itself if that is not known. Raises OldDateError as read_edtf does.
    """
    value = read_edtf(edtf)
    earliest, latest = bounds(value, margin)
    return OldDate(str(value), earliest, latest, typed or edtf)


def describe(edtf: str) -> str:
    """Return a kept date in plain English: `about 1931`, `the 1890s`, `1940 or later`.

    Raises OldDateError for EDTF outside the part that is kept here.
    """
    value = read_edtf(edtf)
    if isinstance(value, DatePart):
        return _describe_part(value)
    return _describe_span(value)


def _read(plain: str) -> DatePart | DateSpan:
    refuse_two_readings(plain)
    if is_short_range(plain) or not _LOOKS_LIKE_EDTF.fullmatch(plain):
        return read_words(plain)
    return read_edtf(plain.upper())


def _describe_span(value: DateSpan) -> str:
    start, end = value.start, value.end
    if isinstance(start, DatePart) and isinstance(end, DatePart):
        return f"{_describe_part(start)} to {_describe_part(end)}"
    if isinstance(start, DatePart):
        later = " or later" if end == ".." else ", end not known"
        return _describe_part(start) + later
    if isinstance(end, DatePart):
        earlier = " or earlier" if start == ".." else ", beginning not known"
        return _describe_part(end) + earlier
    raise OldDateError("A span needs a date at one end at least.")


def _describe_part(part: DatePart) -> str:
    return _QUALIFIER_WORDS[part.qualifier] + _describe_unqualified(part)


def _describe_unqualified(part: DatePart) -> str:
    if _HUNDRED_YEARS.fullmatch(part.year):
        return f"the {_ordinal(int(part.year[:2]) + 1)} century"
    if _TEN_YEARS.fullmatch(part.year):
        return _describe_decade(part.year[:3])
    year = part.year if int(part.year) >= 1000 else f"the year {int(part.year)}"
    if part.month is None:
        return year
    if part.month == "XX":
        return f"some {'day' if part.day else 'month'} in {year}"
    month_and_year = f"{MONTHS[int(part.month) - 1]} {year}"
    if part.day is None:
        return month_and_year
    return (
        f"some day in {month_and_year}" if part.day == "XX" else f"{int(part.day)} {month_and_year}"
    )


def _describe_decade(first_figures: str) -> str:
    first_year = int(first_figures + "0")
    # "the 1900s" would be taken for the century.
    return f"{first_year} to {first_year + 9}" if first_year % 100 == 0 else f"the {first_year}s"


def _ordinal(number: int) -> str:
    if number % 100 in (11, 12, 13):
        return f"{number}th"
    return f"{number}{_ORDINAL_ENDINGS.get(number % 10, 'th')}"
