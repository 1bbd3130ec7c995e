"""The heights from one support to the next, against what the trade sets bars at."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

from sites.compute.figures import Figures

Judged = Literal["closer", "usual", "wider"]


@dataclass(frozen=True)
class Gap:
    """A stretch of a light without a support, from `foot_mm` up to `top_mm` above the sill."""

    light: int
    foot_mm: float
    top_mm: float

    @property
    def height_mm(self) -> float:
        return self.top_mm - self.foot_mm


def gaps_of(light: int, foot_mm: float, top_mm: float, bars_mm: Sequence[float]) -> tuple[Gap, ...]:
    """Return the stretches from the foot of a light over its bars to its top, from below."""
    places = [foot_mm, *sorted({y for y in bars_mm if foot_mm < y < top_mm}), top_mm]
    return tuple(Gap(light, low, high) for low, high in pairwise(places))


def around(gaps: Sequence[Gap], height_mm: float) -> tuple[float, float]:
    """Return how far it is from a bar at that height to the next support below and above."""
    below = [gap.height_mm for gap in gaps if gap.top_mm == height_mm]
    above = [gap.height_mm for gap in gaps if gap.foot_mm == height_mm]
    return sum(below), sum(above)


def judged(gap: Gap, figures: Figures) -> Judged:
    """Return how a stretch compares with the trade's 12 to 18 in; common practice, no source."""
    if gap.height_mm > figures.number("supports.spacing_greatest"):
        return "wider"
    if gap.height_mm < figures.number("supports.spacing_least"):
        return "closer"
    return "usual"
