"""Windows of the river and what lives by it."""

import math
from collections.abc import Sequence

from restoration.demo.pictures.borders import border
from restoration.demo.pictures.geometry import Point, Ring, bezier, ellipse, moved, points, smooth
from restoration.demo.pictures.grounds import (
    Line,
    broken_sky,
    by_height,
    rays,
    rows_upward,
    tints,
)
from restoration.demo.pictures.leadwork import Leadwork
from restoration.demo.pictures.subjects_nature import leaves_along
from restoration.demo.pictures.window import WindowShape


def river_of_life(work: Leadwork, shape: WindowShape) -> None:
    """A stream that falls through three lights between green banks, otters at its foot."""
    w, h = shape.width, shape.height
    shares = [-0.12 + 0.046 * k for k in range(29)]
    lines = [_stream(w * s, h, 150 - 120 * abs(s - 0.5), 0.16 * k) for k, s in enumerate(shares)]
    water = tints("sea teal | sky cobalt | pale sky | cobalt sky | white pale sky | cobalt sea")
    banks = tints("green olive | leaf green | olive leaf straw | green teal")
    runs = [water[k % 6] if 0.36 < s < 0.62 else banks[k % 4] for k, s in enumerate(shares)]
    rows_upward(work, (0, 0, w, h), lines, runs, 250)
    spring = (w * 0.5, h * 0.1)
    glory = tints("straw gold | gold rose | rose violet sky")
    rays(work, spring, [90, 190, 330, 520], [14, 18, 24], glory)
    work.piece(ellipse(spring, 92, 92), "cream")
    shoal = points("0.44,0.38 0.54,0.47 0.46,0.58 0.56,0.66 0.45,0.76", w, h)
    for at, turn in zip(shoal, (100, 70, 110, 84, 64), strict=True):
        _fish(work, at, work.random.uniform(150, 190), turn)
    for side in (-1, 1):
        reach = ((0.43, 0.9), (0.36, 0.55), (0.42, 0.2))
        stem = bezier([(w * (0.5 + side * x), h * y) for x, y in reach], 11)
        work.came(stem, 13)
        leaves_along(work, stem, 165, ("leaf", "green", "gold"))
    _otter(work, (w * 0.44, h * 0.9), 1)
    _otter(work, (w * 0.57, h * 0.95), -1)
    for outline in shape.outlines():
        border(work, outline, ("sea", "gold", "white"), 48)


def _stream(x: float, height: float, swing: float, shift: float) -> Line:
    return lambda y: x + swing * math.sin(y / height * 7.2 + shift) * (0.35 + 0.65 * y / height)


def _fish(work: Leadwork, at: Point, long: float, turn: float) -> None:
    def put(shape: Sequence[Point]) -> Ring:
        return moved(shape, at, turn, long)

    body = smooth(points("-0.5,0 -0.2,-0.2 0.2,-0.16 0.5,0 0.2,0.16 -0.2,0.2"), True, 4)
    work.piece(put(body), "amber", 4)
    work.piece(put(points("-0.46,0 -0.72,-0.18 -0.72,0.18")), "ruby", 4)
    work.wash(put(ellipse((0.32, -0.03), 0.03, 0.03, steps=8)), 20)
    for k in range(3):
        x = 0.1 - 0.14 * k
        work.stroke(put(bezier([(x, -0.12), (x + 0.06, 0), (x, 0.12)], 5)), 4, 80)


def _otter(work: Leadwork, at: Point, facing: int) -> None:
    def put(shape: Sequence[Point]) -> Ring:
        return moved([(x * facing, y) for x, y in shape], at)

    tail = "-150,10 -250,46 -330,30 -250,66 -150,52"
    body = "-170,20 -110,-34 0,-50 70,-62 118,-90 150,-60 110,0 60,44 -60,60 -150,50"
    head = "96,-60 110,-112 160,-132 204,-112 222,-88 196,-66 146,-54"
    for outline, tint in ((tail, "umber"), (body, "brown"), (head, "brown")):
        work.piece(put(smooth(points(outline), True)), tint, 5)
    work.piece(put(ellipse((124, -124), 15, 13, steps=10)), "umber", 3)
    for k in range(9):
        work.stroke(put([(-140 + 30 * k, 36 - k * 8), (-120 + 30 * k, 4 - k * 8)]), 6, 60)
    work.wash(put(ellipse((172, -106), 8, 8, steps=8)), 10)
    for k in (-1, 0, 1):
        work.stroke(put([(206, -84), (250, -84 + 14 * k)]), 3, 40, taper=False)


def kingfisher(work: Leadwork, shape: WindowShape) -> None:
    w, h = shape.width, shape.height
    bank = by_height(h * 0.62, "straw cream gold", "teal sea green")
    broken_sky(work, (0, 0, w, h), 92, bank, 1.3)
    work.came(bezier(points("0,0.7 0.4,0.64 1,0.74", w, h)), 14)
    back = (
        "0.34,0.24 0.44,0.2 0.54,0.26 0.58,0.4 0.6,0.56 "
        "0.66,0.78 0.58,0.8 0.5,0.64 0.47,0.44 0.42,0.32"
    )
    breast = "0.33,0.3 0.42,0.32 0.47,0.44 0.5,0.64 0.4,0.62 0.33,0.5 0.31,0.38"
    for outline, tint in ((back, "cobalt"), (breast, "amber")):
        work.piece(smooth(points(outline, w, h), True), tint, 5)
    work.piece(points("0.34,0.255 0.12,0.3 0.33,0.3", w, h), "slate", 4)
    _fish(work, (w * 0.14, h * 0.33), w * 0.17, 80)
    work.piece(ellipse((w * 0.4, h * 0.265), w * 0.035, h * 0.03), "white", 4)
    work.wash(ellipse((w * 0.385, h * 0.255), 9, 9, steps=10), 10)
    for k in range(7):
        y = h * (0.36 + 0.04 * k)
        quill, tip = (w * (0.5 + 0.008 * k), y), (w * (0.53 + 0.01 * k), y + h * 0.1)
        work.arc(quill, (w * 0.56, y + h * 0.045), tip, 5, 40)
    for k in range(6):
        y = h * (0.36 + 0.035 * k)
        work.arc((w * 0.35, y), (w * 0.38, y + h * 0.02), (w * 0.4, y), 4, 80)
    border(work, shape.outlines()[0], ("cobalt", "gold", "white"), 44)
