"""How much of a stroke lies in each panel, and what share of the panel that is. Millimetres."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import dist
from typing import Final

from condition.compute.strokes import AREA, LINE, Points
from sites.compute.geometry.rings import Point

# What lies in a panel by less than this share of the stroke is the width of its lead.
NEGLIGIBLE: Final = 0.001


@dataclass(frozen=True)
class Part:
    """A panel as it is drawn: its number and its pieces, as polygons."""

    number: str
    pieces: tuple[tuple[Point, ...], ...]
    area_mm2: float


@dataclass(frozen=True)
class Share:
    """What of a stroke lies in one panel: mm of a line, mm² of an area, nothing of a point.

    of_panel: of an area, as a share of the panel from 0 to 1; None for lines and points.
    """

    number: str
    amount: float
    of_panel: float | None = None


def shares_of(stroke: str, points: Points, parts: Iterable[Part]) -> tuple[Share, ...]:
    """Return what of a stroke lies in which panel, in the order of `parts`; panels it misses are
    left out, and so is what lies on bars, mullions and stone."""
    found = []
    for part in parts:
        if stroke == AREA:
            amount = sum(common_area(points, piece) for piece in part.pieces)
            share = min(1.0, amount / part.area_mm2) if part.area_mm2 > 0 else None
        elif stroke == LINE:
            amount, share = sum(length_inside(points, piece) for piece in part.pieces), None
        else:
            inside = any(_spans_hold(points[0].x, points[0].y, piece) for piece in part.pieces)
            amount, share = float(inside), None
        found.append(Share(part.number, amount, share))
    least = NEGLIGIBLE * sum(each.amount for each in found)
    return tuple(each for each in found if each.amount > least)


def common_area(one: Points, other: Points) -> float:
    """Return the area that two polygons share, in their unit squared; neither crosses itself.

    The plane is cut at the height of every corner and every crossing: between two cuts both are
    trapezia that do not cross, so their common width at mid-height times the height is exact.
    """
    cuts = sorted({p.y for p in one} | {p.y for p in other} | set(_crossings(one, other)))
    low = max(min(p.y for p in one), min(p.y for p in other))
    high = min(max(p.y for p in one), max(p.y for p in other))
    total = 0.0
    for foot, top in pairwise(cuts):
        if top <= low or foot >= high:
            continue
        middle = (foot + top) / 2
        total += (top - foot) * _common_width(_spans(one, middle), _spans(other, middle))
    return total


def length_inside(line: Points, polygon: Points) -> float:
    """Return how much of a line lies inside a polygon, in their unit."""
    total = 0.0
    for start, end in pairwise(line):
        steps = sorted({0.0, 1.0, *_crossed_at(start, end, polygon)})
        for one, other in pairwise(steps):
            middle = (one + other) / 2
            x, y = _between(start, end, middle)
            if _spans_hold(x, y, polygon):
                total += (other - one) * dist(start, end)
    return total


def _sides(polygon: Points) -> list[tuple[Point, Point]]:
    return list(pairwise([*polygon, polygon[0]]))


def _crossings(one: Points, other: Points) -> list[float]:
    """The heights at which sides of two polygons cross."""
    found = []
    for start, end in _sides(one):
        for share in _crossed_at(start, end, other):
            found.append(start.y + (end.y - start.y) * share)
    return found


def _crossed_at(start: Point, end: Point, polygon: Points) -> list[float]:
    """Where along a side, from 0 to 1, the polygon's sides cross it."""
    dx, dy = end.x - start.x, end.y - start.y
    found = []
    for a, b in _sides(polygon):
        ex, ey = b.x - a.x, b.y - a.y
        turn = dx * ey - dy * ex
        if turn == 0:
            continue
        along = ((a.x - start.x) * ey - (a.y - start.y) * ex) / turn
        across = ((a.x - start.x) * dy - (a.y - start.y) * dx) / turn
        if 0 <= along <= 1 and 0 <= across <= 1:
            found.append(along)
    return found


def _spans(polygon: Points, y: float) -> list[tuple[float, float]]:
    """The stretches inside a polygon at a height, from the left."""
    xs = sorted(
        a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)
        for a, b in _sides(polygon)
        if (a.y > y) != (b.y > y)
    )
    return list(zip(xs[::2], xs[1::2], strict=False))


def _spans_hold(x: float, y: float, polygon: Points) -> bool:
    return any(left <= x <= right for left, right in _spans(polygon, y))


def _common_width(
    one: Sequence[tuple[float, float]], other: Sequence[tuple[float, float]]
) -> float:
    return sum(
        max(0.0, min(right, end) - max(left, start)) for left, right in one for start, end in other
    )


def _between(start: Point, end: Point, share: float) -> tuple[float, float]:
    return start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share
