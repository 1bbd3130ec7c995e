"""Closed outlines of straight edges and arcs: areas, lengths, clipping, and paths for drawing.

Coordinates in millimetres, x to the right, y upwards. An arc is kept by its bulge, the tangent of
a quarter of the angle it sweeps from start to end: positive when it runs counter-clockwise.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import pairwise
from typing import Final, NamedTuple

SAGITTA_MM: Final = 0.1
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


@dataclass(frozen=True)
class Ring:
    """A closed, counter-clockwise outline whose edges do not cross.

    stretch: all heights are multiplied by it in the end: an ellipse is a stretched circle.
    """

    edges: tuple[Edge, ...]
    stretch: float = 1.0

    @cached_property
    def area(self) -> float:
        """In mm². Source: Green's theorem; a segment of a circle is r²(θ − sin θ)/2."""
        return self._twice_chords / 2 * self.stretch + self.stretch * sum(
            edge.segment_area for edge in self.edges
        )

    @property
    def _twice_chords(self) -> float:
        return sum(e.start.x * e.end.y - e.end.x * e.start.y for e in self.edges)

    @cached_property
    def perimeter(self) -> float:
        """In mm; that of stretched arcs by Gauss's quadrature, to a millionth of itself."""
        if self.stretch == 1:
            return sum(edge.length for edge in self.edges)
        return sum(_stretched_length(edge, self.stretch) for edge in self.edges)

    @cached_property
    def centroid(self) -> Point:
        """The centre of the area.

        A segment's own lies 4r sin³(θ/2) / 3(θ − sin θ) from the centre of its circle.
        """
        x = y = 0.0
        for edge in self.edges:
            cross = edge.start.x * edge.end.y - edge.end.x * edge.start.y
            x += (edge.start.x + edge.end.x) * cross / 6
            y += (edge.start.y + edge.end.y) * cross / 6
            if edge.bulge:
                area, at = edge.segment_area, _segment_centroid(edge)
                x, y = x + area * at.x, y + area * at.y
        area = self.area / self.stretch
        return Point(x / area, y / area * self.stretch)

    @cached_property
    def box(self) -> Box:
        points = [edge.start for edge in self.edges]
        points += [point for edge in self.edges for point in edge.extremes()]
        xs, ys = [point.x for point in points], [point.y * self.stretch for point in points]
        return Box(min(xs), min(ys), max(xs), max(ys))

    def moved(self, dx: float, dy: float) -> "Ring":
        return self._each(lambda p: Point(p.x + dx, p.y + dy / self.stretch))

    def scaled(self, factor: float) -> "Ring":
        """Return the ring larger or smaller about the origin; factor above 0."""
        return self._each(lambda p: Point(p.x * factor, p.y * factor))

    def mirrored(self, about_x: float) -> "Ring":
        """Return the ring with left and right changed about an upright axis."""
        other = Ring(
            tuple(
                Edge(
                    Point(2 * about_x - e.end.x, e.end.y),
                    Point(2 * about_x - e.start.x, e.start.y),
                    e.bulge,
                )
                for e in reversed(self.edges)
            ),
            self.stretch,
        )
        return other

    def turned(self, degrees: float, about: Point) -> "Ring":
        """Return the ring turned counter-clockwise; a stretched one by its fine polygon."""
        if degrees % 360 == 0:
            return self
        ring = self if self.stretch == 1 else ring_of_points(self.polygon(SAGITTA_MM / 10))
        angle = math.radians(degrees)
        c, s = math.cos(angle), math.sin(angle)
        return ring._each(
            lambda p: Point(
                about.x + (p.x - about.x) * c - (p.y - about.y) * s,
                about.y + (p.x - about.x) * s + (p.y - about.y) * c,
            )
        )

    def _each(self, to: Callable[[Point], Point]) -> "Ring":
        """The ring with every point taken elsewhere by a likeness that keeps the way round."""
        return replace(self, edges=tuple(Edge(to(e.start), to(e.end), e.bulge) for e in self.edges))

    def contains(self, point: Point) -> bool:
        """Return whether a point lies inside; on the very edge it may be either."""
        return any(left <= point.x <= right for left, right in self.widths_at(point.y))

    def widths_at(self, y: float) -> tuple[tuple[float, float], ...]:
        """Return the spans inside the ring at height `y`, as (left, right), from the left."""
        raw = y / self.stretch
        xs = sorted(x for edge in self.edges for x in _crossed_at(edge, raw))
        return tuple((xs[n], xs[n + 1]) for n in range(0, len(xs) - 1, 2))

    def polygon(self, sagitta_mm: float = SAGITTA_MM) -> tuple[Point, ...]:
        """Return corners such that no arc lies further from its chord than `sagitta_mm`."""
        corners: list[Point] = []
        allowed = sagitta_mm / max(self.stretch, 1.0)
        for edge in self.edges:
            parts = _parts_of(edge, allowed)
            corners += [edge.at(n / parts) for n in range(parts)]
        return tuple(Point(p.x, p.y * self.stretch) for p in corners)

    def below(self, y: float) -> tuple["Ring", ...]:
        """Return what of the ring lies below height `y`, in pieces, exactly."""
        return self._wrap(_clip(self.edges, y / self.stretch))

    def above(self, y: float) -> tuple["Ring", ...]:
        """Return what of the ring lies above height `y`, in pieces, exactly."""
        turned = [_turn(edge, 2) for edge in self.edges]
        return self._wrap([_turn_all(part, 2) for part in _clip(turned, -y / self.stretch)])

    def left_of(self, x: float) -> tuple["Ring", ...]:
        """Return what of the ring lies left of `x`, in pieces, exactly."""
        turned = [_turn(edge, 1) for edge in self.edges]
        return self._wrap([_turn_all(part, 3) for part in _clip(turned, x)])

    def right_of(self, x: float) -> tuple["Ring", ...]:
        """Return what of the ring lies right of `x`, in pieces, exactly."""
        turned = [_turn(edge, 3) for edge in self.edges]
        return self._wrap([_turn_all(part, 1) for part in _clip(turned, -x)])

    def _wrap(self, loops: Sequence[Sequence[Edge]]) -> tuple["Ring", ...]:
        return tuple(Ring(tuple(loop), self.stretch) for loop in loops)

    def path(
        self,
        to: Callable[[Point], Point] | None = None,
        scale: float = 1.0,
        flip: bool = False,
    ) -> str:
        """Return the outline as path data of SVG with true arcs, closed.

        to: applied to each point first, a likeness that keeps the way round. scale: then; flip:
        heights are counted downwards, as SVG does.
        """
        down = -1.0 if flip else 1.0

        def place(point: Point) -> str:
            p = Point(point.x, point.y * self.stretch)
            p = to(p) if to else p
            return f"{number_text(p.x * scale)} {number_text(p.y * scale * down)}"

        data = [f"M{place(self.edges[0].start)}"]
        for edge in self.edges:
            if edge.bulge == 0:
                data.append(f"L{place(edge.end)}")
                continue
            rx = number_text(edge.radius * scale)
            ry = number_text(edge.radius * scale * self.stretch)
            large = int(abs(edge.sweep) > math.pi)
            onwards = int((edge.sweep > 0) != flip)
            data.append(f"A{rx} {ry} 0 {large} {onwards} {place(edge.end)}")
        return "".join(data) + "Z"


