"""A straight line through few and uneven readings that one wild reading does not turn over."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import factorial, sqrt
from statistics import NormalDist, median
from typing import Final

CONFIDENCE: Final = 0.95


class TooFewError(ValueError):
    """Readings through which no line goes: all at one place, or fewer than two."""


@dataclass(frozen=True)
class Line:
    """The median slope with its interval, and where the line passes.

    low, high: the slopes between which the true one lies with `confidence`, a share of 1. So few
        readings that ranks cannot reach 95 % have the whole range of their slopes, and say what
        confidence that gives.
    middle_x, middle_y: the medians, through which the line goes with any of its slopes.
    """

    slope: float
    low: float
    high: float
    middle_x: float
    middle_y: float
    confidence: float

    def at(self, x: float, slope: float | None = None) -> float:
        """Return the line's height at `x`; with `slope`, that of the line so steep."""
        chosen = self.slope if slope is None else slope
        return self.middle_y + chosen * (x - self.middle_x)


def theil_sen(x: Sequence[float], y: Sequence[float]) -> Line:
    """Return the line of median slope, with the rank-based 95 % interval of the slope.

    Pairs at the same x have no slope and are left out. Raises TooFewError where no pair is left.

    Source: P. K. Sen, "Estimates of the Regression Coefficient Based on Kendall's Tau", Journal
    of the American Statistical Association 63 (1968), pp. 1379-1389; the interval is its (2.6),
    with the variance corrected for ties, ranks rounded to whole ones. Below five readings the
    chance of the two extreme orders, 2 in n!, is above 5 %: then their range is given.
    """
    slopes = _slopes(x, y)
    if not slopes:
        raise TooFewError("a slope needs readings at two places at least")
    low, high, confidence = _interval(slopes, x, y)
    return Line(median(slopes), low, high, median(x), median(y), confidence)


def _slopes(x: Sequence[float], y: Sequence[float]) -> list[float]:
    points = sorted(zip(x, y, strict=True))
    return sorted(
        (later_y - y) / (later_x - x)
        for place, (x, y) in enumerate(points)
        for later_x, later_y in points[place + 1 :]
        if later_x > x
    )


def _interval(
    slopes: Sequence[float], x: Sequence[float], y: Sequence[float]
) -> tuple[float, float, float]:
    # Readings at one place say nothing of the slope between them: the places count.
    reachable = 1 - 2 / factorial(min(len(set(x)), 20))
    if reachable < CONFIDENCE:
        return slopes[0], slopes[-1], max(0.0, reachable)
    n, count = len(x), len(slopes)
    variance = (_pairs(n) - _tied(x) - _tied(y)) / 18
    reach = NormalDist().inv_cdf((1 + CONFIDENCE) / 2) * sqrt(max(0.0, variance))
    lower = max(round((count - reach) / 2) - 1, 0)
    upper = min(round((count + reach) / 2), count - 1)
    return slopes[lower], slopes[upper], CONFIDENCE


def _pairs(n: int) -> float:
    return n * (n - 1) * (2 * n + 5)


def _tied(values: Iterable[float]) -> float:
    return sum(_pairs(times) for times in Counter(values).values() if times > 1)
