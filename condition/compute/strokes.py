"""What is drawn to show a finding: points, lines and areas; their checks, lengths and areas.

Millimetres, x to the right and y up, unless said otherwise; lines and areas have straight edges.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import dist, isfinite
from typing import Final

from shapely.geometry import LineString, MultiPoint, Polygon
from shapely.geometry import Point as Spot

from sites.compute.geometry.rings import Point, Ring

POINT, LINE, AREA = "point", "line", "area"
FEWEST: Final = {POINT: 1, LINE: 2, AREA: 3}
NAMES: Final = {POINT: "A point", LINE: "A line", AREA: "An area"}
MOST_POINTS: Final = 200
# A finger lands this far beside the edge it means: still on it.
BESIDE_MM: Final = 5.0

Points = Sequence[Point]


class StrokeError(ValueError):
    """A stroke that cannot be; the message says why, in the words of who drew it."""


def check_stroke(stroke: str, points: Points) -> None:
    """Raise StrokeError for a stroke of too few or too many points, or one that crosses itself."""
    if stroke not in FEWEST:
        raise StrokeError("Say whether it is a point, a line or an area.")
    if not all(isfinite(value) for point in points for value in point):
        raise StrokeError("A place is not a number.")
    needed = FEWEST[stroke]
    if len(points) < needed:
        raise StrokeError(
            f"{NAMES[stroke]} needs {needed} point{'s' if needed > 1 else ''} at least; "
            f"{len(points) or 'none'} {'is' if len(points) == 1 else 'are'} there."
        )
    if stroke == POINT and len(points) > 1:
        raise StrokeError("A point is one place: draw a line, or mark the points one by one.")
    if len(points) > MOST_POINTS:
        raise StrokeError(f"At most {MOST_POINTS} points can be drawn at once, not {len(points)}.")
    if stroke == LINE and length_of(points) <= 0:
        raise StrokeError("The line has no length: its points are all the same.")
    if stroke == AREA:
        _check_outline(points)


def check_inside(stroke: str, points: Points, outline: Ring, name: str) -> None:
    """Raise StrokeError for a stroke that leaves the opening; `name` is what the opening is called.

    Up to 5 mm beside the edge is believed to be on it.
    """
    glass = Polygon(outline.polygon()).buffer(BESIDE_MM)
    for n, point in enumerate(points, start=1):
        away = glass.distance(Spot(point))
        if away > 0:
            which = "The point" if stroke == POINT else f"Point {n}"
            raise StrokeError(
                f"{which} ({point.x:.0f}, {point.y:.0f}) lies {away + BESIDE_MM:.0f} mm outside "
                f"opening {name}."
            )
    drawn = _shape(stroke, points)
    if not glass.covers(drawn):
        n = next(
            (
                n
                for n, two in enumerate(_sides(stroke, points))
                if not glass.covers(LineString(two))
            ),
            0,
        )
        then = (n + 1) % len(points) + 1
        raise StrokeError(
            f"Between points {n + 1} and {then} it leaves opening {name}: put a point in between."
        )


def length_of(points: Points) -> float:
    """Return the length of a line through its points, in their unit."""
    return sum(dist(one, other) for one, other in pairwise(points))


def area_of(points: Points) -> float:
    """Return the area inside an outline that does not cross itself, in their unit squared.

    Source: the trapezium rule for polygons (Gauss), exact.
    """
    return abs(_twice_area(points)) / 2


def kept_points(kept: object) -> tuple[Point, ...]:
    """Return stored points, [x, y] each; anything else that was stored is left out."""
    found = []
    for pair in kept if isinstance(kept, list) else ():
        if isinstance(pair, list | tuple) and len(pair) == 2:
            try:
                found.append(Point(float(pair[0]), float(pair[1])))
            except (TypeError, ValueError):
                continue
    return tuple(point for point in found if all(isfinite(value) for value in point))


def _check_outline(points: Points) -> None:
    sides = _sides(AREA, points)
    for n, (start, end) in enumerate(sides):
        if start == end:
            raise StrokeError(
                f"Points {n + 1} and {(n + 1) % len(points) + 1} of the outline are one."
            )
    count = 0 if Polygon(points).is_valid else len(sides)
    for n in range(count):
        for m in range(n + 1, count):
            if _meet(sides, n, m):
                raise StrokeError(
                    f"The outline crosses itself: the side after point {n + 1} and the side after "
                    f"point {m + 1} meet. Go once round what is damaged, or draw two areas."
                )
    if area_of(points) <= 0:
        raise StrokeError("The area has no extent: its points lie in a line.")


def _meet(sides: Sequence[tuple[Point, Point]], n: int, m: int) -> bool:
    """Whether two sides share more than the corner that neighbours share."""
    one, other = LineString(sides[n]), LineString(sides[m])
    if m - n in (1, len(sides) - 1):
        shared = one.intersection(other)
        return bool(shared.length > 0)
    return bool(one.intersects(other))


def _sides(stroke: str, points: Points) -> list[tuple[Point, Point]]:
    closed = [*points, points[0]] if stroke == AREA else list(points)
    return list(pairwise(closed))


def _shape(stroke: str, points: Points) -> LineString | MultiPoint | Polygon:
    if stroke == AREA:
        return Polygon(points)
    return LineString(points) if stroke == LINE else MultiPoint(points)


def _twice_area(points: Iterable[Point]) -> float:
    corners = list(points)
    following = [*corners[1:], corners[0]]
    # About the first corner: far from the origin the products would lose their last figures.
    x, y = corners[0]
    return sum(
        (a.x - x) * (b.y - y) - (b.x - x) * (a.y - y)
        for a, b in zip(corners, following, strict=True)
    )
