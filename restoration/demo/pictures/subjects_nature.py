"""Windows of sky, flood and orchard."""

import math

from restoration.demo.pictures.borders import border
from restoration.demo.pictures.figures import flying_bird, leaf
from restoration.demo.pictures.geometry import (
    Point,
    bezier,
    ellipse,
    head_outline,
    points,
    sector,
    smooth,
)
from restoration.demo.pictures.grounds import any_of, broken_sky, by_height, tints, waves
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.window import WindowShape


def snow_geese(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    sky = by_height(h * 0.25, "slate sky", "pale snow sky")
    broken_sky(work, (0, 0, w, h * 0.62), 118, sky, 2.2)
    levels = [h * share for share in (0.56, 0.62, 0.68, 0.76, 0.84, 0.92)]
    river = "slate violet | teal slate | snow pale | sea sky | teal sea | cobalt teal"
    waves(work, (0, 0, w, h), levels, tints(river), 26, 1100, 200)
    _weir(work, w, h)
    flock = "0.26,0.2 0.72,0.15 0.24,0.4 0.74,0.33 0.3,0.55 0.75,0.5"
    spans, turns = (520, 460, 560, 520, 430, 480), (-16, -10, -8, -14, -4, -6)
    for at, span, turn in zip(points(flock, w, h), spans, turns, strict=True):
        flying_bird(work, at, span, "white", tip="snow", turn=turn)
    _reeds(work, w, h)
    for outline in shape.outlines():
        border(work, outline, ("sky", "amber", "white"))


def _weir(work: Leadwork, w: float, h: float) -> None:
    for k in range(9):
        x = w * (0.04 + 0.116 * k)
        fall = [(x, h * 0.66), (x + 92, h * 0.66), (x + 104, h * 0.79), (x + 6, h * 0.8)]
        work.piece(fall, ("white", "snow", "pale")[k % 3], 5)
        for j in range(4):
            left = x + 16 + 22 * j
            work.arc((left, h * 0.67), (left + 4, h * 0.73), (left - 2, h * 0.79), 4, 120)


def _reeds(work: Leadwork, w: float, h: float) -> None:
    for k in range(22):
        x = w * (0.02 + 0.045 * k) + work.random.uniform(-20, 20)
        tall, lean = h * work.random.uniform(0.1, 0.24), work.random.uniform(-70, 70)
        up: list[Point] = [(x - 14, h), (x + lean * 0.3, h - tall * 0.6), (x + lean, h - tall)]
        down: list[Point] = [(x + lean * 0.3 + 20, h - tall * 0.5), (x + 14, h)]
        work.piece(bezier(up + down, 9), ("olive", "leaf", "amber")[k % 3], 4)


def noahs_raven(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    broken_sky(work, (0, 0, w, h * 0.55), 130, any_of("slate violet slate sky"), 1.8)
    for k, tint in enumerate(("ruby", "amber", "straw", "leaf", "sky", "violet")):
        inner = 980 - 70 * k
        for j in range(8):
            start = 188 + 20.5 * j
            work.piece(sector((w * 0.5, h * 0.72), inner, inner + 70, start, start + 20.5), tint, 5)
    flood = (
        "slate teal | teal sea | cobalt midnight | sea sky"
        "| midnight cobalt | teal cobalt | cobalt sea | midnight teal"
    )
    levels = [h * (0.5 + 0.07 * k) for k in range(8)]
    waves(work, (0, 0, w, h), levels, tints(flood), 58, 620, 180, 40)
    _ark(work, w, h)
    flying_bird(work, (w * 0.27, h * 0.2), 700, "midnight", tip="slate", turn=-12)
    for outline in shape.outlines():
        border(work, outline, ("violet", "gold", "white"))


def _ark(work: Leadwork, w: float, h: float) -> None:
    work.piece(points("0.61,0.62 0.61,0.46 0.9,0.46 0.9,0.62", w, h), "amber")
    work.piece(points("0.575,0.47 0.755,0.38 0.935,0.47", w, h), "ruby")
    work.piece(head_outline("semicircular", 170, 260, w * 0.755 - 85, h * 0.5), "cream")
    hull = "0.53,0.54 0.6,0.62 0.9,0.62 0.99,0.53 0.95,0.68 0.76,0.72 0.58,0.68"
    work.piece(smooth(points(hull, w, h), True), "brown")
    for k in range(4):
        left, right = (w * 0.57, h * (0.6 + 0.02 * k)), (w * 0.96, h * (0.59 + 0.02 * k))
        work.arc(left, (w * 0.76, h * (0.66 + 0.015 * k)), right, 7, 60)
    for k in range(5):
        x = w * (0.63 + 0.058 * k)
        work.stroke([(x, h * 0.47), (x, h * 0.61)], 6, 80)


def orchard_in_blossom(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    broken_sky(work, (0, 0, w, h * 0.75), 120, any_of("sky pale cobalt sky"), 1.3)
    grass = tints("leaf green | green leaf olive | leaf straw leaf")
    waves(work, (0, 0, w, h), [h * 0.68, h * 0.76, h * 0.85], grass, 34, 1000, 170)
    _tree(work, w * 0.24, h, 50)
    _tree(work, w * 0.76, h, -60)
    for outline in shape.outlines():
        border(work, outline, ("rose", "leaf", "white"))


def _tree(work: Leadwork, x: float, h: float, lean: float) -> None:
    left = bezier([(x - 70, h * 0.95), (x - 30, h * 0.75), (x - 44 + lean, h * 0.52)], 10)
    right = bezier([(x + 34 + lean, h * 0.52), (x + 40, h * 0.75), (x + 84, h * 0.95)], 10)
    work.piece(left + right, "brown")
    for k in range(4):
        foot, top = (x - 40 + 24 * k, h * 0.93), (x - 30 + lean + 18 * k, h * 0.55)
        work.arc(foot, (x - 20 + 16 * k, h * 0.75), top, 9, 60)
    random = work.random
    for side, rise in ((-1, 0.34), (1, 0.3), (-0.6, 0.17), (0.5, 0.14), (0, 0.22)):
        crook = (x + lean + side * 160, h * 0.44)
        branch = bezier([(x + lean, h * 0.54), crook, (x + side * 300, h * rise)], 7)
        work.came(branch, 15)
        leaves_along(work, branch, 105, ("leaf", "green", "leaf"))
        for px, py in branch[2:]:
            _blossom(work, px + random.uniform(-80, 80), py + random.uniform(-60, 60))


def leaves_along(work: Leadwork, line: list[Point], length: float, names: tuple[str, ...]) -> None:
    """Set leaves to both sides of a branch."""
    for k, at in enumerate(line[1:-1]):
        for side in (-1, 1):
            turn = work.random.uniform(20, 70) * side - 90
            leaf(work, at, length * work.random.uniform(0.75, 1.2), turn, names[k % len(names)])


def _blossom(work: Leadwork, x: float, y: float) -> None:
    r = work.random.uniform(34, 50)
    for k in range(5):
        turn = k * 72 + work.random.uniform(-8, 8)
        a = math.radians(turn)
        at = (x + r * 0.72 * math.cos(a), y + r * 0.72 * math.sin(a))
        work.piece(ellipse(at, r * 0.56, r * 0.42, turn, 14), "blossom", 3.5)
    work.piece(ellipse((x, y), r * 0.34, r * 0.34, steps=12), "gold", 3)
