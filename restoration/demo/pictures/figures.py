"""People, birds and things that stand in the windows, each built of leaded pieces."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from restoration.demo.pictures.geometry import (
    Point,
    Ring,
    bezier,
    ellipse,
    moved,
    points,
    sector,
    smooth,
)
from restoration.demo.pictures.leadwork import Leadwork


@dataclass(frozen=True)
class Robes:
    """The glass of a figure's clothes."""

    gown: str
    cloak: str
    lining: str = "straw"
    halo: tuple[str, str] = ("gold", "ruby")


class Person:
    """A standing figure; points are given in shares of its height, x to the right of its axis."""

    def __init__(self, work: Leadwork, foot: Point, height: float, facing: int = 1) -> None:
        self.work, self.foot, self.height, self.facing = work, foot, height, facing

    def at(self, shape: Sequence[Point]) -> Ring:
        x0, y0 = self.foot
        h = self.height
        return [(x0 + x * self.facing * h, y0 - (1 - y) * h) for x, y in shape]

    def piece(self, shape: Sequence[Point], tint: str, lead: float = 5.5) -> None:
        self.work.piece(self.at(shape), tint, lead)

    def stroke(self, line: Sequence[Point], width: float = 0.006, dark: int = 50) -> None:
        self.work.stroke(self.at(line), width * self.height, dark)


def robed_figure(
    work: Leadwork,
    foot: Point,
    height: float,
    robes: Robes,
    facing: int = 1,
    halo: bool = True,
    reach: Point = (0.24, 0.36),
) -> Person:
    """Draw a standing figure in gown and cloak, one hand held out to `reach`; return it."""
    person = Person(work, foot, height, facing)
    if halo:
        _halo(person, robes)
    _gown(person, robes)
    _cloak(person, robes)
    _arm(person, robes, reach)
    _head(person)
    return person


def _halo(person: Person, robes: Robes) -> None:
    middle = (0.0, 0.085)
    for k in range(8):
        tint = robes.halo[k % 2]
        person.piece(sector(middle, 0.07, 0.115, k * 45 + 8, k * 45 + 53), tint, 5)
    person.piece(ellipse(middle, 0.075, 0.075), "straw", 5)


def _gown(person: Person, robes: Robes) -> None:
    outline = smooth(
        points(
            "-0.1,0.175 -0.115,0.32 -0.1,0.5 -0.15,0.78 -0.18,0.985 -0.06,1 "
            "0.06,0.985 0.17,1 0.15,0.78 0.105,0.5 0.115,0.32 0.1,0.175 0.04,0.145 "
            "-0.04,0.145"
        ),
        closed=True,
    )
    person.piece(outline, robes.gown)
    for y, half in ((0.47, 0.105), (0.73, 0.145)):
        person.work.came(person.at([(-half, y), (0, y + 0.012), (half, y - 0.006)]), 5)
    random = person.work.random
    for k in range(7):
        x = -0.075 + k * 0.025
        end = x * 2.1 + random.uniform(-0.015, 0.015)
        fold = bezier([(x, 0.24 + 0.03 * (k % 3)), (x * 0.7, 0.5), (end, 0.7), (end, 0.97)], 10)
        person.stroke(fold, random.uniform(0.006, 0.012), random.choice((44, 70, 110)))


def _cloak(person: Person, robes: Robes) -> None:
    near = (
        "0.03,0.15 0.12,0.175 0.16,0.34 0.15,0.55 0.215,0.8 0.235,0.965 "
        "0.15,0.95 0.09,0.8 0.02,0.62 -0.08,0.54 0,0.4 0.055,0.26"
    )
    far = (
        "-0.03,0.15 -0.12,0.175 -0.165,0.36 -0.155,0.6 -0.22,0.95 -0.13,0.93 "
        "-0.11,0.6 -0.115,0.36 -0.08,0.22"
    )
    lining = "0.055,0.26 0,0.4 -0.08,0.54 -0.03,0.56 0.035,0.43 0.075,0.28"
    for outline, tint in ((far, robes.cloak), (near, robes.cloak), (lining, robes.lining)):
        person.piece(smooth(points(outline), True), tint)
    person.work.came(person.at(points("0.02,0.62 0.09,0.6 0.152,0.56")), 5)
    for k in range(5):
        bend = 0.03 * k
        shoulder, waist = (0.1 - bend * 0.4, 0.24 + bend), (0.13 - bend * 0.5, 0.5)
        knee, hem = (0.15 - bend, 0.7), (0.2 - bend * 1.6, 0.94 - bend)
        person.stroke(bezier([shoulder, waist, knee, hem], 10), 0.008, (46, 90)[k % 2])
        behind = [(-0.13 - 0.006 * k, 0.25), (-0.14, 0.6), (-0.15 - 0.014 * k, 0.93)]
        person.stroke(bezier(behind, 8), 0.005, 60)


def _arm(person: Person, robes: Robes, reach: Point) -> None:
    hx, hy = reach
    elbow = ((0.1 + hx) / 2 + 0.02, max(hy, 0.36) + 0.05)
    dx, dy = hx - elbow[0], hy - elbow[1]
    length = math.hypot(dx, dy) or 1.0
    nx, ny = -dy / length * 0.032, dx / length * 0.032
    sleeve = smooth(
        [
            (0.09, 0.185),
            (0.135, 0.25),
            elbow,
            (hx - nx - dx * 0.25, hy - ny - dy * 0.25),
            (hx + nx * 1.5 - dx * 0.15, hy + ny * 1.5 - dy * 0.15),
            (elbow[0] - 0.03, elbow[1] + 0.055),
            (0.06, 0.33),
        ],
        closed=True,
    )
    person.piece(
        moved(ellipse((0, 0), 0.034, 0.02), reach, math.degrees(math.atan2(dy, dx))), "flesh", 4.5
    )
    for k in (-1, 0, 1):
        a = math.atan2(dy, dx) + k * 0.35
        person.stroke([(hx, hy), (hx + 0.03 * math.cos(a), hy + 0.03 * math.sin(a))], 0.003, 70)
    person.piece(sleeve, robes.gown)
    for k in range(4):
        at = 0.2 + 0.2 * k
        x, y = 0.1 + (elbow[0] - 0.1) * at, 0.22 + (elbow[1] - 0.22) * at
        person.stroke(bezier([(x, y), (x + 0.02, y + 0.03), (x - 0.012, y + 0.06)], 5), 0.006, 60)


