"""Lengths and areas in the words of the building's units."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Final

from condition.compute.safety.limits import square_feet
from sites.compute.plain_numbers import plain_number

INCH: Final = "inch"
MM_PER_INCH: Final = Decimal("25.4")
HUNDREDTH: Final = Decimal("0.01")


def length_words(mm: Decimal, units: str) -> str:
    """Return a length to a centimetre, or to an inch: `1.52 m`, `5 ft`, `5 ft 2 in`."""
    if units != INCH:
        return f"{plain_number((mm / 1000).quantize(HUNDREDTH, ROUND_HALF_UP))} m"
    feet, inches = divmod(int((mm / MM_PER_INCH).quantize(Decimal(1), ROUND_HALF_UP)), 12)
    parts = [f"{feet} ft" if feet else "", f"{inches} in" if inches or not feet else ""]
    return " ".join(part for part in parts if part)


def area_words(m2: Decimal, units: str) -> str:
    """Return an area to a hundredth: `0.56 m²`, `6 ft²`."""
    if units == INCH:
        return f"{plain_number(square_feet(m2))} ft²"
    return f"{plain_number(m2.quantize(HUNDREDTH, ROUND_HALF_UP))} m²"


def published_length(feet: int, metres: str, units: str) -> str:
    """Return a length as it was published, in feet, with metres after or before it."""
    return f"{feet} ft ({metres} m)" if units == INCH else f"{metres} m ({feet} ft)"
