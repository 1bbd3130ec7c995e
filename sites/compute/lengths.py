"""Lengths as people type them, in millimetres or feet and inches, and as we print them."""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal, localcontext
from fractions import Fraction
from typing import Final, Literal

from sites.compute.plain_numbers import plain_number
from sites.compute.typed_numbers import NumberError, is_parted, number_for_box, read_number
from sites.compute.typed_text import is_fraction, plain_text

BareUnit = Literal["mm", "in"]

MM_PER_INCH: Final = Fraction(254, 10)
INCHES_PER_FOOT: Final = 12
LONGEST_MM: Final = 100_000
FINEST_FRACTION: Final = 64
TAPE_DENOMINATORS: Final = (1, 2, 4, 8, 16, 32, 64)
# A 64th of an inch is 0.396875 mm: six places hold it, and every coarser fraction of a tape.
SIX_PLACES: Final = 6
LONGEST_TEXT: Final = 40

_METRIC: Final[dict[str, Fraction]] = {
    **dict.fromkeys(("mm", "millimetre", "millimetres", "millimeter", "millimeters"), Fraction(1)),
    **dict.fromkeys(("cm", "centimetre", "centimetres", "centimeter", "centimeters"), Fraction(10)),
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Fraction(1000)),
}
_UNITS: Final[dict[str, Fraction]] = {
    **_METRIC,
    **dict.fromkeys(('"', "in", "ins", "inch", "inches"), MM_PER_INCH),
    **dict.fromkeys(("'", "ft", "foot", "feet"), MM_PER_INCH * INCHES_PER_FOOT),
}

_FRACTION: Final = r"[0-9]+ ?/ ?[0-9]+"
# Spaces part thousands, and a whole number from its fraction: 1 250 3/8.
_DECIMAL: Final = r"(?:[0-9]{1,3}(?: [0-9]{3})+(?:[.,][0-9]+)?|[0-9.,]+)"
_QUANTITY: Final = rf"(?:{_DECIMAL}(?:(?: | ?- ?){_FRACTION})?|{_FRACTION})"
_ONE: Final = re.compile(rf"(?P<quantity>{_QUANTITY}) ?(?P<unit>[^\W\d_]+\.?|'|\")?")
_FEET_AND_INCHES: Final = re.compile(
    rf"(?P<feet>{_QUANTITY}) ?(?:'|ft\.?|foot|feet) ?-? ?"
    rf"(?P<inches>{_QUANTITY}) ?(?:\"|ins?\.?|inch|inches)?"
)
_AFTER_INCHES: Final = re.compile(rf"{_QUANTITY} ?(?:\"|ins?\.?|inch|inches) ?(?P<rest>[^ ].*)")
_PARTS: Final = re.compile(
    rf"(?:(?P<whole>{_DECIMAL})(?: | ?- ?|$))?(?:(?P<over>[0-9]+) ?/ ?(?P<under>[0-9]+))?"
)
# The one mark of thousands that is also a unit: 1'006 is a foot and six inches, or 1006.
_FEET_OR_THOUSANDS: Final = re.compile(
    r"(?P<feet>[1-9][0-9]{0,2})'(?P<rest>0(?:0[0-9]|1[01])(?:[.,][0-9]+)?)"
)

EXAMPLES: Final = '873, 87.3 cm, 1.2 m, 34 3/8" or 2\' 10 3/8"'


class LengthError(ValueError):
    """What was typed is not a length we can be sure of; the message says why."""


@dataclass(frozen=True)
class Length:
    """A length in millimetres, with the text it was read from."""

    typed: str
    mm: Decimal


