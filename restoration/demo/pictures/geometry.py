"""Outlines, curves and cells for drawing windows: points in millimetres, y downwards."""

import itertools
import math
from collections.abc import Callable, Iterable, Sequence
from random import Random
from typing import Final

Point = tuple[float, float]
Ring = list[Point]

ARC_STEPS: Final = 24


def points(text: str, across: float = 1.0, down: float = 1.0) -> Ring:
    """Return the points written as `x,y x,y ...`, multiplied by `across` and `down`."""
    pairs = (pair.split(",") for pair in text.split())
    return [(float(x) * across, float(y) * down) for x, y in pairs]


def bezier(controls: Sequence[Point], steps: int = 16) -> Ring:
    """Return points along the Bezier curve with these control points, both ends included."""
    curve: Ring = []
    for step in range(steps + 1):
        at = step / steps
        points = list(controls)
        while len(points) > 1:
            points = [
                (x1 + (x2 - x1) * at, y1 + (y2 - y1) * at)
                for (x1, y1), (x2, y2) in itertools.pairwise(points)
            ]
        curve.append(points[0])
    return curve


def smooth(points: Sequence[Point], closed: bool = False, steps: int = 8) -> Ring:
    """Return a curve through the points (Catmull-Rom), as a polyline."""
    count = len(points)
    spans = count if closed else count - 1
    curve: Ring = []
    for span in range(spans):
        if closed:
            p0, p1, p2, p3 = (points[(span + shift) % count] for shift in (-1, 0, 1, 2))
        else:
            p0, p1 = points[max(span - 1, 0)], points[span]
            p2, p3 = points[span + 1], points[min(span + 2, count - 1)]
        curve += [_catmull_rom(p0, p1, p2, p3, step / steps) for step in range(steps)]
    return curve if closed else [*curve, points[-1]]


def _catmull_rom(p0: Point, p1: Point, p2: Point, p3: Point, at: float) -> Point:
    def mixed(a: float, b: float, c: float, d: float) -> float:
        return 0.5 * (
            2 * b
            + (c - a) * at
            + (2 * a - 5 * b + 4 * c - d) * at**2
            + (3 * b - a - 3 * c + d) * at**3
        )

    return mixed(p0[0], p1[0], p2[0], p3[0]), mixed(p0[1], p1[1], p2[1], p3[1])


def ellipse(centre: Point, rx: float, ry: float, turn: float = 0.0, steps: int = 36) -> Ring:
    """Return an ellipse, turned by `turn` degrees."""
    points = [
        (rx * math.cos(2 * math.pi * k / steps), ry * math.sin(2 * math.pi * k / steps))
        for k in range(steps)
    ]
    return moved(points, centre, turn)


def moved(points: Iterable[Point], to: Point, turn: float = 0.0, scale: float = 1.0) -> Ring:
    """Return the points scaled, turned about the origin (degrees) and moved to `to`."""
    cos, sin = math.cos(math.radians(turn)) * scale, math.sin(math.radians(turn)) * scale
    return [(to[0] + x * cos - y * sin, to[1] + x * sin + y * cos) for x, y in points]


def mirrored(points: Iterable[Point], x_axis: float = 0.0) -> Ring:
    return [(2 * x_axis - x, y) for x, y in points]


def sector(centre: Point, inner: float, outer: float, start: float, end: float) -> Ring:
    """Return a piece of a ring between two radii and two angles (degrees, clockwise from east)."""
    steps = max(2, round(abs(end - start) / 4))
    angles = [math.radians(start + (end - start) * k / steps) for k in range(steps + 1)]
    out = [(centre[0] + outer * math.cos(a), centre[1] + outer * math.sin(a)) for a in angles]
    back = [(centre[0] + inner * math.cos(a), centre[1] + inner * math.sin(a)) for a in angles]
    return out + back[::-1]


def head_outline(head: str, width: float, height: float, left: float, top: float) -> Ring:
    """Return the outline of a light with its foot on `top + height`, clockwise from the foot."""
    right, foot = left + width, top + height
    if head == "roundel":
        return ellipse((left + width / 2, top + height / 2), width / 2, height / 2, steps=72)
    if head == "rectangle":
        return [(left, foot), (left, top), (right, top), (right, foot)]
    rise = {"semicircular": 0.5, "segmental": 0.22, "four-centred": 0.42}.get(head, 0.98) * width
    arch = _arch(head, width, rise)
    return [
        (left, foot),
        *[(left + x, top + rise - y) for x, y in arch],
        (right, foot),
    ]


def _arch(head: str, width: float, rise: float) -> Ring:
    """Return the arch from the left springing to the right, y upwards from the springing."""
    if head == "semicircular" or head == "segmental":
        half = width / 2
        radius = half**2 / (2 * rise) + rise / 2
        reach = math.asin(min(1.0, half / radius))
        return [
            (half + radius * math.sin(a), radius * math.cos(a) - (radius - rise))
            for a in (-reach + 2 * reach * k / ARC_STEPS for k in range(ARC_STEPS + 1))
        ]
    if head == "four-centred":
        left = bezier([(0, 0), (0, rise * 0.62), (width * 0.22, rise * 0.86), (width / 2, rise)])
    else:
        left = _pointed_half(width, rise)
    return left + [(width - x, y) for x, y in left[-2::-1]]


