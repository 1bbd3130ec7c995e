"""Reading one cell: what stands in it becomes a value, or a sentence on why it cannot."""

import datetime
import re
import unicodedata
from collections.abc import Callable, Iterable
from decimal import Decimal
from typing import Any, TypeGuard
from zoneinfo import available_timezones

from babel.numbers import list_currencies

from restoration.compute.visit_folder.problems import alike, did_you_mean
from restoration.compute.visit_folder.workbooks import Cell
from sites.compute.dates import OldDateError, parse_old_date
from sites.compute.lengths import Length, LengthError, parse_length
from sites.compute.record_fields import not_a_choice, out_of_range, too_long, too_many_places
from sites.compute.typed_numbers import NumberError, number_for_box, read_number

Reader = Callable[[Cell], Any]

_CONTROLS = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")
# A float has 15 sure figures; three fewer drops what binary arithmetic leaves behind.
_SURE_FIGURES = ".12g"
_YES = {"yes": True, "y": True, "true": True, "1": True}
_NO = {"no": False, "n": False, "false": False, "0": False}
_LANGUAGE = re.compile(r"[a-z]{2,3}(-[A-Za-z]{2,4})?")
_COUNTRY = re.compile(r"[A-Z]{2}")
_EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")
AS_TEXT = "Format the column as text, then type it again."


class CellError(ValueError):
    """What stands in a cell cannot be read: what is wrong, and what is possible."""

    def __init__(self, what: str, possible: str = "") -> None:
        super().__init__(what)
        self.what, self.possible = what, possible


def words(cell: Cell) -> str:
    """Return a cell as the text it shows: 2015.0 is `2015`, new lines are kept.

    Raises CellError for a date or a time, which a spreadsheet makes of numbers such as 3-8.
    """
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, (int, float)):
        return format(_decimal(cell), "f")
    if not isinstance(cell, str):
        raise CellError(f"The spreadsheet has made a date or time of this ({cell}).", AS_TEXT)
    lines = cell.replace("\r\n", "\n").replace("\r", "\n")
    return unicodedata.normalize("NFC", _CONTROLS.sub("", lines)).strip()


def text(longest: int) -> Reader:
    """A reader of text on one line."""

    def read(cell: Cell) -> str:
        return _no_longer(" ".join(words(cell).split()), longest)

    return read


def lines(cell: Cell) -> str:
    """Read text of any number of lines, as inscriptions and notes have them."""
    return _no_longer(words(cell), 20_000)


def whole(lowest: int, highest: int) -> Reader:
    """A reader of a whole number."""

    def read(cell: Cell) -> int:
        value = _number(cell)
        if value != value.to_integral_value():
            raise CellError(f"{value} is not a whole number.", f"Give {lowest} to {highest}.")
        _within(value, lowest, highest)
        return int(value)

    return read


def number(lowest: str, highest: str, places: int) -> Reader:
    """A reader of a number with up to `places` decimals."""

    def read(cell: Cell) -> Decimal:
        value = _number(cell)
        _within(value, Decimal(lowest), Decimal(highest))
        if value != round(value, places):
            raise CellError(too_many_places(value, places))
        return value

    return read


def yes_no(cell: Cell) -> bool:
    known = _YES | _NO
    said = alike(words(cell))
    if said not in known:
        raise CellError(f'"{words(cell)}" is neither yes nor no.', "Write yes or no.")
    return known[said]


def day(cell: Cell) -> datetime.date:
    """Read a spreadsheet's date or one in words that can mean one day only."""
    if isinstance(cell, datetime.datetime):
        return cell.date()
    if isinstance(cell, datetime.date):
        return cell
    if not isinstance(cell, str):
        raise CellError(
            f"{words(cell)} is not a date.",
            "Format the cell as a date, or write it as 2026-05-04.",
        )
    try:
        read = parse_old_date(cell)
    except OldDateError as error:
        raise CellError(f'"{cell.strip()}": {error}', "Write a date as 2026-05-04.") from error
    if read.earliest != read.latest:
        raise CellError(f'"{cell.strip()}" is not one day.', "Write a date as 2026-05-04.")
    return read.earliest


def old_date(cell: Cell) -> str:
    """Read an old date and return it as written, sure that it can be read."""
    if isinstance(cell, datetime.datetime):
        cell = cell.date()
    written = cell.isoformat() if isinstance(cell, datetime.date) else words(cell)
    try:
        return parse_old_date(written).typed
    except OldDateError as error:
        raise CellError(str(error)) from error


