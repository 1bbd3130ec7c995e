"""A scale bar: a round length that fits beside a drawing."""

from dataclasses import dataclass
from typing import Final

METRIC_MM: Final = (10, 20, 50, 100, 200, 500, 1000, 2000, 5000)
INCHES: Final = (1, 2, 3, 6, 12, 24, 36, 60, 120)
MM_PER_INCH: Final = 25.4


@dataclass(frozen=True)
class ScaleBar:
    """How long the bar is drawn, in units of the drawing, and what it says."""

    length: float
    label: str


def scale_bar(mm_per_unit: float, longest: float, inches: bool = False) -> ScaleBar | None:
    """Return the longest round bar within `longest` units, or None where none fits."""
    if inches:
        steps = [(count * MM_PER_INCH, _in_inches(count)) for count in INCHES]
    else:
        steps = [(float(mm), _in_metric(mm)) for mm in METRIC_MM]
    fitting = [step for step in steps if step[0] / mm_per_unit <= longest]
    if not fitting:
        return None
    mm, label = fitting[-1]
    return ScaleBar(round(mm / mm_per_unit, 1), label)


def _in_inches(count: int) -> str:
    feet, rest = divmod(count, 12)
    return f"{feet} ft" if feet and not rest else f"{count} in"


def _in_metric(mm: int) -> str:
    return f"{mm // 1000} m" if mm >= 1000 else f"{mm} mm"
