"""Points, boxes, and edges that are straight or arcs: the parts an outline is made of.

Coordinates in millimetres, x to the right, y upwards. An arc is kept by its bulge, the tangent of
a quarter of the angle it sweeps from start to end: positive when it runs counter-clockwise.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Final, NamedTuple

# Below this two points are one, in mm.
CLOSE_MM: Final = 1e-7
# Nodes and weights of Gauss and Legendre on -1…1, five of them.
GAUSS: Final = (
    (0.0, 0.5688888888888889),
    (0.5384693101056831, 0.47862867049936647),
    (-0.5384693101056831, 0.47862867049936647),
    (0.9061798459386640, 0.23692688505618908),
    (-0.9061798459386640, 0.23692688505618908),
)
PARTS_OF_AN_ARC: Final = 16


class Point(NamedTuple):
    """A place in mm."""

    x: float
    y: float


@dataclass(frozen=True)
class Box:
    """An upright rectangle round something, in mm."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom

    @property
    def middle(self) -> Point:
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)


@dataclass(frozen=True)
class Edge:
    """A straight line (bulge 0) or an arc from `start` to `end`."""

    start: Point
    end: Point
    bulge: float = 0.0

    @property
    def chord(self) -> float:
        return math.hypot(self.end.x - self.start.x, self.end.y - self.start.y)

    @property
    def sweep(self) -> float:
        """The angle swept in radians, positive counter-clockwise; 0 for a straight line."""
        return 4 * math.atan(self.bulge)

    @cached_property
    def radius(self) -> float:
        """Of the arc, in mm; infinite for a straight line."""
        if self.bulge == 0:
            return math.inf
        return self.chord * (1 + self.bulge**2) / (4 * abs(self.bulge))

    @cached_property
    def centre(self) -> Point:
        """Of the arc. Raises ZeroDivisionError for a straight line."""
        away = (1 - self.bulge**2) / (4 * self.bulge)
        dx, dy = self.end.x - self.start.x, self.end.y - self.start.y
        middle = Point((self.start.x + self.end.x) / 2, (self.start.y + self.end.y) / 2)
        return Point(middle.x - dy * away, middle.y + dx * away)

    @property
    def length(self) -> float:
        return self.chord if self.bulge == 0 else self.radius * abs(self.sweep)

    @property
    def segment_area(self) -> float:
        """Between chord and arc, in mm²: positive where the arc lies to the right of the chord."""
        if self.bulge == 0:
            return 0.0
        angle = self.sweep
        return self.radius**2 / 2 * (angle - math.sin(angle))

    def at(self, share: float) -> Point:
        """The point at a share of the way along, 0 at the start and 1 at the end."""
        if share <= 0:
            return self.start
        if share >= 1:
            return self.end
        if self.bulge == 0:
            return Point(
                self.start.x + (self.end.x - self.start.x) * share,
                self.start.y + (self.end.y - self.start.y) * share,
            )
        centre, angle = self.centre, self.start_angle + self.sweep * share
        return Point(
            centre.x + self.radius * math.cos(angle), centre.y + self.radius * math.sin(angle)
        )

    @property
    def start_angle(self) -> float:
        return math.atan2(self.start.y - self.centre.y, self.start.x - self.centre.x)

    def reversed(self) -> "Edge":
        return Edge(self.end, self.start, -self.bulge)

    def cut(self, shares: Sequence[float]) -> list["Edge"]:
        """The edge in parts, cut at shares of its way in rising order."""
        stops = [0.0, *shares, 1.0]
        points = [self.at(share) for share in stops]
        return [
            Edge(points[n], points[n + 1], math.tan(self.sweep * (stops[n + 1] - stops[n]) / 4))
            for n in range(len(stops) - 1)
        ]

    def crossings(self, y: float) -> list[float]:
        """The shares of the way, strictly inside it, at which the edge is at height `y`."""
        if self.bulge == 0:
            rise = self.end.y - self.start.y
            shares = [(y - self.start.y) / rise] if rise else []
        else:
            shares = self._arc_shares((y - self.centre.y) / self.radius)
        least = CLOSE_MM / max(self.length, CLOSE_MM)
        return sorted(share for share in shares if least < share < 1 - least)

    def _arc_shares(self, sine: float) -> list[float]:
        if abs(sine) >= 1:
            return []
        low = math.asin(sine)
        return [self._share_at(angle) for angle in (low, math.pi - low)]

    def _share_at(self, angle: float) -> float:
        """Where on the way the arc has a direction from its centre; above 1 where it has not."""
        turned = (angle - self.start_angle) % math.tau
        if self.sweep < 0:
            turned = (self.start_angle - angle) % math.tau
        return turned / abs(self.sweep)

    def extremes(self) -> list[Point]:
        """The points of an arc that lie furthest right, up, left and down, where it has them."""
        if self.bulge == 0:
            return []
        shares = (self._share_at(quarter * math.pi / 2) for quarter in range(4))
        return [self.at(share) for share in shares if 0 < share < 1]


def segment_centroid(edge: Edge) -> Point:
    angle = abs(edge.sweep)
    away = 4 * edge.radius * math.sin(angle / 2) ** 3 / (3 * (angle - math.sin(angle)))
    towards = edge.start_angle + edge.sweep / 2
    return Point(edge.centre.x + away * math.cos(towards), edge.centre.y + away * math.sin(towards))


def stretched_length(edge: Edge, stretch: float) -> float:
    dx, dy = edge.end.x - edge.start.x, edge.end.y - edge.start.y
    if edge.bulge == 0:
        return math.hypot(dx, dy * stretch)
    step = edge.sweep / PARTS_OF_AN_ARC
    total = 0.0
    for part in range(PARTS_OF_AN_ARC):
        middle = edge.start_angle + (part + 0.5) * step
        for node, weight in GAUSS:
            angle = middle + node * step / 2
            total += weight * math.hypot(math.sin(angle), stretch * math.cos(angle))
    return total * abs(step) / 2 * edge.radius


def parts_of(edge: Edge, sagitta: float) -> int:
    if edge.bulge == 0:
        return 1
    step = 2 * math.acos(max(1 - sagitta / edge.radius, 0.0))
    return max(1, math.ceil(abs(edge.sweep) / step))


def crossed_at(edge: Edge, y: float) -> list[float]:
    """Where a level line crosses the edge; a corner on the line counts for the edge above it."""
    found = []
    for first, last in pairwise((0.0, *_turning_shares(edge), 1.0)):
        low, high = edge.at(first), edge.at(last)
        if (low.y <= y) != (high.y <= y):
            found.append(_x_between(edge, first, last, y))
    return found


def _turning_shares(edge: Edge) -> list[float]:
    """Where an arc turns from rising to falling or back."""
    if edge.bulge == 0:
        return []
    shares = [edge._share_at(math.pi / 2), edge._share_at(-math.pi / 2)]
    return sorted(share for share in shares if 0 < share < 1)


def _x_between(edge: Edge, first: float, last: float, y: float) -> float:
    """The place at height `y` on a part of the edge that only rises or only falls."""
    a, b = edge.at(first), edge.at(last)
    if edge.bulge == 0:
        return a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)
    half = math.sqrt(max(edge.radius**2 - (y - edge.centre.y) ** 2, 0.0))
    middle = edge.at((first + last) / 2)
    return edge.centre.x + math.copysign(half, middle.x - edge.centre.x)
