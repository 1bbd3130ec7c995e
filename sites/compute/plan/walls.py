"""Walls of a plan, straight or curved, and the openings along them.

A wall is walked with the inside of the building on the right: outside lies to the left. In mm, x
to the compass east and y to the north.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import groupby
from math import atan, atan2, cos, degrees, hypot, pi, radians, sin
from typing import Final

from sites.compute.geometry.rings import Point
from sites.compute.numbering import Storey
from sites.compute.numbering_plan import (
    EAST,
    Orientation,
    PlanOpening,
    orientation_of,
)

SAGITTA_MM: Final = 4.0
# East-facing walls whose middles are this near the easternmost one's are one east end.
EAST_END_MM: Final = 1000.0


@dataclass(frozen=True)
class Wall:
    """A wall from end to end.

    bulge: the tangent of a quarter of the angle its arc sweeps; positive curves outwards, to the
        left of the way walked; 0 is straight.
    """

    key: str
    name: str
    start: Point
    end: Point
    bulge: float = 0.0

    @property
    def chord(self) -> float:
        """The straight distance between its ends."""
        return hypot(self.end.x - self.start.x, self.end.y - self.start.y)

    @property
    def swept(self) -> float:
        """The angle its arc turns by, in radians, clockwise positive."""
        return 4 * atan(self.bulge)

    @property
    def length(self) -> float:
        """How long it is along itself: l = s·(a/2)/sin(a/2) for chord s and swept angle a."""
        half = abs(self.swept) / 2
        return self.chord if half < 1e-9 else self.chord * half / sin(half)

    @property
    def rise(self) -> float:
        """How far its middle stands off its chord, outwards positive: half the chord × bulge."""
        return self.bulge * self.chord / 2

    def at(self, along: float) -> Point:
        """The point that far along it from its start."""
        share = along / self.length
        turned = self.swept * share
        # The chord of the first part of an arc: it starts off half the sweep left of the whole's.
        chord = self._chord_of(turned, along)
        heading = self._heading + self.swept / 2 - turned / 2
        return Point(self.start.x + chord * cos(heading), self.start.y + chord * sin(heading))

    def outward_at(self, along: float) -> float:
        """Compass degrees of the way out at a point along it."""
        heading = self._heading + self.swept / 2 - self.swept * along / self.length
        # The compass turns clockwise from north; out is a quarter turn left of the way walked.
        return (90 - degrees(heading + pi / 2)) % 360

    def points(self, sagitta: float = SAGITTA_MM) -> tuple[Point, ...]:
        """Its line as points no further than `sagitta` mm off the arc; two for a straight wall."""
        steps = 1
        if self.bulge:
            steps = max(2, int(abs(self.swept) / self._step(sagitta)) + 1)
        between = (self.at(self.length * n / steps) for n in range(1, steps))
        return (self.start, *between, self.end)

    @property
    def _heading(self) -> float:
        return atan2(self.end.y - self.start.y, self.end.x - self.start.x)

    def _chord_of(self, turned: float, along: float) -> float:
        half = abs(turned) / 2
        return along if half < 1e-9 else along * sin(half) / half

    def _step(self, sagitta: float) -> float:
        radius = self.length / abs(self.swept)
        return 4 * atan((sagitta / max(2 * radius - sagitta, sagitta)) ** 0.5)


@dataclass(frozen=True)
class OnWall:
    """An opening said to be on a wall; `along` its middle from the wall's start, None for even."""

    key: str
    wall: str
    along: float | None = None
    level: Storey = "ground"


@dataclass(frozen=True)
class Placed:
    """Where an opening stands on its wall: its middle, and compass degrees of the way out."""

    key: str
    wall: Wall
    along: float
    at: Point
    outward: float
    level: Storey

    @property
    def counted(self) -> PlanOpening:
        """The same as it is counted."""
        return PlanOpening(self.key, self.at.x, self.at.y, self.outward, self.level)


def place_openings(walls: Iterable[Wall], openings: Sequence[OnWall]) -> tuple[Placed, ...]:
    """Return the openings where they stand, those of each wall in the order given.

    Those without a distance are spread evenly between their neighbours, or the wall's ends. One
    said to be beyond its wall's end stands at the end; one of no wall known is left out.
    """
    by_key = {wall.key: wall for wall in walls}
    known = sorted(
        (opening for opening in openings if opening.wall in by_key),
        key=lambda opening: [*by_key].index(opening.wall),
    )
    placed: list[Placed] = []
    for key, group in groupby(known, key=lambda opening: opening.wall):
        wall, members = by_key[key], [*group]
        alongs = _spread([member.along for member in members], wall.length)
        placed += [
            Placed(member.key, wall, along, wall.at(along), wall.outward_at(along), member.level)
            for member, along in zip(members, alongs, strict=True)
        ]
    return tuple(placed)


def _spread(alongs: Sequence[float | None], length: float) -> list[float]:
    done: list[float] = []
    reached = 0.0
    for place, along in enumerate(alongs):
        if along is not None:
            reached = min(max(along, 0.0), length)
            done.append(reached)
            continue
        ahead = [far for far in alongs[place:] if far is not None]
        until = min(max(ahead[0], reached), length) if ahead else length
        first = max((n for n, far in enumerate(alongs[:place]) if far is not None), default=-1) + 1
        many = next((n for n, far in enumerate(alongs[first:]) if far is not None), None)
        count = len(alongs) - first if many is None else many
        done.append(reached + (until - reached) * (place - first + 0.5) / count)
    return done


def orientation_of_plan(walls: Sequence[Wall], east: float | None = None) -> Orientation:
    """Return how a drawn building lies; liturgical east is the compass east where not said.

    Its axis runs through the middle of its east end, the furthest walls that face east, since a
    vestry or a tower on one side moves the middle of the plan. With no such wall, as in a round
    chapel, it runs through the middle of the plan. Common practice, no source.
    Raises NumberingError where no wall is drawn.
    """
    turned = EAST if east is None else east
    points = [point for wall in walls for point in wall.points()]
    lie = orientation_of(points, turned)
    facing = [wall for wall in walls if lie.faces(wall.outward_at(wall.length / 2), 0)]
    if not facing:
        return lie
    middles = [lie.along(*wall.at(wall.length / 2)) for wall in facing]
    ends = [
        lie.aside(*end)
        for wall, middle in zip(facing, middles, strict=True)
        if max(middles) - middle <= EAST_END_MM
        for end in (wall.start, wall.end)
    ]
    return orientation_of(points, turned, lie.axis_mm + (min(ends) + max(ends)) / 2)


def bulge_of(chord: float, rise: float) -> float:
    """Return the bulge of an arc that rises `rise` above a chord, both in mm: twice rise/chord."""
    return 2 * rise / chord


def walk(start: Point, direction: float, length: float) -> Point:
    """Return where one comes to who walks `length` mm in a compass direction."""
    turned = radians(direction)
    return Point(start.x + length * sin(turned), start.y + length * cos(turned))
