"""Numbers for the openings of a plan: from where they stand and where liturgical east lies.

The convention (Corpus Vitrearum) fixes I in the axis at the east and the count westward on each
side, each level on its own. Where it leaves room, this is how we count; common practice, no source:

- An opening faces east or west if the way it looks out lies nearer to it than half a right angle;
  a facet at 45° belongs to its side.
- The axial opening is the easternmost that faces east within half a metre of the axis. A side
  begins with II also where there is none. Any other on the axis itself is counted on the north.
- West openings are those that face west in the westernmost quarter of the plan, counted from north
  to south. West walls further east, of a transept say, are counted with their side.
- Openings of one east wall are counted outwards from the axis, of one west wall inwards: round
  the building's edge. Openings within a quarter of a metre of each other, east to west, stand on
  one such wall.
- An opening added between two that have their numbers takes a free number between them; where
  there is none, the number before it with a letter. Before the first of a side it takes that of
  the axis (`nIa`), and before the first of the west end that of the first (`wIa`).
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import cos, radians, sin
from string import ascii_lowercase
from typing import Final

from sites.compute.numbering import (
    LEVELS,
    Numerals,
    OpeningNumber,
    Side,
    Storey,
    opening_number,
)

EAST: Final = 90.0
# Half a right angle, less what a tape and a compass leave open.
FACING_DEGREES: Final = 44.5
ON_AXIS_MM: Final = 500.0
ONE_WALL_MM: Final = 250.0
WEST_END_SHARE: Final = 0.25
# What rounding may move an opening by: less is no difference.
HAIR_MM: Final = 0.01
FIRST: Final[dict[Side, int]] = {"": 1, "n": 2, "s": 2, "w": 1}


class NumberingError(ValueError):
    """Openings that cannot be numbered; the message says why."""


@dataclass(frozen=True)
class PlanOpening:
    """An opening on the plan, in mm: x to the compass east, y to the north.

    outward: compass degrees of the way it looks out.
    """

    key: str
    x: float
    y: float
    outward: float
    level: Storey = "ground"


@dataclass(frozen=True)
class Orientation:
    """How a building lies.

    east: liturgical east in compass degrees.
    axis_mm: how far its axis lies to the left of the plan's origin, looking east.
    west_end_mm: how far east of the origin its west end reaches.
    """

    east: float
    axis_mm: float
    west_end_mm: float

    def along(self, x: float, y: float) -> float:
        """How far a point lies towards liturgical east, in mm."""
        return x * sin(radians(self.east)) + y * cos(radians(self.east))

    def aside(self, x: float, y: float) -> float:
        """How far a point lies to the left of the axis, looking east, in mm: liturgical north."""
        return y * sin(radians(self.east)) - x * cos(radians(self.east)) - self.axis_mm

    def faces(self, outward: float, turned: float) -> bool:
        """Whether a way out lies about `turned` degrees clockwise from east."""
        off = (outward - self.east - turned + 180) % 360 - 180
        return abs(off) < FACING_DEGREES


def orientation_of(
    points: Iterable[tuple[float, float]], east: float = EAST, axis_mm: float | None = None
) -> Orientation:
    """Return how a building lies whose plan reaches to `points`, in mm.

    axis_mm: where its axis is known to lie; else it runs through the middle of the plan.
    Raises NumberingError for no points.
    """
    plain = Orientation(east, 0.0, 0.0)
    known = [*points]
    if not known:
        raise NumberingError("Draw the plan first: there is no wall yet.")
    alongs = [plain.along(*point) for point in known]
    asides = [plain.aside(*point) for point in known]
    west, far = min(alongs), max(alongs)
    middle = (min(asides) + max(asides)) / 2
    return Orientation(
        east, middle if axis_mm is None else axis_mm, west + WEST_END_SHARE * (far - west)
    )


@dataclass(frozen=True)
class _Stood:
    """An opening as it lies to the building: its side and where it is counted."""

    opening: PlanOpening
    along: float
    aside: float
    faces_east: bool
    faces_west: bool


def in_order(
    openings: Iterable[PlanOpening], orientation: Orientation
) -> dict[tuple[Storey, Side], list[str]]:
    """Return the keys of the openings of each level and side, in the order they are counted."""
    rows: dict[tuple[Storey, Side], list[str]] = {}
    stood = [_stood(opening, orientation) for opening in openings]
    for level in LEVELS:
        here = [each for each in stood if each.opening.level == level]
        axial = _axial(here)
        west = [each for each in here if _is_west(each, orientation)]
        rest = [each for each in here if each is not axial and each not in west]
        rows[level, ""] = [axial.opening.key] if axial else []
        rows[level, "n"] = [*_westward(each for each in rest if each.aside >= -HAIR_MM)]
        rows[level, "s"] = [*_westward(each for each in rest if each.aside < -HAIR_MM)]
        west.sort(key=lambda each: (-each.aside, each.along, each.opening.key))
        rows[level, "w"] = [each.opening.key for each in west]
    return {place: keys for place, keys in rows.items() if keys}


def assign(
    openings: Sequence[PlanOpening],
    orientation: Orientation,
    numerals: Numerals = "roman",
    kept: Mapping[str, str] | None = None,
) -> dict[str, str]:
    """Return a number of the convention for each opening, by key.

    kept: numbers there are. An opening whose number is of the convention keeps it, as it is
        written; numbers of openings that are not on the plan are only kept free.

    Raises NumberingError where letters run out, or numerals do.
    """
    there = {key: number for key, text in (kept or {}).items() if (number := opening_number(text))}
    taken = {*there.values()}
    given: dict[str, str] = {}
    for (level, side), keys in in_order(openings, orientation).items():
        for key, number in _numbered(keys, level, side, there, taken):
            taken.add(number)
            given[key] = _written(number, numerals)
    return given | {
        opening.key: (kept or {})[opening.key].strip()
        for opening in openings
        if opening.key in there
    }


def _stood(opening: PlanOpening, lie: Orientation) -> _Stood:
    return _Stood(
        opening,
        lie.along(opening.x, opening.y),
        lie.aside(opening.x, opening.y),
        lie.faces(opening.outward, 0),
        lie.faces(opening.outward, 180),
    )


def _axial(stood: Iterable[_Stood]) -> _Stood | None:
    candidates = [
        each for each in stood if each.faces_east and abs(each.aside) <= ON_AXIS_MM + HAIR_MM
    ]
    return max(
        candidates,
        key=lambda each: (round(each.along, 1), -round(abs(each.aside), 1)),
        default=None,
    )


def _is_west(each: _Stood, lie: Orientation) -> bool:
    return each.faces_west and each.along <= lie.west_end_mm + HAIR_MM


def _westward(stood: Iterable[_Stood]) -> Iterator[str]:
    """Keys from east to west; those of one wall across the building go round its edge."""
    rows: list[list[_Stood]] = []
    for each in sorted(stood, key=lambda each: (-each.along, each.opening.key)):
        if rows and rows[-1][-1].along - each.along <= ONE_WALL_MM:
            rows[-1].append(each)
        else:
            rows.append([each])
    for row in rows:
        for each in sorted(row, key=_round_the_edge):
            yield each.opening.key


def _round_the_edge(each: _Stood) -> tuple[int, float, str]:
    if each.faces_east:
        return 0, round(abs(each.aside), 1), each.opening.key
    if each.faces_west:
        return 2, round(-abs(each.aside), 1), each.opening.key
    return 1, round(-each.along, 1), each.opening.key


def _numbered(
    keys: Sequence[str],
    level: Storey,
    side: Side,
    there: Mapping[str, OpeningNumber],
    taken: set[OpeningNumber],
) -> Iterator[tuple[str, OpeningNumber]]:
    """Numbers for those of a side that have none, between those that have one."""
    before: OpeningNumber | None = None
    waiting = [(key in there, key) for key in keys]
    runs = [(kept, [key for _, key in run]) for kept, run in groupby(waiting, lambda one: one[0])]
    for place, (is_kept, run) in enumerate(runs):
        if is_kept:
            before = there[run[-1]]
            continue
        after = there[runs[place + 1][1][0]] if place + 1 < len(runs) else None
        yield from zip(run, _between(before, after, len(run), level, side, taken), strict=True)


def _between(
    before: OpeningNumber | None,
    after: OpeningNumber | None,
    many: int,
    level: Storey,
    side: Side,
    taken: set[OpeningNumber],
) -> list[OpeningNumber]:
    """Return `many` numbers between two, not taken: whole ones if there are enough."""
    least = before.count + 1 if before else FIRST[side]
    counted = {number.count for number in taken if (number.level, number.side) == (level, side)}
    past = after.count if after else least + many + len(counted)
    if before is None and after is None and counted:
        # Whoever has numbers of this side is not on the plan: begin after them.
        least, past = max(counted) + 1, max(counted) + 1 + many
    free = [count for count in range(least, past) if count not in counted]
    if not side:
        free = [1] if 1 not in counted else []
    if len(free) >= many:
        return [OpeningNumber(level, side, count) for count in free[:many]]
    base = before or (after if side == "w" and after else OpeningNumber(level, side, 1))
    letters = [
        letter
        for letter in ascii_lowercase
        if letter > base.suffix and OpeningNumber(level, side, base.count, letter) not in taken
    ]
    if len(letters) < many:
        raise NumberingError(
            f"There are not letters enough after {base.text()}: renumber all the openings."
        )
    return [OpeningNumber(level, side, base.count, letter) for letter in letters[:many]]


def _written(number: OpeningNumber, numerals: Numerals) -> str:
    try:
        return number.text(numerals)
    except ValueError as error:
        raise NumberingError(f"{error}. Number in Arabic numerals.") from error
