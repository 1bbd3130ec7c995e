"""The signs of the damage map: for each group of kinds a letter, a word and a pattern.

Our own, made so that each is told from the others in grey and without its colour: a letter stands
by every mark, areas are hatched and lines are broken differently.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from math import ceil, cos, dist, floor, radians, sin
from typing import Final

from condition.compute.strokes import Points
from sites.compute.geometry.rings import Point

Segment = tuple[Point, Point]


@dataclass(frozen=True)
class Sign:
    """How a group is shown.

    hatch: directions of the lines that fill an area, in degrees from the horizontal. spacing:
    between them, in hatch steps. dashes: drawn and left out in turn along hatches and lines, in
    steps; none for an unbroken line.
    """

    group: str
    letter: str
    word: str
    hatch: tuple[float, ...]
    spacing: float = 1.0
    dashes: tuple[float, ...] = ()


SIGNS: Final = (
    Sign("came", "C", "Lead came", (45,)),
    Sign("cement", "E", "Cement", (0,), 0.8, (0.3, 0.9)),
    Sign("glass", "G", "Glass and paint", (135,)),
    Sign("panel", "W", "The panel as a whole", (0, 90), 1.4),
    Sign("support", "B", "Bars and ties", (0,)),
    Sign("attached-item", "A", "Plaques and other attached items", (45, 135), 1.4),
    Sign("ventilator", "V", "Ventilator", (90,), 1.0, (1.6, 0.8)),
    Sign("guard", "U", "Guard", (45,), 1.0, (1.6, 0.8)),
    Sign("protective-glazing", "R", "Protective glazing", (90,)),
    Sign("surround", "S", "Stone, timber and frame", (0,), 1.0, (1.6, 0.8)),
    Sign("other", "O", "Other", (135,), 1.0, (1.6, 0.5, 0.3, 0.5)),
)
BY_GROUP: Final = {sign.group: sign for sign in SIGNS}


def sign_of(group: str) -> Sign:
    """Return the sign of a group; a group a studio made itself is shown as other."""
    return BY_GROUP.get(group, BY_GROUP["other"])


def label_of(sign: Sign, number: int) -> str:
    """Return what stands by a mark: its sign's letter and its finding's number.

    The dot keeps it apart from the numbers of tracery lights (B1) and of attached items (P1).
    """
    return f"{sign.letter}·{number}"


def hatch_of(outline: Points, sign: Sign, step: float) -> Iterator[Segment]:
    """Yield the straight strokes that fill an outline by its sign's pattern; step: in its unit."""
    for degrees in sign.hatch:
        for one, other in _stripes(outline, radians(degrees), sign.spacing * step):
            yield from broken((one, other), sign, step)


def broken(line: Sequence[Point], sign: Sign, step: float) -> Iterator[Segment]:
    """Yield the strokes of a line broken by its sign's dashes; a corner does not begin anew."""
    if not sign.dashes:
        yield from pairwise(line)
        return
    ends = [0.0, *accumulate(dist(a, b) for a, b in pairwise(line))]
    edges = list(_dashes(sign.dashes, step, ends[-1]))
    for (start, end), (from_, to) in zip(pairwise(line), pairwise(ends), strict=True):
        for first, last in edges:
            one, other = max(first, from_), min(last, to)
            if other > one:
                yield _at(start, end, one - from_), _at(start, end, other - from_)


def _dashes(dashes: Sequence[float], step: float, length: float) -> Iterator[tuple[float, float]]:
    place, n = 0.0, 0
    while place < length:
        size = dashes[n % len(dashes)] * step
        if n % 2 == 0:
            yield place, min(length, place + size)
        place, n = place + size, n + 1


def _at(start: Point, end: Point, along: float) -> Point:
    share = along / dist(start, end)
    return Point(start.x + (end.x - start.x) * share, start.y + (end.y - start.y) * share)


def _stripes(outline: Points, angle: float, spacing: float) -> Iterator[Segment]:
    """The parts of evenly spaced parallels that lie inside; the same parallels for every area."""
    c, s = cos(angle), sin(angle)
    turned = [Point(p.x * c + p.y * s, p.y * c - p.x * s) for p in outline]
    low, high = min(p.y for p in turned), max(p.y for p in turned)
    sides = list(pairwise([*turned, turned[0]]))
    for n in range(ceil(low / spacing), floor(high / spacing) + 1):
        y = n * spacing
        xs = sorted(
            a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y) for a, b in sides if (a.y > y) != (b.y > y)
        )
        for left, right in zip(xs[::2], xs[1::2], strict=False):
            yield (
                Point(left * c - y * s, left * s + y * c),
                Point(right * c - y * s, right * s + y * c),
            )
