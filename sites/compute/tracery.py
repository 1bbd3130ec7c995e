"""Tracery lights: their outlines by place and shape, and where they go if nobody measured them."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

import shapely
from shapely.geometry import Polygon

from sites.compute.geometry.outlines import Outline, OutlineError, OutlineSpec, outline_of
from sites.compute.geometry.rings import Point, Ring

# Stone between tracery lights and beside them, as a share of the opening's width.
STONE: Final = 0.012
# Circles whose middles differ by less than this share of the larger radius stand in one row.
ONE_ROW: Final = 0.5
FINE_MM: Final = 0.5
MOST: Final = 26


@dataclass(frozen=True)
class TracerySpec:
    """A tracery light: its outline, with its middle at (x, y) in mm, turned counter-clockwise."""

    key: str
    number: str
    shape: str
    width: float | None
    height: float | None
    x: float
    y: float
    turn: float = 0.0
    foils: int | None = None
    points: tuple[tuple[float, float, float], ...] = ()


def tracery_ring(spec: TracerySpec, opening: Ring) -> Ring:
    """Return a tracery light's outline in its place.

    Raises OutlineError for the field `tracery`, naming the light and what is possible.
    """
    if not math.isfinite(spec.turn):
        raise _error(spec, ": its turn is not a number.")
    try:
        height = spec.height if spec.height is not None else spec.width
        ring = outline_of(
            OutlineSpec(spec.shape, spec.width, height, foils=spec.foils, points=spec.points)
        ).ring
    except OutlineError as error:
        raise _error(spec, f": {error}") from error
    middle = ring.box.middle
    ring = ring.turned(spec.turn, middle).moved(spec.x - middle.x, spec.y - middle.y)
    box = opening.box
    if not (box.left <= spec.x <= box.right and box.bottom <= spec.y <= box.top):
        where = f"{box.width:.0f} mm wide and {box.height:.0f} mm high"
        raise _error(spec, f" would stand outside the opening, which is {where}.")
    if not opening.contains(Point(spec.x, spec.y)) or ring.area > opening.area:
        raise _error(spec, " does not lie within the opening's outline.")
    return ring


def _error(spec: TracerySpec, words: str) -> OutlineError:
    """The error about one tracery light, which is named before the words."""
    return OutlineError("tracery", f"Tracery light {spec.number}{words}", spec.key)


@dataclass(frozen=True)
class _Circle:
    x: float
    y: float
    radius: float


def lay_out_tracery(
    outline: Outline, light_rings: Sequence[Ring], count: int
) -> tuple[TracerySpec, ...]:
    """Return `count` roundels in what the lights leave of the head, as many as have room.

    They are found one after the other, each the largest that is left: on the axis, or a pair on
    either side of it. Numbered by rows from below, A1 A2 B1, from the left as seen from inside.
    """
    stone = STONE * outline.ring.box.width
    region = _free(outline.ring, light_rings, stone)
    axis = outline.ring.box.middle.x
    circles: list[_Circle] = []
    while len(circles) < min(count, MOST):
        found = _largest(region, axis, stone, pair_too=count - len(circles) >= 2)
        if not found:
            break
        circles += found
        taken = [shapely.Point(c.x, c.y).buffer(c.radius + stone, quad_segs=32) for c in found]
        region = region.difference(shapely.unary_union(taken))
    return tuple(
        TracerySpec("", number, "roundel", 2 * c.radius, 2 * c.radius, c.x, c.y)
        for number, c in _numbered(circles)
    )


def _free(outline: Ring, lights: Sequence[Ring], stone: float) -> Any:
    """What of the opening lies above the lights' springing and beside no light, made symmetric."""
    free: Any = Polygon(outline.polygon(FINE_MM)).buffer(-stone)
    if lights:
        taken = shapely.unary_union([Polygon(ring.polygon(FINE_MM)) for ring in lights])
        free = free.difference(taken.buffer(stone))
        foot = min(ring.box.top for ring in lights) - max(ring.box.width for ring in lights)
        box = outline.box
        free = free.intersection(shapely.box(box.left, foot, box.right, box.top))
    axis = outline.box.middle.x
    other = shapely.transform(free, lambda xy: xy * [-1, 1] + [2 * axis, 0])
    return free.intersection(other)


def _largest(region: Any, axis: float, stone: float, pair_too: bool) -> list[_Circle]:
    left, foot, _, top = region.bounds if not region.is_empty else (0.0, 0.0, 0.0, 0.0)
    middle = _on_axis(region, axis, foot, top)
    if not pair_too:
        return [middle] if middle.radius > FINE_MM else []
    side = _inscribed(region.intersection(shapely.box(left, foot, axis - stone / 2, top)))
    if side.radius > middle.radius:
        return [side, _Circle(2 * axis - side.x, side.y, side.radius)]
    return [middle] if middle.radius > FINE_MM else []


def _on_axis(region: Any, axis: float, foot: float, top: float) -> _Circle:
    """The largest circle of the region with its middle on the axis."""
    line = shapely.LineString([(axis, foot), (axis, max(top, foot + 1))]).intersection(region)
    if line.is_empty:
        return _Circle(axis, foot, 0.0)
    edge = region.boundary
    stops = (
        [line.interpolate(n / 200, normalized=True) for n in range(201)]
        if (line.geom_type == "LineString")
        else [part.interpolate(n / 100, normalized=True) for part in line.geoms for n in range(101)]
    )
    best = max(stops, key=lambda point: float(edge.distance(point)))
    return _Circle(axis, float(best.y), float(edge.distance(best)))


def _inscribed(region: Any) -> _Circle:
    parts = [part for part in getattr(region, "geoms", [region]) if part.geom_type == "Polygon"]
    best = _Circle(0.0, 0.0, 0.0)
    for part in parts:
        if part.is_empty or part.area < 1:
            continue
        line = shapely.maximum_inscribed_circle(part, tolerance=FINE_MM)
        (x, y), _ = line.coords
        if line.length > best.radius:
            best = _Circle(float(x), float(y), float(line.length))
    return best


def _numbered(circles: Sequence[_Circle]) -> list[tuple[str, _Circle]]:
    rows: list[list[_Circle]] = []
    for circle in sorted(circles, key=lambda c: c.y):
        last = rows[-1][0] if rows else None
        if last and circle.y - last.y < ONE_ROW * max(circle.radius, last.radius):
            rows[-1].append(circle)
        else:
            rows.append([circle])
    return [
        (f"{chr(ord('A') + level)}{place}", circle)
        for level, row in enumerate(rows)
        for place, circle in enumerate(sorted(row, key=lambda c: c.x), start=1)
    ]
