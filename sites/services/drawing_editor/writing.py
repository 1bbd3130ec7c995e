"""Lengths and places as the editor writes them into boxes, and reads them back."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from sites.compute.lengths import BareUnit, LengthError, format_inches, mm_for_box, parse_length
from sites.compute.typed_numbers import number_for_box
from sites.models.choices import Units

TWO_PLACES: Final = Decimal("0.01")
NOTHING: Final = frozenset("0.,")


def written(mm: Decimal | float, units: str) -> str:
    """Return a length or place as a box holds it: whole millimetres, or 16ths of an inch."""
    exact = mm if isinstance(mm, Decimal) else Decimal(repr(float(mm)))
    sign = "-" if exact < 0 else ""
    size = abs(exact)
    if units == Units.INCH:
        text = format_inches(size).removeprefix("about ").removeprefix("under ")
        return "0" if text == '0"' else sign + text
    whole = int(size.quantize(Decimal(1), rounding=ROUND_HALF_UP))
    return f"{sign}{whole}" if whole else "0"


def as_recorded(typed: str, mm: Decimal | None, units: str) -> str:
    """Return the words a length was recorded in, where this user would read them the same."""
    if mm is None:
        return ""
    try:
        same = parse_length(typed, bare_unit(units)).mm == mm
    except LengthError:
        same = False
    return typed if same else mm_for_box(mm)


def place_text(mm: Decimal | None, units: str) -> str:
    """Return a recorded place for its box: exactly, where whole figures would not say it."""
    if mm is None:
        return ""
    text = written(mm, units)
    if place_of(text, units) == mm:
        return text
    plain = number_for_box(mm)
    return f"{plain} mm" if units == Units.INCH else plain


def place_of(text: str, units: str) -> Decimal:
    """Return a place along an axis in millimetres, to a hundredth; it may be nought or below.

    Raises LengthError for what is no length.
    """
    plain = text.strip().replace("\N{MINUS SIGN}", "-")
    below = plain.startswith("-")
    size = plain[1:].strip() if below else plain
    if size and set(size) <= NOTHING and "0" in size:
        return Decimal(0)
    mm = parse_length(size, bare_unit(units)).mm.quantize(TWO_PLACES, rounding=ROUND_HALF_UP)
    return -mm if below else mm


def bare_unit(units: str) -> BareUnit:
    """The unit of a number without one."""
    return "in" if units == Units.INCH else "mm"
