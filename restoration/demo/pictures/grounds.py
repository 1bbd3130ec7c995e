"""Grounds of many pieces: rays, bands of water and hills, pieces of sky."""

import itertools
import math
from collections.abc import Callable, Sequence
from random import Random

from restoration.demo.pictures.geometry import Point, Ring, cells, scattered, sector
from restoration.demo.pictures.leadwork import Leadwork

Box = tuple[float, float, float, float]
Line = Callable[[float], float]


TintAt = Callable[[Point, Random], str]


def tints(text: str) -> list[list[str]]:
    """Return the names of glass for each band, written as `teal sea | green olive`."""
    return [band.split() for band in text.split("|")]


def any_of(names: str) -> TintAt:
    """Return a chooser among names of glass, the same everywhere."""
    choices = names.split()
    return lambda _at, random: random.choice(choices)


def by_height(level: float, above: str, below: str) -> TintAt:
    """Return a chooser among names of glass, other ones above a level than below it."""
    upper, lower = above.split(), below.split()
    return lambda at, random: random.choice(upper if at[1] < level else lower)


def rays(
    work: Leadwork,
    centre: Point,
    radii: Sequence[float],
    counts: Sequence[int],
    tints: Sequence[Sequence[str]],
    start: float = 0.0,
    end: float = 360.0,
) -> None:
    """Set rings of wedges about a centre, from the outside in; tints[ring] are taken in turn."""
    random = work.random
    for ring in range(len(counts) - 1, -1, -1):
        count = counts[ring]
        shift = random.uniform(-0.3, 0.3)
        for k in range(count):
            a = start + (end - start) * (k + shift) / count
            b = start + (end - start) * (k + 1 + shift) / count
            wedge = sector(centre, radii[ring], radii[ring + 1], a, b)
            tint = tints[ring][(k + ring) % len(tints[ring])]
            work.piece(wedge, tint, 5, joints=(wedge[0], wedge[-1]), joined=False)


def broken_sky(
    work: Leadwork,
    box: Box,
    spacing: float,
    tint: TintAt,
    stretch: float = 1.0,
) -> None:
    """Set a ground of irregular pieces over a box; `stretch` above 1 makes them lie long."""
    left, top, right, bottom = box
    flat = (left / stretch, top, right / stretch, bottom)
    seeds = scattered(work.random, flat, spacing)
    for ring in cells(flat, seeds):
        if len(ring) >= 3:
            wide = [(x * stretch, y) for x, y in ring]
            centre = (sum(x for x, _ in wide) / len(wide), sum(y for _, y in wide) / len(wide))
            work.piece(wide, tint(centre, work.random), 5, joints=wide, joined=False)


def waves(
    work: Leadwork,
    box: Box,
    heights: Sequence[float],
    tints: Sequence[Sequence[str]],
    swing: float,
    long: float,
    cut_every: float = 240.0,
    lean: float = 0.0,
) -> None:
    """Set flowing level bands from the top down, each cut into pieces; later bands overlap."""
    left, _, right, bottom = box
    random = work.random
    lines = [_wavy(random, level, swing, long) for level in heights]
    lines.append(lambda _x: bottom + 60)
    for number in range(len(heights)):
        x = left - random.uniform(0, cut_every)
        turn = 0
        while x < right:
            end = x + cut_every * random.uniform(0.6, 1.35)
            ring = _band(lines[number], lines[number + 1], x, end, lean)
            choice = tints[number % len(tints)]
            work.piece(ring, choice[turn % len(choice)], 5, joints=(ring[0],), joined=False)
            x, turn = end, turn + 1


def _wavy(random: Random, level: float, swing: float, long: float) -> Line:
    a, b = random.uniform(0, 6.3), random.uniform(0, 6.3)

    def line(x: float) -> float:
        return level + swing * (
            math.sin(x / long * 6.3 + a) * 0.7 + math.sin(x / long * 2.7 + b) * 0.5
        )

    return line


def _band(upper: Line, lower: Line, left: float, right: float, lean: float) -> Ring:
    steps = 8
    top = [left + (right - left) * k / steps for k in range(steps + 1)]
    ring = [(x, upper(x)) for x in top]
    return ring + [(x + lean, lower(x + lean)) for x in reversed(top)]


def rows_upward(
    work: Leadwork, box: Box, lines: Sequence[Line], tints: Sequence[Sequence[str]], cut: float
) -> None:
    """Set streams that run from top to bottom side by side, each cut into lengths."""
    _, top, _, bottom = box
    random = work.random
    for number, (near, far) in enumerate(itertools.pairwise(lines)):
        y = top - random.uniform(0, cut)
        turn = 0
        while y < bottom:
            end = y + cut * random.uniform(0.6, 1.4)
            steps = [y + (end - y) * k / 8 for k in range(9)]
            ring = [(near(s), s) for s in steps] + [(far(s), s + 30) for s in reversed(steps)]
            choice = tints[number % len(tints)]
            work.piece(ring, choice[turn % len(choice)], 5, joints=(ring[0],), joined=False)
            y, turn = end, turn + 1