def ring_of_points(points: Sequence[Point]) -> Ring:
    """Return the ring of straight edges through corners given counter-clockwise."""
    following = [*points[1:], points[0]]
    return Ring(tuple(Edge(a, b) for a, b in zip(points, following, strict=True) if a != b))


def counter_clockwise(ring: Ring) -> Ring:
    """Return the same outline run through counter-clockwise."""
    if ring.area >= 0:
        return ring
    return replace(ring, edges=tuple(edge.reversed() for edge in reversed(ring.edges)))


def number_text(value: float) -> str:
    """A number as SVG writes it, to a ten-thousandth."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _segment_centroid(edge: Edge) -> Point:
    angle = abs(edge.sweep)
    away = 4 * edge.radius * math.sin(angle / 2) ** 3 / (3 * (angle - math.sin(angle)))
    towards = edge.start_angle + edge.sweep / 2
    return Point(edge.centre.x + away * math.cos(towards), edge.centre.y + away * math.sin(towards))


def _stretched_length(edge: Edge, stretch: float) -> float:
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


def _parts_of(edge: Edge, sagitta: float) -> int:
    if edge.bulge == 0:
        return 1
    step = 2 * math.acos(max(1 - sagitta / edge.radius, 0.0))
    return max(1, math.ceil(abs(edge.sweep) / step))


def _crossed_at(edge: Edge, y: float) -> list[float]:
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


def _turn(edge: Edge, quarters: int) -> Edge:
    """The edge turned counter-clockwise about the origin by right angles, exactly."""
    return Edge(_turn_point(edge.start, quarters), _turn_point(edge.end, quarters), edge.bulge)


def _turn_all(edges: Sequence[Edge], quarters: int) -> list[Edge]:
    return [_turn(edge, quarters) for edge in edges]


def _turn_point(point: Point, quarters: int) -> Point:
    for _ in range(quarters % 4):
        point = Point(-point.y, point.x)
    return point


def _clip(edges: Sequence[Edge], y: float) -> list[list[Edge]]:
    """The loops of a counter-clockwise outline's part below `y`.

    The edges are cut where they cross the line. What stays below falls into chains that begin and
    end on it; along the line, sorted from the left, chain ends pair off into the stretches that
    lie inside, and those close the chains into loops.
    """
    parts = [part for edge in edges for part in edge.cut(edge.crossings(y))]
    inside = [_middle_below(part, y) for part in parts]
    if all(inside):
        return [list(edges)]
    if not any(inside):
        return []
    return _joined(_chains(parts, inside), y)


def _middle_below(part: Edge, y: float) -> bool:
    return part.at(0.5).y < y - CLOSE_MM


def _chains(parts: list[Edge], inside: list[bool]) -> list[list[Edge]]:
    start = inside.index(False)
    chains: list[list[Edge]] = []
    running = False
    for n in range(start, start + len(parts)):
        n %= len(parts)
        if inside[n] and running:
            chains[-1].append(parts[n])
        elif inside[n]:
            chains.append([parts[n]])
        running = inside[n]
    return chains


def _joined(chains: list[list[Edge]], y: float) -> list[list[Edge]]:
    ends = [(chain[0].start.x, 0, n) for n, chain in enumerate(chains)]
    ends += [(chain[-1].end.x, 1, n) for n, chain in enumerate(chains)]
    ends.sort()
    following: dict[int, int] = {}
    for left, right in zip(ends[::2], ends[1::2], strict=True):
        first, last = (left, right) if left[1] == 0 else (right, left)
        following[last[2]] = first[2]
    loops, waiting = [], set(range(len(chains)))
    while waiting:
        n = min(waiting)
        loop: list[Edge] = []
        while n in waiting:
            waiting.discard(n)
            loop += chains[n]
            n = following[n]
            # Onto the line exactly, so that the parts of an outline meet.
            loop.append(Edge(Point(loop[-1].end.x, y), Point(chains[n][0].start.x, y)))
        loops.append([edge for edge in loop if edge.start != edge.end])
    return loops