def parse_length(text: str, bare_unit: BareUnit = "mm") -> Length:
    """Return the length that `text` states, in millimetres, and the text as typed.

    bare_unit: the unit of a number typed without one. After feet it is always inches.

    The result is exact: a decimal fraction, or a fraction of an inch to 1/64 in. Only a fraction
    that no decimal can hold (1/3 in) is rounded, half-up, at the sixth place of a millimetre.

    Decimals and thousands are read as `read_number` reads them.

    Raises LengthError, in words for the person who typed it, for anything that is empty,
    not above zero, over 100 m, in an unknown unit or open to two readings.

    Source: 1 in = 25.4 mm exactly, 1 ft = 12 in = 304.8 mm (international yard and pound
    agreement, 1959; NIST SP 811, appendix B; ISO 80000-3). From memory.
    """
    typed = text.strip()
    if len(typed) > LONGEST_TEXT:
        raise LengthError(f"That is too long for a length. Write it like {EXAMPLES}.")
    plain = plain_text(typed)
    if is_parted(typed):
        raise LengthError(f"There is a tab or a new line in “{plain}”. Type one length.")
    if not plain:
        raise LengthError(f"Enter a length, such as {EXAMPLES}.")
    # A raised or ringed figure would become a plain one: 5² is no 52.
    if any(_is_other_figure(character) for character in typed):
        raise LengthError(f'"{typed}" is not a length. Write it like {EXAMPLES}.')
    if re.match(r"- ?[0-9.,]", plain):
        raise LengthError(f"{typed} is below zero. A length must be above zero.")
    return Length(typed, _in_range(_millimetres(plain, bare_unit), typed))


def format_mm(mm: Decimal, places: int | None = None) -> str:
    """Return a length as text in millimetres: `873 mm`, `873.125 mm`.

    places: decimal places to round to, half-up. Without it every figure is shown. A length
        changed by rounding is printed with `about` before it.

    Raises LengthError for a length below zero.
    """
    shown = _countable(mm)
    if places is not None:
        with localcontext() as context:
            context.prec = 60
            shown = mm.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    about = "" if shown == mm else "about "
    return f"{about}{plain_number(shown)} mm"


def mm_for_box(mm: Decimal) -> str:
    """Return a length as a box shows it, so that posted back it is read as that length.

    Raises LengthError for a length below zero.
    """
    return f"{number_for_box(_countable(mm))} mm"


def format_inches(mm: Decimal, denominator: int = 16, feet: bool = False) -> str:
    """Return a length in inches and the nearest fraction: `34 3/8"`, or `2' 10 3/8"` with feet.

    mm: the length in millimetres.
    denominator: the finest fraction, a power of two up to 64. A length half way between two
        marks goes to the longer one, and the fraction is reduced.
    feet: count the whole feet apart.

    A length that does not fall on a mark is printed with `about` before it.

    Raises LengthError for a length below zero or a fraction that is on no rule.
    """
    if denominator not in TAPE_DENOMINATORS:
        marks = ", ".join(str(mark) for mark in TAPE_DENOMINATORS)
        raise LengthError(f"Inches are divided into {marks} parts, not {denominator}.")
    exact = Fraction(_countable(mm)) / MM_PER_INCH
    marks_along = int(exact * denominator + Fraction(1, 2))
    nearest = Fraction(marks_along, denominator)
    if exact and not nearest:
        return f'under {Fraction(1, denominator)}"'
    about = "" if nearest == exact else "about "
    whole_feet, inches = divmod(nearest, INCHES_PER_FOOT) if feet else (0, nearest)
    shown_feet = f"{whole_feet}' " if whole_feet else ""
    return f'{about}{shown_feet}{_mixed_number(inches)}"'


def _is_other_figure(character: str) -> bool:
    return character.isnumeric() and not (character.isdecimal() or is_fraction(character))