def length(cell: Cell) -> Length:
    """Read a length as typed; a bare number is in millimetres.

    A spreadsheet's own number is never in doubt: it is written so that it is read as itself.
    """
    try:
        return parse_length(number_for_box(_decimal(cell)) if _is_number(cell) else words(cell))
    except LengthError as error:
        raise CellError(str(error)) from error


def lengths(cell: Cell) -> tuple[Length, ...]:
    """Read several lengths, apart by `;`: the widths of uneven lights."""
    try:
        if _is_number(cell):
            return (length(cell),)
        parts = [part for part in words(cell).split(";") if part.strip()]
        return tuple(parse_length(part) for part in parts)
    except LengthError as error:
        raise CellError(str(error)) from error


def choice(*values: str) -> Reader:
    """A reader of one of `values`, whatever its case and spacing."""
    known = {alike(value): value for value in values}

    def read(cell: Cell) -> str:
        said = words(cell)
        if alike(said) not in known:
            raise CellError(not_a_choice(said, values))
        return known[alike(said)]

    return read


def separated(separator: str, longest: int) -> Reader:
    """A reader of several texts in one cell; returns those that are not empty, as a tuple."""

    def read(cell: Cell) -> tuple[str, ...]:
        parts = (" ".join(part.split()) for part in words(cell).split(separator))
        return tuple(_no_longer(part, longest) for part in parts if part)

    return read


def number_and_system(cell: Cell) -> tuple[tuple[str, str], ...]:
    """Read older numbers: `old number: whose`, several apart by `;`."""
    pairs = []
    for part in separated(";", 161)(cell):
        old, colon, system = (piece.strip() for piece in part.partition(":"))
        if not (old and colon and system):
            raise CellError(
                f'"{part}" does not say whose number it is.',
                "Write it as 12: parish list of 1962; the next after a semicolon.",
            )
        pairs.append((_no_longer(old, 40), _no_longer(system, 120)))
    return tuple(dict.fromkeys(pairs))


def currency(cell: Cell) -> str:
    return _code(cell, list_currencies(), "no currency", "Use three letters (ISO 4217): EUR, USD.")


def time_zone(cell: Cell) -> str:
    said = words(cell)
    zones = {zone.casefold(): zone for zone in available_timezones()}
    if said.casefold() not in zones:
        # Most people type the city alone.
        cities = [zone for zone in sorted(zones.values()) if "/" in zone]
        city = next((z for z in cities if alike(z.rpartition("/")[2]) == alike(said)), "")
        possible = f'Did you mean "{city}"?' if city else did_you_mean(said, cities, 4)
        raise CellError(f'"{said}" is no time zone.', possible)
    return zones[said.casefold()]


def country(cell: Cell) -> str:
    said = words(cell).upper()
    if not _COUNTRY.fullmatch(said):
        raise CellError(f'"{said}" is no country code.', "Use two letters (ISO 3166): FR, US.")
    return said


def language(cell: Cell) -> str:
    return _shaped(cell, _LANGUAGE, "language code", "Use two letters: en, fr.", 8)


def email(cell: Cell) -> str:
    return _shaped(cell, _EMAIL, "e-mail address", "It looks like name@parish.example.", 254)


def _code(cell: Cell, known: Iterable[str], what: str, possible: str) -> str:
    said = words(cell).upper()
    if said not in known:
        raise CellError(f'"{said}" is {what}.', possible)
    return said


def _shaped(cell: Cell, shape: re.Pattern[str], what: str, possible: str, longest: int) -> str:
    said = _no_longer(words(cell), longest)
    if not shape.fullmatch(said):
        raise CellError(f'"{said}" is no {what}.', possible)
    return said


def _number(cell: Cell) -> Decimal:
    if _is_number(cell):
        return _decimal(cell)
    try:
        return read_number(words(cell))
    except NumberError as error:
        raise CellError(error.what, error.possible) from error


def _is_number(cell: Cell) -> TypeGuard[float]:
    """Whether a cell is a number to the spreadsheet itself, not the text of one."""
    return isinstance(cell, (int, float)) and not isinstance(cell, bool)


def _decimal(value: float) -> Decimal:
    read = Decimal(format(value, _SURE_FIGURES)) if isinstance(value, float) else Decimal(value)
    if not read.is_finite():
        raise CellError(f"{value} is not a number.", "Give figures alone.")
    return read


def _within(value: Decimal, lowest: Decimal | int, highest: Decimal | int) -> None:
    if not lowest <= value <= highest:
        raise CellError(out_of_range(value, lowest, highest))


def _no_longer(said: str, longest: int) -> str:
    if len(said) > longest:
        raise CellError(too_long(said, longest))
    return said
