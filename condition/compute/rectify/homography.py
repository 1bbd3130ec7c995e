"""The one straight-line-keeping map from a photograph to the plane of the glass, and back.

Places on the photograph are in pixels from its upper left corner, v downwards; places on the glass
in millimetres, x to the right in the photograph and y up.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import dist, hypot, inf, isfinite, sqrt
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import NDArray

FEWEST: Final = 4
MOST: Final = 12
# A triangle lower than this share of its longest side is three points in a line.
IN_A_LINE: Final = 0.02

Matrix = NDArray[np.float64]


class RectifyError(ValueError):
    """Points that no photograph of a plane could have; `points` are those meant, counted from 1."""

    def __init__(self, message: str, points: tuple[int, ...] = ()) -> None:
        super().__init__(message)
        self.points = points


class Place(NamedTuple):
    """A place in a plane: pixels of a photograph, or millimetres of the glass."""

    x: float
    y: float


@dataclass(frozen=True)
class Known:
    """A point of the photograph (in px) whose place on the glass (in mm) is known."""

    at: Place
    place: Place


@dataclass(frozen=True)
class Fit:
    """How far the known points lie from where the map puts them.

    The root of the mean square and the worst, in mm on the glass and in px on the photograph;
    worst_point is counted from 1. With four points all are nothing: there is nothing left over.
    """

    mm: float
    px: float
    worst_mm: float
    worst_point: int
    spare: int


@dataclass(frozen=True)
class Homography:
    """A map of the plane that keeps straight lines: nine numbers, row by row."""

    rows: tuple[tuple[float, float, float], ...]

    def to(self, place: Place) -> Place:
        """Return where a place goes. Raises RectifyError for one beyond the horizon."""
        across, up, depth = (a * place.x + b * place.y + c for a, b, c in self.rows)
        if depth <= 0:
            raise RectifyError(
                "That place lies beyond the horizon of this photograph: nothing can be measured "
                "there."
            )
        return Place(across / depth, up / depth)

    def inverse(self) -> "Homography":
        """Return the map back."""
        return _scaled(np.linalg.inv(np.array(self.rows)))

    def slopes(self, place: Place) -> tuple[float, float, float, float]:
        """Return how the result moves with the place: dX/dx, dX/dy, dY/dx, dY/dy."""
        (a, b, _), (c, d, _), (g, h, i) = self.rows
        depth = g * place.x + h * place.y + i
        there = self.to(place)
        return (
            (a - there.x * g) / depth,
            (b - there.x * h) / depth,
            (c - there.y * g) / depth,
            (d - there.y * h) / depth,
        )

    def stretches(self, place: Place) -> tuple[float, float]:
        """Return the least and the greatest scale at a place, over all directions."""
        a, b, c, d = self.slopes(place)
        half, twist = (a * a + b * b + c * c + d * d) / 2, abs(a * d - b * c)
        root = sqrt(max(0.0, half * half - twist * twist))
        return sqrt(max(0.0, half - root)), sqrt(half + root)

    def growth(self, place: Place) -> float:
        """Return the scale at a place, over all directions: the root of that of areas."""
        a, b, c, d = self.slopes(place)
        return sqrt(abs(a * d - b * c))


def solve(known: Sequence[Known]) -> Homography:
    """Return the map from the photograph to the glass through four points, or nearest to more.

    Raises RectifyError for too few or too many points, three of four in a line, and points told in
    an order no photograph could show them in.

    Source: R. Hartley, In defence of the eight-point algorithm, IEEE PAMI 19 (1997), for the
    normalising; the direct linear transform is least squares in the equations' own terms.
    """
    _check(known)
    picture, back = _normalised([each.at for each in known])
    glass, home = _normalised([each.place for each in known])
    rows: list[list[float]] = []
    for (u, v), (x, y) in zip(picture, glass, strict=True):
        rows.append([u, v, 1, 0, 0, 0, -x * u, -x * v, -x])
        rows.append([0, 0, 0, u, v, 1, -y * u, -y * v, -y])
    least = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    found = _facing(np.linalg.inv(home) @ least @ back, known)
    for n, each in enumerate(known, start=1):
        _check_seen(found, n, each)
    return found


def fit_of(found: Homography, known: Sequence[Known]) -> Fit:
    """Return how well the points fit the map that `solve` found through them."""
    back = found.inverse()
    mm = [dist(found.to(each.at), each.place) for each in known]
    px = [dist(back.to(each.place), each.at) for each in known]
    worst = max(range(len(mm)), key=mm.__getitem__)
    return Fit(_mean(mm), _mean(px), mm[worst], worst + 1, len(known) - FEWEST)


def _mean(errors: Sequence[float]) -> float:
    return sqrt(sum(error * error for error in errors) / len(errors))


def _normalised(places: Sequence[Place]) -> tuple[list[Place], Matrix]:
    """The places about their own middle, √2 from it on average; and what brought them there."""
    count = len(places)
    x, y = sum(p.x for p in places) / count, sum(p.y for p in places) / count
    away = sum(hypot(p.x - x, p.y - y) for p in places) / count
    scale = sqrt(2) / away
    moved = [Place((p.x - x) * scale, (p.y - y) * scale) for p in places]
    return moved, np.array([[scale, 0, -scale * x], [0, scale, -scale * y], [0, 0, 1]])


def _facing(found: Matrix, known: Sequence[Known]) -> Homography:
    """With the sign by which what is in front of the camera has a depth above nothing."""
    first = known[0].at
    depth = found[2, 0] * first.x + found[2, 1] * first.y + found[2, 2]
    return _scaled(found if depth > 0 else -found)


def _scaled(found: Matrix) -> Homography:
    size = float(np.abs(found).max()) or 1.0
    rows = [(float(a), float(b), float(c)) for a, b, c in found / size]
    return Homography(tuple(rows))


def _check(known: Sequence[Known]) -> None:
    if len(known) < FEWEST:
        raise RectifyError(f"Four points are needed at least; {len(known)} are placed.")
    if len(known) > MOST:
        raise RectifyError(f"At most {MOST} points can be used, not {len(known)}.")
    for n, each in enumerate(known, start=1):
        if not all(isfinite(value) for value in (*each.at, *each.place)):
            raise RectifyError(f"Point {n} is not a number.", (n,))
    for name, places in (
        ("on the photograph", [each.at for each in known]),
        ("on the window", [each.place for each in known]),
    ):
        _check_spread(places, name)


def _check_spread(places: Sequence[Place], where: str) -> None:
    """Four of the points must make a true quadrilateral: no three of them in a line."""
    flat = {
        three
        for three in combinations(range(len(places)), 3)
        if _flatness(*(places[n] for n in three)) < IN_A_LINE
    }
    for four in combinations(range(len(places)), FEWEST):
        if not any(three in flat for three in combinations(four, 3)):
            return
    named = tuple(n + 1 for n in min(flat))
    one, two, three = named
    raise RectifyError(
        f"Points {one}, {two} and {three} lie in a line {where}, or two of them are one: choose "
        "four points of which no three are in a line, such as the corners of the panel.",
        named,
    )


def _flatness(one: Place, two: Place, three: Place) -> float:
    """The height of a triangle over its longest side."""
    longest = max(dist(one, two), dist(two, three), dist(three, one))
    twice = abs((two.x - one.x) * (three.y - one.y) - (three.x - one.x) * (two.y - one.y))
    return twice / (longest * longest) if 0 < longest < inf else 0.0


def _check_seen(found: Homography, number: int, each: Known) -> None:
    """In front of the camera, and not mirrored: heights run down the photograph, up the glass."""
    try:
        a, b, c, d = found.slopes(each.at)
    except RectifyError:
        a, b, c, d = 0.0, 0.0, 0.0, 0.0
    if a * d - b * c >= 0:
        raise RectifyError(
            f"Point {number} does not go with the others: no photograph shows them in this order. "
            "Look whether two points are changed about; corners run from the lower left to the "
            "lower right, the upper right, the upper left.",
            (number,),
        )
