"""Lengths and areas of what was drawn, as they are printed: millimetres and metres, or feet."""

from decimal import Decimal
from typing import Final

from sites.compute.lengths import format_inches
from sites.compute.plain_numbers import plain_number

MM2_PER_CM2: Final = 100.0
MM2_PER_M2: Final = 1_000_000.0
MM_PER_INCH: Final = 25.4
INCHES2_PER_FOOT2: Final = 144.0


def length_words(mm: float, inches: bool = False) -> str:
    """Return a length: `486 mm`, `1.24 m`, or to the nearest eighth `1' 7 1/8"`."""
    if inches:
        return format_inches(Decimal(str(round(mm, 3))), 8, feet=True).removeprefix("about ")
    if mm < 1000:
        return f"{_number(mm, 0 if mm >= 10 else 1)} mm"
    return f"{_number(mm / 1000, 2)} m"


def area_words(mm2: float, inches: bool = False) -> str:
    """Return an area: `52 cm²`, `0.14 m²`, or `8.1 sq in`, `1.5 sq ft`."""
    if inches:
        square_inches = mm2 / MM_PER_INCH**2
        if square_inches < INCHES2_PER_FOOT2:
            return f"{_number(square_inches, 1)} sq in"
        return f"{_number(square_inches / INCHES2_PER_FOOT2, 2)} sq ft"
    if mm2 < MM2_PER_M2 / 10:
        return f"{_number(mm2 / MM2_PER_CM2, 0 if mm2 >= 10 * MM2_PER_CM2 else 1)} cm²"
    return f"{_number(mm2 / MM2_PER_M2, 2)} m²"


def share_words(share: float) -> str:
    """Return a share from 0 to 1 in per cent: `12 %`, `0.4 %`."""
    percent = share * 100
    return f"{_number(percent, 0 if percent >= 10 else 1)} %"


def _number(value: float, places: int) -> str:
    return plain_number(Decimal(f"{value:.{places}f}"))