def _millimetres(plain: str, bare_unit: BareUnit) -> Fraction:
    if either := _FEET_OR_THOUSANDS.fullmatch(plain):
        whole, rest = either["feet"], either["rest"].replace(",", ".")
        feet = f"{whole} ft {number_for_box(Decimal(rest))} in"
        joined = plain_number(Decimal(whole + rest))
        raise LengthError(f"{plain} can be read as {feet} or as {joined}: type {feet} or {joined}.")
    if both := _FEET_AND_INCHES.fullmatch(plain):
        return _feet_and_inches(both["feet"], both["inches"])
    one = _ONE.fullmatch(plain)
    if one is None:
        raise LengthError(_why_unreadable(plain))
    unit = (one["unit"] or bare_unit).removesuffix(".")
    if unit not in _UNITS:
        raise LengthError(f'"{unit}" is not a unit used here. Use mm, cm, m, in or ft.')
    if "/" in one["quantity"] and unit in _METRIC:
        raise LengthError(_fraction_of_metric(plain, one["unit"]))
    return _quantity(one["quantity"]) * _UNITS[unit]


def _fraction_of_metric(plain: str, unit: str | None) -> str:
    if unit is None:
        return f'{plain} has no unit. A fraction is of an inch: write {plain}" if you mean inches.'
    return f"Fractions are for inches. Write {unit} with decimals, such as 87.5 {unit}."


def _feet_and_inches(feet_text: str, inches_text: str) -> Fraction:
    feet, inches = _quantity(feet_text), _quantity(inches_text)
    if feet.denominator != 1:
        raise LengthError("Where inches follow, the feet must be a whole number.")
    if inches >= INCHES_PER_FOOT:
        raise LengthError(
            f"{inches_text} inches is a foot or more. After feet, inches must be under 12."
        )
    return (feet * INCHES_PER_FOOT + inches) * MM_PER_INCH


def _quantity(text: str) -> Fraction:
    """A number, a fraction, or a number and a fraction; `text` already has that shape."""
    parts = _PARTS.fullmatch(text)
    if parts is None:
        raise LengthError(f"{text} is not a number. Write it like {EXAMPLES}.")
    whole = _number(parts["whole"]) if parts["whole"] else Fraction(0)
    if parts["under"] is None:
        return whole
    over, under = int(parts["over"]), int(parts["under"])
    if under == 0:
        raise LengthError(f"{over}/{under} divides by zero. The lower number must be 2 to 64.")
    if under > FINEST_FRACTION:
        raise LengthError(f"{over}/{under} is finer than 1/64 inch. The lower number is 2 to 64.")
    if over >= under:
        raise LengthError(
            f"{over}/{under} is not less than one. Write the whole number apart, such as 34 3/8."
        )
    if whole.denominator != 1:
        raise LengthError(f"{text} has both decimals and a fraction. Use one of them.")
    return whole + Fraction(over, under)


def _number(text: str) -> Fraction:
    try:
        return Fraction(read_number(text))
    except NumberError as error:
        raise LengthError(str(error)) from error


def _why_unreadable(plain: str) -> str:
    if after := _AFTER_INCHES.fullmatch(plain):
        return (
            f'"{after["rest"]}" stands after the inches. Write a fraction before the inch mark, '
            'such as 34 3/8".'
        )
    return f'"{plain}" is not a length. Write it like {EXAMPLES}.'


def _in_range(mm: Fraction, typed: str) -> Decimal:
    if mm > LONGEST_MM:
        raise LengthError(f"{typed} is over 100 m. No length here can be more than that.")
    scale = 10**SIX_PLACES
    millionths = int(mm * scale + Fraction(1, 2))
    if millionths == 0:
        raise LengthError(f"{typed} is zero. A length must be above zero.")
    # Without trailing zeros and without an exponent: 900, not 900.000000 nor 9E+2.
    return Decimal(plain_number(Decimal(millionths).scaleb(-SIX_PLACES)))


def _countable(mm: Decimal) -> Decimal:
    if not mm.is_finite() or mm < 0:
        raise LengthError(f"{mm} mm is not a length. A length cannot be below zero.")
    return mm


def _mixed_number(inches: Fraction) -> str:
    whole, rest = divmod(inches, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)
