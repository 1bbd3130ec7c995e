"""Marks of findings drawn flat: on an elevation's sheet or on a photograph, in one way.

Everything is in units of the drawing with y downwards; texts are short and never mirrored.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from condition.compute.stroke_signs import SIGNS, Sign, broken, hatch_of, label_of, sign_of
from condition.compute.strokes import AREA, LINE
from sites.compute.drawing.labels import text_width
from sites.compute.drawing.scene import Scene, around, overlap
from sites.compute.drawing.sheet import BELOW_MIDDLE, Mark, Sheet
from sites.compute.drawing.svg import paper_svg
from sites.compute.geometry.rings import Box, Point, number_text

# Of a drawing's letter size: how far apart hatches are, how large a point is.
STEP: Final = 0.75
POINT: Final = 0.42
# Width and height of a pattern in a printed legend, in millimetres.
PAPER_SAMPLE: Final = (6.0, 4.0)
# Where a mark's letter is tried about its place, in letter sizes.
TRIES: Final = (
    (0.0, 0.0),
    (0.0, -1.3),
    (0.0, 1.3),
    (1.5, 0.0),
    (-1.5, 0.0),
    (1.5, -1.3),
    (-1.5, 1.3),
)
BESIDE: Final = tuple((x, y) for x, y in TRIES if (x, y) != (0.0, 0.0))


@dataclass(frozen=True)
class Stroke:
    """A mark of a finding: how it is drawn, where, for which group of kinds, with what number."""

    stroke: str
    points: tuple[Point, ...]
    group: str
    number: int
    key: str = ""


def on_scene(strokes: Iterable[Stroke], scene: Scene) -> list[Mark]:
    """Return the strokes as marks of the scene's sheet; their points are mm of the register.

    On a drawing seen from outside they are mirrored as it is.
    """
    axis, unit = scene.outline.box.middle.x, scene.mm_per_unit

    def to(point: Point) -> Point:
        x = 2 * axis - point.x if scene.from_outside else point.x
        return Point(x / unit, -point.y / unit)

    pins = [_downwards(pin.box, unit) for pin in scene.pins]
    return drawn(strokes, to, scene.hand.number, pins)


def drawn(
    strokes: Iterable[Stroke],
    to: Callable[[Point], Point],
    letter: float,
    taken: Iterable[Box] = (),
) -> list[Mark]:
    """Return the strokes as flat marks, areas first; `to` brings a point to the drawing.

    letter: size of the letters, in units. taken: boxes that letters are kept off.
    """
    placed = [
        (each, sign_of(each.group), tuple(to(point) for point in each.points)) for each in strokes
    ]
    placed = [each for each in placed if each[2]]
    placed.sort(key=lambda each: (each[0].stroke == AREA, _extent(each[2])), reverse=True)
    marks = [mark for each, sign, points in placed for mark in _shape(each, sign, points, letter)]
    blocked = list(taken)
    for each, sign, points in placed:
        marks += _letter(each, sign, points, letter, blocked)
    return marks


def legend_sample(sign: Sign, width: float, height: float) -> list[Mark]:
    """Return a small area hatched as the sign is, for a legend; from 0, 0 down to the right."""
    corners = (Point(0, 0), Point(width, 0), Point(width, height), Point(0, height))
    each = Stroke(AREA, corners, sign.group, 0)
    return list(_shape(each, sign, corners, height * 0.5))


def sample_on_paper(letter: str) -> str:
    """Return the pattern of the sign with that letter as an SVG 6 by 4 mm, for a printed legend.

    "" for a letter that no sign has.
    """
    sign = next((sign for sign in SIGNS if sign.letter == letter), None)
    if sign is None:
        return ""
    width, height = PAPER_SAMPLE
    air = 0.3
    box = Sheet(
        number_text(-air),
        number_text(-air),
        number_text(width + 2 * air),
        number_text(height + 2 * air),
        legend_sample(sign, width, height),
    )
    return paper_svg(box, sign.word)


def _shape(each: Stroke, sign: Sign, points: Sequence[Point], letter: float) -> Iterator[Mark]:
    if each.stroke == AREA:
        outline = _path(points) + "Z"
        yield Mark("damage-ground", each.key, d=outline)
        hatches = "".join(_path(segment) for segment in hatch_of(points, sign, letter * STEP))
        if hatches:
            yield Mark("damage-hatch", each.key, d=hatches)
        yield Mark("damage-edge", each.key, d=outline)
    elif each.stroke == LINE:
        yield Mark("damage-halo", each.key, d=_path(points))
        dashes = "".join(_path(segment) for segment in broken(points, sign, letter * STEP))
        yield Mark("damage-line", each.key, d=dashes)
    else:
        (x, y), r = points[0], letter * POINT
        yield Mark("damage-ground", each.key, d=_circle(x, y, r))
        cross = f"M{_at(x - r, y)}H{number_text(x + r)}M{_at(x, y - r)}V{number_text(y + r)}"
        yield Mark("damage-edge", each.key, d=_circle(x, y, r) + cross)


def _circle(x: float, y: float, r: float) -> str:
    """A circle by quarters: the layout library bends longer arcs out of round."""
    radius = number_text(r)
    ends = ((x, y + r), (x - r, y), (x, y - r), (x + r, y))
    arcs = "".join(f"A{radius} {radius} 0 0 1 {_at(*end)}" for end in ends)
    return f"M{_at(x + r, y)}{arcs}Z"


def _letter(
    each: Stroke, sign: Sign, points: Sequence[Point], letter: float, blocked: list[Box]
) -> Iterator[Mark]:
    """The group's letter and the finding's number, on the area or beside the line or point."""
    text = label_of(sign, each.number)
    width, height = text_width(text, letter) + letter * 0.5, letter * 1.25
    middle = _middle(each.stroke, points)
    spots = TRIES if each.stroke == AREA else BESIDE
    boxes = [
        around(Point(middle.x + x * letter, middle.y + y * letter), width, height) for x, y in spots
    ]
    box = next(
        (box for box in boxes if not any(overlap(box, other) for other in blocked)), boxes[0]
    )
    blocked.append(box)
    d = (
        f"M{_at(box.left, box.bottom)}H{number_text(box.right)}V{number_text(box.top)}"
        f"H{number_text(box.left)}Z"
    )
    yield Mark("damage-plate", each.key, d=d)
    x, y = box.middle
    yield Mark(
        "damage-letter",
        each.key,
        text=text,
        x=number_text(x),
        y=number_text(y + BELOW_MIDDLE * letter),
        size=number_text(letter),
    )


def _middle(stroke: str, points: Sequence[Point]) -> Point:
    """Where a mark's letter belongs: half way along a line, well inside an area."""
    if stroke == AREA:
        return _inside(points)
    return points[len(points) // 2] if len(points) != 2 else _half(points[0], points[1])


def _inside(outline: Sequence[Point]) -> Point:
    """The middle of the widest stretch at half height: it lies inside, however bent the area."""
    heights = sorted(point.y for point in outline)
    y = (heights[0] + heights[-1]) / 2 + (heights[-1] - heights[0]) * 1e-6
    following = [*outline[1:], outline[0]]
    xs = sorted(
        a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)
        for a, b in zip(outline, following, strict=True)
        if (a.y > y) != (b.y > y)
    )
    spans = list(zip(xs[::2], xs[1::2], strict=False))
    if not spans:
        return outline[0]
    left, right = max(spans, key=lambda span: span[1] - span[0])
    return Point((left + right) / 2, y)


def _half(one: Point, other: Point) -> Point:
    return Point((one.x + other.x) / 2, (one.y + other.y) / 2)


def _extent(points: Sequence[Point]) -> float:
    xs, ys = [p.x for p in points], [p.y for p in points]
    return (max(xs) - min(xs)) + (max(ys) - min(ys))


def _downwards(box: Box, unit: float) -> Box:
    """A box of the scene in units of the sheet, where y runs down."""
    return Box(box.left / unit, -box.top / unit, box.right / unit, -box.bottom / unit)


def _path(points: Sequence[Point]) -> str:
    first, *rest = points
    return f"M{_at(*first)}" + "".join(f"L{_at(*point)}" for point in rest)


def _at(x: float, y: float) -> str:
    return f"{number_text(x)} {number_text(y)}"