def _head(person: Person) -> None:
    person.piece(points("-0.026,0.12 0.03,0.12 0.036,0.17 -0.034,0.17"), "flesh", 4)
    hair = smooth(
        points("-0.056,0.13 -0.062,0.07 -0.03,0.022 0.02,0.018 0.05,0.05 0.046,0.08 -0.02,0.14"),
        True,
    )
    person.piece(hair, "brown", 5)
    face = smooth(
        points(
            "0,0.034 0.036,0.05 0.046,0.085 0.034,0.122 0.008,0.144 -0.018,0.128 "
            "-0.03,0.09 -0.026,0.05"
        ),
        True,
    )
    person.piece(face, "flesh", 5)
    _features(person)


def _features(person: Person) -> None:
    for x in (-0.008, 0.026):
        person.stroke(bezier([(x - 0.011, 0.075), (x, 0.068), (x + 0.011, 0.075)], 5), 0.0042, 40)
        person.stroke(bezier([(x - 0.009, 0.085), (x, 0.079), (x + 0.009, 0.085)], 5), 0.0034, 30)
        person.work.wash(person.at(ellipse((x + 0.001, 0.0845), 0.0032, 0.0036, steps=8)), 40)
    person.stroke([(0.011, 0.078), (0.016, 0.102), (0.006, 0.105)], 0.003, 60)
    person.stroke(bezier([(-0.001, 0.118), (0.01, 0.115), (0.022, 0.118)], 5), 0.0038, 50)
    person.stroke(bezier([(0.004, 0.125), (0.01, 0.127), (0.017, 0.125)], 4), 0.002, 90)
    for k in range(5):
        lock = [(-0.05 + 0.006 * k, 0.12 - 0.01 * k), (-0.05 + 0.012 * k, 0.06), (0.008 * k, 0.028)]
        person.stroke(bezier(lock, 6), 0.003, 60)


def flying_bird(
    work: Leadwork,
    at: Point,
    span: float,
    tint: str,
    facing: int = 1,
    tip: str = "slate",
    turn: float = 0.0,
) -> None:
    """Draw a goose-like bird with its wings up, `span` mm from bill to tail."""

    def put(shape: Sequence[Point]) -> Ring:
        return moved([(x * facing * span, y * span) for x, y in shape], at, turn)

    far = "-0.02,0 -0.12,-0.3 -0.34,-0.5 -0.24,-0.2 -0.2,0.02"
    body = (
        "-0.5,0.06 -0.3,-0.03 0.02,-0.06 0.2,-0.06 0.36,-0.11 0.47,-0.13 "
        "0.5,-0.1 0.42,-0.065 0.26,0 0.08,0.09 -0.14,0.1 -0.34,0.07"
    )
    near = "0.1,-0.03 0.08,-0.26 -0.06,-0.55 -0.2,-0.66 -0.17,-0.4 -0.14,-0.12 -0.12,0.02"
    work.piece(put(smooth(points(far), True)), tip, 4.5)
    work.piece(put(smooth(points(body), True)), tint, 5)
    work.piece(put(points("0.49,-0.125 0.58,-0.1 0.49,-0.085")), "amber", 4)
    work.piece(put(smooth(points(near), True)), tint, 5)
    work.came(put(points("-0.14,-0.3 -0.03,-0.33 0.05,-0.3")), 4)
    for k in range(6):
        x = -0.11 + 0.028 * k
        feather = [(x, 0.0), (x - 0.02, -0.2), (x - 0.08 + 0.02 * k, -0.5 + 0.05 * k)]
        work.stroke(put(bezier(feather, 7)), span * 0.012, 80)
    work.wash(put(ellipse((0.45, -0.117), 0.009, 0.009, steps=8)), 20)
    work.stroke(put(bezier(points("-0.42,0.05 -0.2,0.05 0.05,0.03"), 6)), span * 0.014, 90)


def leaf(work: Leadwork, at: Point, length: float, turn: float, tint: str) -> None:
    """Draw one leaf with its vein."""

    def put(shape: Sequence[Point]) -> Ring:
        return moved(shape, at, turn, length)

    blade = points("0,0 0.3,-0.2 0.7,-0.17 1,0 0.7,0.17 0.3,0.2")
    work.piece(put(smooth(blade, True, 4)), tint, 4)
    work.stroke(put(points("0,0 0.5,0.01 0.92,0")), length * 0.035, 60)
    for k in (0.3, 0.5, 0.7):
        for side in (-1, 1):
            work.stroke(put([(k, 0.0), (k + 0.13, side * 0.11)]), length * 0.018, 90)


def flame(work: Leadwork, at: Point, height: float) -> None:
    """Draw a lamp's flame, three tongues one inside another."""
    for share, tint in ((1.0, "amber"), (0.72, "gold"), (0.42, "cream")):
        tongue = points("0,0 -0.24,-0.2 -0.2,-0.48 0.02,-1 0.12,-0.62 0.24,-0.24")
        work.piece(moved(smooth(tongue, True), at, 0, height * share), tint, 5)