def _pointed_half(width: float, rise: float) -> Ring:
    radius = (rise**2 + width**2 / 4) / width
    reach = math.asin(rise / radius) if rise < radius else math.pi / 2
    return [
        (
            radius - radius * math.cos(reach * k / ARC_STEPS),
            radius * math.sin(reach * k / ARC_STEPS),
        )
        for k in range(ARC_STEPS + 1)
    ]


def inset(ring: Sequence[Point], by: float) -> Ring:
    """Return a clockwise (on screen) outline moved inwards; good for smooth convex outlines."""
    count = len(ring)
    inner: Ring = []
    for k in range(count):
        (x0, y0), (x1, y1), (x2, y2) = ring[k - 1], ring[k], ring[(k + 1) % count]
        n1, n2 = _inward((x0, y0), (x1, y1)), _inward((x1, y1), (x2, y2))
        mx, my = n1[0] + n2[0], n1[1] + n2[1]
        length2 = max(mx * mx + my * my, 0.4)
        inner.append((x1 + 2 * by * mx / length2, y1 + 2 * by * my / length2))
    return inner


def _inward(start: Point, end: Point) -> Point:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy) or 1.0
    return -dy / length, dx / length


def walked(ring: Sequence[Point], spacing: float, closed: bool = True) -> Ring:
    """Return points at even distances along a polyline."""
    corners = [*ring, ring[0]] if closed else list(ring)
    lengths = [math.dist(a, b) for a, b in itertools.pairwise(corners)]
    total = sum(lengths)
    count = max(3, round(total / spacing))
    found, leg, passed = [], 0, 0.0
    for k in range(count if closed else count + 1):
        goal = total * k / count
        while leg < len(lengths) - 1 and passed + lengths[leg] < goal:
            passed += lengths[leg]
            leg += 1
        share = (goal - passed) / lengths[leg] if lengths[leg] else 0.0
        (x1, y1), (x2, y2) = corners[leg], corners[leg + 1]
        found.append((x1 + (x2 - x1) * share, y1 + (y2 - y1) * share))
    return found


def cut(ring: Ring, through: Point, normal: Point) -> Ring:
    """Return the part of a convex ring on the side of the line that `normal` points away from."""
    kept: Ring = []
    for (x1, y1), (x2, y2) in zip(ring, ring[1:] + ring[:1], strict=True):
        d1 = (x1 - through[0]) * normal[0] + (y1 - through[1]) * normal[1]
        d2 = (x2 - through[0]) * normal[0] + (y2 - through[1]) * normal[1]
        if d1 <= 0:
            kept.append((x1, y1))
        if (d1 < 0 < d2) or (d2 < 0 < d1):
            share = d1 / (d1 - d2)
            kept.append((x1 + (x2 - x1) * share, y1 + (y2 - y1) * share))
    return kept


def cells(box: tuple[float, float, float, float], seeds: Sequence[Point]) -> list[Ring]:
    """Return the Voronoi cells of the seeds inside a box, in the order of the seeds."""
    left, top, right, bottom = box
    found = []
    for seed in seeds:
        cell: Ring = [(left, top), (right, top), (right, bottom), (left, bottom)]
        near = sorted(seeds, key=lambda other, here=seed: math.dist(here, other))  # type: ignore[misc]
        for other in near[1:20]:
            middle = ((seed[0] + other[0]) / 2, (seed[1] + other[1]) / 2)
            cell = cut(cell, middle, (other[0] - seed[0], other[1] - seed[1]))
        found.append(cell)
    return found


def scattered(
    random: Random, box: tuple[float, float, float, float], spacing: float, jitter: float = 0.35
) -> Ring:
    """Return points on a staggered, shaken grid that fills the box."""
    left, top, right, bottom = box
    seeds = []
    rows = max(1, round((bottom - top) / spacing))
    columns = max(1, round((right - left) / spacing))
    for row in range(rows + 1):
        for column in range(columns + 1):
            shift = 0.5 if row % 2 else 0.0
            seeds.append(
                (
                    left + (column + shift + random.uniform(-jitter, jitter)) * spacing,
                    top + (row + random.uniform(-jitter, jitter)) * spacing,
                )
            )
    return seeds


def warped(ring: Iterable[Point], by: Callable[[Point], Point]) -> Ring:
    return [by(point) for point in ring]


def perspective(corners: Sequence[Point], size: tuple[int, int]) -> list[float]:
    """Return the coefficients that show the quadrilateral `corners` of a picture as the whole.

    corners: where the new picture's corners (top left, then clockwise) lie in the old one.
    """
    width, height = size
    targets = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    rows = []
    for (u, v), (x, y) in zip(targets, corners, strict=True):
        rows.append([u, v, 1, 0, 0, 0, -u * x, -v * x, x])
        rows.append([0, 0, 0, u, v, 1, -u * y, -v * y, y])
    return _solved([[float(value) for value in row] for row in rows])


def _solved(rows: list[list[float]]) -> list[float]:
    """Return the solution of a small linear system; each row ends with its right-hand side."""
    size = len(rows)
    for column in range(size):
        pivot = max(range(column, size), key=lambda row: abs(rows[row][column]))
        rows[column], rows[pivot] = rows[pivot], rows[column]
        lead = rows[column][column]
        rows[column] = [value / lead for value in rows[column]]
        for row in range(size):
            if row != column:
                factor = rows[row][column]
                rows[row] = [a - factor * b for a, b in zip(rows[row], rows[column], strict=True)]
    return [row[-1] for row in rows]
