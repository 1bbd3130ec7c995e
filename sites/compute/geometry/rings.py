"""Closed outlines of straight edges and arcs: areas, lengths, clipping, and paths for drawing.

Coordinates in millimetres, x to the right, y upwards; an arc is kept by its bulge (see `Edge`).
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Final

from sites.compute.geometry.clipping import clip, turn, turn_all
from sites.compute.geometry.edges import (
    Box,
    Edge,
    Point,
    crossed_at,
    parts_of,
    segment_centroid,
    stretched_length,
)

__all__ = ["Box", "Edge", "Point", "Ring", "counter_clockwise", "number_text", "ring_of_points"]

SAGITTA_MM: Final = 0.1


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
        return sum(stretched_length(edge, self.stretch) for edge in self.edges)

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
                area, at = edge.segment_area, segment_centroid(edge)
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
        xs = sorted(x for edge in self.edges for x in crossed_at(edge, raw))
        return tuple((xs[n], xs[n + 1]) for n in range(0, len(xs) - 1, 2))

    def polygon(self, sagitta_mm: float = SAGITTA_MM) -> tuple[Point, ...]:
        """Return corners such that no arc lies further from its chord than `sagitta_mm`."""
        corners: list[Point] = []
        allowed = sagitta_mm / max(self.stretch, 1.0)
        for edge in self.edges:
            parts = parts_of(edge, allowed)
            corners += [edge.at(n / parts) for n in range(parts)]
        return tuple(Point(p.x, p.y * self.stretch) for p in corners)

    def below(self, y: float) -> tuple["Ring", ...]:
        """Return what of the ring lies below height `y`, in pieces, exactly."""
        return self._wrap(clip(self.edges, y / self.stretch))

    def above(self, y: float) -> tuple["Ring", ...]:
        """Return what of the ring lies above height `y`, in pieces, exactly."""
        turned = [turn(edge, 2) for edge in self.edges]
        return self._wrap([turn_all(part, 2) for part in clip(turned, -y / self.stretch)])

    def left_of(self, x: float) -> tuple["Ring", ...]:
        """Return what of the ring lies left of `x`, in pieces, exactly."""
        turned = [turn(edge, 1) for edge in self.edges]
        return self._wrap([turn_all(part, 3) for part in clip(turned, x)])

    def right_of(self, x: float) -> tuple["Ring", ...]:
        """Return what of the ring lies right of `x`, in pieces, exactly."""
        turned = [turn(edge, 3) for edge in self.edges]
        return self._wrap([turn_all(part, 1) for part in clip(turned, -x)])

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
