"""Borders along the edge of a light, and plain quarry glazing."""

from restoration.demo.pictures.geometry import Point, Ring, inset, walked
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.window import WindowShape


def border(work: Leadwork, outline: Ring, tints: tuple[str, str, str], wide: float = 52) -> Ring:
    """Set a border of long and short blocks with a pale fillet inside it; return the inner line."""
    outer = walked(outline, 6)
    block, fillet = inset(outer, wide * 0.7), inset(outer, wide)
    _blocks(work, outer, block, 92, 34, tints[0], tints[1])
    _strip(work, block, fillet, 210, tints[2])
    return fillet


def _blocks(
    work: Leadwork, outer: Ring, inner: Ring, long: float, short: float, first: str, second: str
) -> None:
    at, total, turn = 0.0, len(outer) * 6.0, 0
    while at < total - short:
        size = long if turn % 2 == 0 else short
        end = min(total, at + size)
        if total - end < short:
            end = total
        work.piece(_between(outer, inner, at / total, end / total), (first, second)[turn % 2], 5)
        at, turn = end, turn + 1


def _strip(work: Leadwork, outer: Ring, inner: Ring, size: float, tint: str) -> None:
    count = max(4, round(len(outer) * 6.0 / size))
    for k in range(count):
        work.piece(_between(outer, inner, k / count, (k + 1) / count), tint, 4)


def _between(outer: Ring, inner: Ring, start: float, end: float) -> Ring:
    return _part(outer, start, end) + _part(inner, start, end)[::-1]


def _part(ring: Ring, start: float, end: float) -> Ring:
    first, last = round(start * len(ring)), round(end * len(ring))
    return [ring[k % len(ring)] for k in range(first, last + 1)]


def quarries(work: Leadwork, shape: WindowShape) -> None:
    """Diamond panes in a border of oak green and gold."""
    across, down = 118.0, 156.0
    random = work.random
    for row in range(-1, round(shape.height / down * 2) + 2):
        for column in range(-1, round(shape.width / across) + 2):
            x = (column + (row % 2) / 2) * across
            y = row * down / 2
            ring: list[Point] = [
                (x, y - down / 2),
                (x + across / 2, y),
                (x, y + down / 2),
                (x - across / 2, y),
            ]
            work.piece(
                ring, "quarry" if random.random() < 0.9 else "straw", 5, joints=ring, joined=False
            )
            _sprig(work, x, y)
    for outline in shape.outlines():
        border(work, outline, ("leaf", "gold", "white"))


def _sprig(work: Leadwork, x: float, y: float) -> None:
    work.stroke([(x, y + 30), (x + 1, y), (x, y - 22)], 2.2, 90)
    for side in (-1, 1):
        work.stroke([(x, y + 8), (x + side * 14, y - 6), (x + side * 18, y - 18)], 3.4, 90)
    work.stroke([(x - 5, y - 26), (x, y - 34), (x + 5, y - 26)], 3.0, 90)
