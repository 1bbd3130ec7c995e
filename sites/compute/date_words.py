"""Dates in the words of old records: `c. 1931`, `the 1890s`, `before May 1940`."""

import re
from dataclasses import replace
from typing import Final

from sites.compute.edtf_reading import (
    MONTHS,
    DatePart,
    DateSpan,
    Gap,
    OldDateError,
    Qualifier,
    day_after,
    day_before,
    read_part,
    span,
)

EXAMPLES: Final = "1931, c. 1931, the 1890s, 19th century, May 1931, 12 May 1931 or 1931/1934"
LAST_CENTURY: Final = 21

_EN_DASH: Final = "\N{EN DASH}"
_MONTH: Final = r"(?P<month>[a-z]{3,9})\.?"
_DAY: Final = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?"
_YEAR: Final = r"(?P<year>[0-9]{4})"
_NAMED_MONTH: Final = (
    re.compile(rf"{_DAY}(?: of)? {_MONTH},? {_YEAR}"),
    re.compile(rf"{_MONTH} {_DAY},? {_YEAR}"),
    re.compile(rf"{_MONTH},? {_YEAR}(?P<day>)"),
)
_DECADE: Final = re.compile(r"(?:the )?([0-9]{3})0'?s")
_CENTURY: Final = re.compile(r"(?:the )?([0-9]{1,2})(?:st|nd|rd|th) (?:century|cent\.?|c\.?)")
_DAY_OR_MONTH_FIRST: Final = re.compile(r"([0-9]{1,2})([/.-])([0-9]{1,2})\2([0-9]{4})")
_YEAR_FIRST: Final = re.compile(r"([0-9]{4})/([0-9]{1,2})/([0-9]{1,2})")
_EDTF_PART: Final = re.compile(r"[0-9]{2}[0-9x]{2}(?:-[0-9x]{2}){0,2}")
_SEASON: Final = re.compile(r".*(?:spring|summer|autumn|winter).*")
_PART_OF_AN_AGE: Final = re.compile(r"(?:the )?(?:early|mid|middle|late)\b.*")

_ABOUT: Final = re.compile(
    r"(?:(?:circa|approximately|about|around) |(?:approx|ca|c)(?:\. ?| |(?=[0-9])))(.+)"
)
_POSSIBLY: Final = re.compile(r"(?:possibly|perhaps|probably|maybe) (.+)")
_MARKED: Final = re.compile(r"(.+?) ?\(?([?~%])\)?")
_BEFORE: Final = re.compile(r"(?:before |earlier than |prior to |pre[ -]?)(.+)")
_AFTER: Final = re.compile(r"(?:after |later than |post[ -]?)(.+)")
_UNTIL: Final = re.compile(r"(?:by|until|up to|not later than) (.+)|(.+?),? or (?:earlier|before)")
_SINCE: Final = re.compile(r"(?:since|from|not earlier than) (.+)|(.+?),? or (?:later|after)")
_TWO_ENDS: Final = re.compile(
    r"between (.+?) and (.+)|(?!up to |prior to )(?:from )?(.+?) (?:to|until) (.+)"
)
_DASHED: Final = re.compile(
    rf"(.+?) ?{_EN_DASH} ?(.+)|(.+?) - (.+)|([0-9]{{4}})-([0-9]{{4}})|([0-9]{{4}})/([0-9]{{2,4}})"
)
_SHORT_RANGE: Final = re.compile(r"([0-9]{2})([0-9]{2})-([0-9]{2})")

Marks = frozenset[str]
NO_MARKS: Final[Marks] = frozenset()


def read_words(plain: str, marks: Marks = NO_MARKS) -> DatePart | DateSpan:
    """Return the date or span that plain lower-case text states (see typed_text.plain_text).

    marks: `?` and `~` that hold for all of it. "c." or "?" with a dashed pair (`c. 1931-34`)
        is taken to hold for both years.

    Raises OldDateError when the text is no date or can be read two ways.
    """
    if match := _TWO_ENDS.fullmatch(plain):
        return _pair(_found(match), marks)
    if bounded := _one_sided(plain, marks):
        return bounded
    bare, found = _without_qualifiers(plain)
    if found:
        return read_words(bare, marks | found)
    refuse_two_readings(bare)
    if is_short_range(bare):
        return _pair([bare[:4], bare[5:]], marks)
    if match := _DASHED.fullmatch(bare):
        return _pair(_found(match), marks)
    return _single(bare, marks)


def is_short_range(plain: str) -> bool:
    """Return whether `1931-34` gives a second year by its last two figures."""
    match = _SHORT_RANGE.fullmatch(plain)
    return bool(match and int(match[3]) > max(int(match[2]), 12))


def refuse_two_readings(plain: str) -> None:
    """Raise OldDateError where a month or season of EDTF may as well be a second year.

    `1908-09` may be September 1908 or two years; `2001-21` is a season in EDTF.
    """
    match = _SHORT_RANGE.fullmatch(plain)
    if match is None:
        return
    century, year, last = match[1], match[2], match[3]
    if int(last) <= int(year) or int(last) not in (*range(1, 13), *range(21, 25)):
        return
    other = f"{MONTHS[int(last) - 1]} {century}{year}" if int(last) <= 12 else "a season"
    raise OldDateError(
        f"{plain} can be read two ways: {other}, or {century}{year} to {century}{last}. "
        f"Write the month by name, or {century}{year}/{century}{last} for the years."
    )


