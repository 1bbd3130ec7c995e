"""The plan as it is drawn: turned so that liturgical east points right or up, every label free."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import product
from math import cos, hypot, radians, sin
from typing import Final

from sites.compute.drawing.labels import label_on, text_width
from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import Badge, Hand, Label, around, overlap
from sites.compute.geometry.rings import Box, Point
from sites.compute.numbering_plan import EAST
from sites.compute.plan.walls import OnWall, Placed, Wall, place_openings

# How wide a wall is drawn, in sizes of a number: its thickness is not recorded.
WALL_WIDTH: Final = 0.6
SMALLEST_GAP: Final = 0.75
USUAL_WIDTH_MM: Final = 1000.0
TOUCHES: Final = (44.0, 38.0, 32.0, 26.0, 24.0)
TOUCH_OF_NUMBER: Final = 14.0
# Places tried for a label: steps outwards from the wall, and to either side along it.
OUTWARD: Final = 60
ASIDE: Final = (0, 1, -1, 2, -2, 3, -3, 4, -4)
INWARD_COST: Final = 4.0
ASIDE_COST: Final = 1.2
# What each place costs, which way it lies, and how far out and aside: the cheapest first.
TRIES: Final = sorted(
    (steps + (INWARD_COST if way < 0 else 0) + ASIDE_COST * abs(aside), way, steps, aside)
    for way, steps, aside in product((1, -1), range(OUTWARD), ASIDE)
)
# Of these, the ones looked at before a leader may cross a wall.
NEAR: Final = 90
FITS: Final = 6
ROOMY: Final = 0.96
ARC_STEPS: Final = 8


@dataclass(frozen=True)
class Drawn:
    """An opening asked for: its number, width in mm if known, and what stands before the number."""

    place: OnWall
    number: str
    width: float | None = None
    badge: Badge | None = None


@dataclass(frozen=True)
class OpeningOnPlan:
    """An opening as drawn: its gap along the wall, its label, and where a thumb hits."""

    key: str
    number: str
    gap: tuple[Point, ...]
    label: Label
    leader: tuple[Point, Point] | None
    touch: Box


@dataclass(frozen=True)
class PlanScene:
    """A plan in mm, x to the right and y up; liturgical east lies right, or up.

    walls: lines that run on, each with whether it stands above (a clerestory's arcade).
    north: degrees clockwise from up at which the compass's north points.
    """

    hand: Hand
    mm_per_unit: float
    walls: tuple[tuple[tuple[Point, ...], bool], ...]
    openings: tuple[OpeningOnPlan, ...]
    unplaced: tuple[str, ...]
    east_up: bool
    north: float
    box: Box
    # Numbers of the walls, beside their middles, where they are asked for.
    wall_numbers: tuple[tuple[Point, str], ...] = ()


def plan_scene(
    walls: Sequence[Wall],
    openings: Sequence[Drawn],
    hand: Hand,
    room: Room,
    east: float | None = None,
    east_up: bool = False,
    number_walls: bool = False,
) -> PlanScene | None:
    """Return the plan as large as it fits the room, or None where no wall is drawn.

    room: in units of the drawing. east: liturgical east in compass degrees; None is 90.
    Openings on no wall are listed in `unplaced`.
    """
    if not walls:
        return None
    turn = (EAST if east is None else east) - (0 if east_up else EAST)
    there = [_turned(wall, turn) for wall in walls]
    extent = _box_of(point for wall in there for point in wall.points())
    unit = max(extent.width / room.width, extent.height / room.height)
    best, best_over = None, 0.0
    for _ in range(FITS):
        scene = _Layout(there, openings, hand, unit, number_walls).scene(turn, east_up)
        over = max(scene.box.width / room.width, scene.box.height / room.height) / unit
        # Smaller walls may crowd the labels out further: then the last drawing was the best.
        if best is not None and over >= best_over > 1:
            break
        best, best_over = scene, over
        if ROOMY < over <= 1:
            break
        # Letters keep their size: the walls alone shrink or grow.
        unit *= over
    return best


def _turned(wall: Wall, degrees: float) -> Wall:
    """The wall turned counter-clockwise."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    start, end = (Point(at.x * c - at.y * s, at.x * s + at.y * c) for at in (wall.start, wall.end))
    return replace(wall, start=start, end=end)


def _box_of(points: Iterable[Point], rim: float = 0.0) -> Box:
    all_points = [*points]
    xs, ys = [at.x for at in all_points], [at.y for at in all_points]
    return Box(min(xs) - rim, min(ys) - rim, max(xs) + rim, max(ys) + rim)


class _Layout:
    """One attempt at a scale."""

    def __init__(
        self,
        walls: Sequence[Wall],
        openings: Sequence[Drawn],
        hand: Hand,
        unit: float,
        number_walls: bool,
    ) -> None:
        self.walls, self.hand, self.unit = walls, hand, unit
        self.asked = {opening.place.key: opening for opening in openings}
        self.placed = place_openings(walls, [opening.place for opening in openings])
        self.thick = WALL_WIDTH * hand.number * unit
        self.step = hand.number * unit * 0.5
        self.upper = _upper_walls(self.placed)
        self.stone = [*self._wall_boxes()]
        self.faces = [
            pair for wall in walls for pair in zip(wall.points(), wall.points()[1:], strict=False)
        ]
        self.taken: list[Box] = []
        self.numbers = [*self._wall_numbers()] if number_walls else []

    def scene(self, turn: float, east_up: bool) -> PlanScene:
        openings = self._with_touch([self._opening(each) for each in self.placed])
        found = {each.key for each in openings}
        edge = [at for wall in self.walls for at in wall.points()]
        corners = [corner for each in openings for corner in _corners(each.label.box)]
        wall_box, label_box = _box_of(edge, self.thick), _box_of(corners or edge)
        return PlanScene(
            hand=self.hand,
            mm_per_unit=self.unit,
            walls=tuple(_lines(self.walls, self.upper)),
            openings=tuple(openings),
            unplaced=tuple(
                opening.number for key, opening in self.asked.items() if key not in found
            ),
            east_up=east_up,
            north=-turn,
            box=_box_of([*_corners(wall_box), *_corners(label_box)]),
            wall_numbers=tuple(self.numbers),
        )

    def _wall_numbers(self) -> Iterator[tuple[Point, str]]:
        """The number of each wall, inside it; labels keep clear of them."""
        size = self.hand.number * self.unit
        for place, wall in enumerate(self.walls):
            middle, out = wall.at(wall.length / 2), radians(90 - wall.outward_at(wall.length / 2))
            far = self.thick / 2 + size * 0.7
            spot = Point(middle.x - far * cos(out), middle.y - far * sin(out))
            text = str(place + 1)
            self.taken.append(around(spot, text_width(text, size), size))
            yield spot, text

    def _wall_boxes(self) -> Iterator[Box]:
        """What labels keep clear of: small boxes all along each wall."""
        for wall in self.walls:
            steps = max(1, round(wall.length / self.thick))
            for n in range(steps + 1):
                yield around(wall.at(wall.length * n / steps), self.thick, self.thick)

    def _opening(self, placed: Placed) -> OpeningOnPlan:
        asked = self.asked[placed.key]
        on_lower_wall = placed.level != "ground" and placed.wall.key not in self.upper
        text = f"({asked.number})" if on_lower_wall else asked.number
        label, leader = self._label(placed, text, asked.badge)
        self.taken.append(label.box)
        if leader:
            self.taken += _along(*leader, self.step / 2)
        wide = max(asked.width or USUAL_WIDTH_MM, SMALLEST_GAP * self.hand.number * self.unit)
        half = min(wide, placed.wall.length) / 2
        middle = min(max(placed.along, half), placed.wall.length - half)
        count = 1 if not placed.wall.bulge else ARC_STEPS
        gap = tuple(placed.wall.at(middle + half * (2 * n / count - 1)) for n in range(count + 1))
        return OpeningOnPlan(placed.key, asked.number, gap, label, leader, label.box)

    def _label(
        self, placed: Placed, text: str, badge: Badge | None
    ) -> tuple[Label, tuple[Point, Point] | None]:
        """The nearest free place, outside the wall rather than inside it.

        Only where there is none does a leader cross a wall; far enough out there always is one.
        """
        size = self._at(Point(0.0, 0.0), text, badge).box
        for may_cross, tries in ((False, TRIES[:NEAR]), (True, TRIES)):
            for middle, is_far in self._spots(placed, size, tries):
                box = around(middle, size.width, size.height)
                if not self._is_free(box):
                    continue
                leader = self._leader(placed, box) if is_far else None
                if self._is_clear(leader, placed, may_cross):
                    return self._at(middle, text, badge), leader
        # So far out that the drawing ends before it: only an absurd crowd comes here.
        label = self._at(middle, text, badge)
        leader = self._leader(placed, label.box)
        return label, leader

    def _spots(
        self, placed: Placed, size: Box, tries: Sequence[tuple[float, int, int, int]]
    ) -> Iterator[tuple[Point, bool]]:
        """Places for a label, nearest first, each with whether it is so far that it is led to."""
        out = radians(90 - placed.outward)
        nx, ny = cos(out), sin(out)
        reach = abs(nx) * size.width / 2 + abs(ny) * size.height / 2
        least = self.thick / 2 + 1.5 * self.hand.air * self.unit + reach
        for _, way, steps, aside in tries:
            far, off = way * (least + steps * self.step), aside * self.step
            middle = Point(placed.at.x + nx * far - ny * off, placed.at.y + ny * far + nx * off)
            yield middle, steps > 1 or abs(aside) > 1

    def _at(self, middle: Point, text: str, badge: Badge | None) -> Label:
        room = 1e3 * self.hand.number * self.unit
        label = label_on(around(middle, room, room), text, badge, (), self.hand, self.unit)
        if label is None:
            raise ValueError("a label has no text")
        return label

    def _leader(self, placed: Placed, box: Box) -> tuple[Point, Point]:
        tip = Point(
            min(max(placed.at.x, box.left), box.right), min(max(placed.at.y, box.bottom), box.top)
        )
        return placed.at, tip

    def _is_free(self, box: Box) -> bool:
        air = 2 * self.hand.air * self.unit
        grown = around(box.middle, box.width + air, box.height + air)
        return not any(overlap(grown, other) for other in (*self.stone, *self.taken))

    def _is_clear(
        self, leader: tuple[Point, Point] | None, placed: Placed, may_cross: bool
    ) -> bool:
        """Whether a leader meets nothing once it is beyond its own wall's thickness."""
        if leader is None:
            return True
        long = hypot(leader[1].x - placed.at.x, leader[1].y - placed.at.y)
        share = min(1.0, (self.thick + self.step) / long) if long else 1.0
        start = Point(
            placed.at.x + (leader[1].x - placed.at.x) * share,
            placed.at.y + (leader[1].y - placed.at.y) * share,
        )
        if not may_cross and any(_cross(start, leader[1], *each) for each in self.faces):
            return False
        path = _along(start, leader[1], self.step / 2)
        return not any(overlap(spot, other) for spot in path for other in self.taken)

    def _with_touch(self, openings: Sequence[OpeningOnPlan]) -> list[OpeningOnPlan]:
        """Give each label as large a place to hit as its neighbours leave, up to a thumb's."""
        done = [*openings]
        scale = self.unit * self.hand.number / TOUCH_OF_NUMBER
        for place, each in enumerate(openings):
            others = [other.touch for n, other in enumerate(done) if n != place]
            for side in TOUCHES:
                box = each.label.box
                wide, high = max(box.width, side * scale), max(box.height, side * scale)
                grown = around(box.middle, wide, high)
                if not any(overlap(grown, other) for other in others):
                    done[place] = replace(each, touch=grown)
                    break
        return done


def _upper_walls(placed: Iterable[Placed]) -> frozenset[str]:
    """Walls on which every opening is of an upper level: lines of a clerestory inside the plan."""
    levels: dict[str, set[str]] = {}
    for each in placed:
        levels.setdefault(each.wall.key, set()).add(each.level)
    return frozenset(key for key, found in levels.items() if "ground" not in found)


def _lines(
    walls: Sequence[Wall], upper: frozenset[str]
) -> Iterator[tuple[tuple[Point, ...], bool]]:
    """Walls joined where one begins at the end of the last, so that their corners are whole."""
    line: list[Point] = []
    was_upper = False
    for wall in walls:
        is_upper = wall.key in upper
        if line and is_upper == was_upper and _meets(line[-1], wall.start):
            line += wall.points()[1:]
            continue
        if line:
            yield tuple(line), was_upper
        line, was_upper = [*wall.points()], is_upper
    if line:
        yield tuple(line), was_upper


def _meets(one: Point, other: Point) -> bool:
    return hypot(one.x - other.x, one.y - other.y) < 1


def _corners(box: Box) -> tuple[Point, ...]:
    return (
        Point(box.left, box.bottom),
        Point(box.right, box.bottom),
        Point(box.right, box.top),
        Point(box.left, box.top),
    )


def _along(start: Point, end: Point, step: float) -> list[Box]:
    """Small boxes along a line."""
    count = max(1, int(hypot(end.x - start.x, end.y - start.y) / step))
    return [
        around(
            Point(start.x + (end.x - start.x) * n / count, start.y + (end.y - start.y) * n / count),
            step * 0.5,
            step * 0.5,
        )
        for n in range(count)
    ]


def _cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the line from a to b crosses the one from c to d."""
    return _turn(a, b, c) * _turn(a, b, d) < 0 and _turn(c, d, a) * _turn(c, d, b) < 0


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle, positive where it turns to the left."""
    return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