def _found(match: re.Match[str]) -> list[str]:
    return [group for group in match.groups() if group is not None]


def _pair(ends: list[str], marks: Marks) -> DateSpan:
    first, last = ends
    if re.fullmatch(r"[0-9]{2}", last) and (year := re.search(r"([0-9]{2})[0-9]{2}$", first)):
        last = year[1] + last
    return span(_single(first, marks), _single(last, marks))


def _one_sided(plain: str, marks: Marks) -> DateSpan | None:
    open_end: Gap = ".."
    if match := _BEFORE.fullmatch(plain):
        return span(open_end, day_before(_single(match[1], marks)))
    if match := _AFTER.fullmatch(plain):
        return span(day_after(_single(match[1], marks)), open_end)
    if match := _UNTIL.fullmatch(plain):
        return span(open_end, _single(_found(match)[0], marks))
    if match := _SINCE.fullmatch(plain):
        return span(_single(_found(match)[0], marks), open_end)
    return None


def _without_qualifiers(plain: str) -> tuple[str, Marks]:
    """Take one "about", "possibly" or closing mark off the text, and name it."""
    if match := _ABOUT.fullmatch(plain):
        return match[1], frozenset("~")
    if match := _POSSIBLY.fullmatch(plain):
        return match[1], frozenset("?")
    if match := _MARKED.fullmatch(plain):
        return match[1], frozenset("?~" if match[2] == "%" else match[2])
    return plain, NO_MARKS


def _single(plain: str, marks: Marks) -> DatePart:
    bare, found = _without_qualifiers(plain)
    if found:
        return _single(bare, marks | found)
    return replace(_unqualified(bare), qualifier=_qualifier(marks))


def _qualifier(marks: Marks) -> Qualifier:
    if len(marks) == 2:
        return "%"
    if "?" in marks:
        return "?"
    return "~" if marks else ""


def _unqualified(plain: str) -> DatePart:
    if match := _DECADE.fullmatch(plain):
        return _decade(match[1])
    if match := _CENTURY.fullmatch(plain):
        return _century(int(match[1]))
    if match := _DAY_OR_MONTH_FIRST.fullmatch(plain):
        return _numeric(plain, int(match[1]), int(match[3]), match[4])
    if match := _YEAR_FIRST.fullmatch(plain):
        return read_part(f"{match[1]}-{int(match[2]):02}-{int(match[3]):02}")
    for shape in _NAMED_MONTH:
        if match := shape.fullmatch(plain):
            return _named_month(match["day"], match["month"], match["year"])
    if _EDTF_PART.fullmatch(plain):
        return read_part(plain.upper())
    raise _unreadable(plain)


def _decade(first_figures: str) -> DatePart:
    if first_figures.endswith("0"):
        first_year = first_figures + "0"
        raise OldDateError(
            f"{first_year}s may be ten years or a hundred. Write {first_year}/{first_figures}9, "
            f"or the {int(first_figures[:2]) + 1}th century."
        )
    return read_part(first_figures + "X")


def _century(number: int) -> DatePart:
    """EDTF counts a century by its first two figures: the 19th is 1800 to 1899."""
    if not 1 <= number <= LAST_CENTURY:
        raise OldDateError(f"Centuries here run from the 1st to the {LAST_CENTURY}st.")
    return read_part(f"{number - 1:02}XX")


def _numeric(typed: str, first: int, second: int, year: str) -> DatePart:
    readings = {
        (day, month): f"{day} {MONTHS[month - 1]} {year}"
        for day, month in ((first, second), (second, first))
        if 1 <= day <= 31 and 1 <= month <= 12
    }
    if not readings:
        raise OldDateError(f"{typed} is no day and month. Write it like 12 May {year}.")
    if len(readings) == 2:
        one, other = readings.values()
        raise OldDateError(
            f"{typed} can be read two ways: {one} or {other}. Write the month by its name."
        )
    [(day, month)] = readings
    return read_part(f"{year}-{month:02}-{day:02}")


def _named_month(day: str, name: str, year: str) -> DatePart:
    # "sept" is the one usual abbreviation that is not the first three letters.
    wanted = "sep" if name == "sept" else name
    found = [
        number
        for number, month in enumerate(MONTHS, start=1)
        if wanted in (month.lower(), month[:3].lower())
    ]
    if not found:
        raise _unreadable(f"{name} {year}")
    return read_part(f"{year}-{found[0]:02}" + (f"-{int(day):02}" if day else ""))


def _unreadable(plain: str) -> OldDateError:
    if _SEASON.fullmatch(plain):
        return OldDateError(
            f'"{plain}" names a season, which falls in other months north and south of the '
            "equator. Write the months, such as 1931-03/1931-05 for March to May."
        )
    if _PART_OF_AN_AGE.fullmatch(plain):
        return OldDateError(
            f'"{plain}" has no fixed first and last year. Write the years you mean, such as '
            "1870/1899."
        )
    return OldDateError(
        f'"{plain}" is not read as a date. Write it like {EXAMPLES}, with all four figures of '
        "the year."
    )
