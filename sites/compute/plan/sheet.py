"""A plan flattened to marks in units of the drawing, for the one renderer of all drawings."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import cos, hypot, radians, sin
from typing import Final

from sites.compute.drawing.scene import DANGER
from sites.compute.drawing.sheet import BELOW_MIDDLE, Mark, Sheet
from sites.compute.drawing.svg import INK, LEAD, PAPER_PEN, SOFT
from sites.compute.geometry.rings import Box, Point, number_text
from sites.compute.plan.scene import WALL_WIDTH, OpeningOnPlan, PlanScene
from sites.compute.scale_bar import ScaleBar, scale_bar

# The strip below the plan, in sizes of a number: scale bar, north and liturgical east.
STRIP: Final = 3.4
ARROW: Final = 2.2
EAST_WORD_WIDTH: Final = 0.5

# On paper; millimetres. The widths of a wall follow from the size of a number, 2.2 mm.
PLAN_PEN: Final[Mapping[str, Mapping[str, str]]] = {
    **PAPER_PEN,
    "plan-wall": {
        "fill": "none", "stroke": LEAD, "stroke-width": "1.3", "stroke-linejoin": "miter",
    },
    "plan-core": {
        "fill": "none", "stroke": "#ffffff", "stroke-width": "0.9", "stroke-linejoin": "miter",
    },
    "plan-upper": {
        "fill": "none", "stroke": LEAD, "stroke-width": "0.3", "stroke-dasharray": "1.2 0.7",
    },
    "plan-gap": {"fill": "none", "stroke": "#ffffff", "stroke-width": "1.5"},
    "plan-jamb": {"fill": "none", "stroke": LEAD, "stroke-width": "0.3"},
    "plan-glass": {"fill": "none", "stroke": LEAD, "stroke-width": "0.45"},
    "plan-touch": {"fill": "none", "stroke": "none"},
    "plan-number": {"font-family": "Text", "text-anchor": "middle", "fill": INK},
    "plan-leader": {"fill": "none", "stroke": SOFT, "stroke-width": "0.15"},
    "plan-arrow": {"fill": "none", "stroke": INK, "stroke-width": "0.25"},
    "plan-words": {"font-family": "Text", "text-anchor": "middle", "fill": INK},
}  # fmt: skip


@dataclass(frozen=True)
class PlanWords:
    """What stands beside the two arrows, in the reader's language."""

    north: str = "N"
    east: str = "liturgical east"


def plan_sheet(
    scene: PlanScene, words: PlanWords, inches: bool = False, least_width: float = 0.0
) -> Sheet:
    """Return the plan's marks with its scale bar and arrows below it; y runs downwards.

    least_width: in units; a narrower plan stands in the middle of it.
    """
    return _Flattener(scene).sheet(words, inches, least_width)


class _Flattener:
    def __init__(self, scene: PlanScene) -> None:
        self.scene, self.unit = scene, scene.mm_per_unit
        self.number = scene.hand.number

    def sheet(self, words: PlanWords, inches: bool, least_width: float) -> Sheet:
        box, air = self.scene.box, self.scene.hand.air * 2
        top = -box.top / self.unit - air
        strip = STRIP * self.number
        word = len(words.east) * EAST_WORD_WIDTH * self.number
        arrows = word + 6.5 * self.number
        width = max(box.width / self.unit + 2 * air, arrows, least_width)
        left = box.middle.x / self.unit - width / 2
        foot = -box.bottom / self.unit + air
        bar = scale_bar(self.unit, max(width - arrows - 4 * self.number, 3 * self.number), inches)
        marks = [*self._marks()]
        marks += self._strip(words, bar, Box(left + air, foot + strip, left + width - air, foot))
        return Sheet(
            left=number_text(left),
            top=number_text(top),
            width=number_text(width),
            height=number_text(foot + strip - top),
            marks=marks,
        )

    def _marks(self) -> Iterator[Mark]:
        walls = [self._line(points) for points, is_upper in self.scene.walls if not is_upper]
        for kind in ("plan-wall", "plan-core"):
            for d in walls:
                yield Mark(kind, d=d)
        for points, is_upper in self.scene.walls:
            if is_upper:
                yield Mark("plan-upper", d=self._line(points))
        for spot, text in self.scene.wall_numbers:
            yield self._text("plan-words", text, *self._at(spot), self.number * 0.8)
        for each in self.scene.openings:
            yield from self._opening(each)

    def _opening(self, each: OpeningOnPlan) -> Iterator[Mark]:
        gap = each.gap
        yield Mark("plan-touch", each.key, d=self._box(each.touch))
        yield Mark("plan-gap", each.key, d=self._line(gap))
        yield Mark("plan-glass", each.key, d=self._line(gap))
        jambs = self._jamb(gap[0], gap[1]) + self._jamb(gap[-1], gap[-2])
        yield Mark("plan-jamb", each.key, d=jambs)
        if each.leader:
            yield Mark("plan-leader", each.key, d=self._line(each.leader))
        yield from self._label(each)

    def _label(self, each: OpeningOnPlan) -> Iterator[Mark]:
        label = each.label
        if label.badge and label.badge_box:
            yield Mark(
                "sign" if label.badge.kind == DANGER else "quarry",
                each.key,
                x=number_text(label.badge_box.left / self.unit),
                y=number_text(-label.badge_box.top / self.unit),
                size=number_text(label.badge_box.width / self.unit),
                level=label.badge.level,
            )
        if label.text_at:
            x, y = self._at(label.text_at)
            yield self._text("plan-number", label.text, x, y, self.number, each.key)

    def _text(self, kind: str, text: str, x: float, y: float, size: float, key: str = "") -> Mark:
        """A text about a middle, in units."""
        return Mark(
            kind,
            key,
            text=text,
            x=number_text(x),
            y=number_text(y + BELOW_MIDDLE * size),
            size=number_text(size),
        )

    def _jamb(self, at: Point, other: Point) -> str:
        """A short line across the wall at one end of an opening."""
        far = hypot(other.x - at.x, other.y - at.y) or 1.0
        reach = WALL_WIDTH * self.number * self.unit / 2
        dx, dy = -(other.y - at.y) / far * reach, (other.x - at.x) / far * reach
        return self._line((Point(at.x - dx, at.y - dy), Point(at.x + dx, at.y + dy)))

    def _strip(self, words: PlanWords, bar: ScaleBar | None, box: Box) -> Iterator[Mark]:
        """What stands below the plan; `box` is in units, its bottom the lower edge."""
        y, size = box.top + (box.bottom - box.top) * 0.6, self.number * 0.85
        if bar is not None:
            tick = self.number * 0.4
            left, foot = number_text(box.left), number_text(y + tick / 2)
            d = f"M{left} {number_text(y - tick / 2)}V{foot}h{number_text(bar.length)}"
            yield Mark("scale-line", d=f"{d}v{number_text(-tick)}")
            yield Mark(
                "scale-words",
                text=bar.label,
                x=number_text(box.left + bar.length + size * 0.5),
                y=number_text(y + tick / 2),
                size=number_text(size),
            )
        word = len(words.east) * EAST_WORD_WIDTH * size
        x = box.right - word / 2
        arrow = box.right - word - self.number * 1.1
        yield self._text("plan-words", words.east, x, y, size)
        yield Mark("plan-arrow", d=self._arrow(arrow, y, 0 if self.scene.east_up else 90))
        north = arrow - self.number * 2.6
        yield Mark("plan-arrow", d=self._arrow(north, y, self.scene.north))
        turned = radians(self.scene.north)
        reach = (ARROW / 2 + 0.5) * self.number
        yield self._text(
            "plan-words", words.north, north + reach * sin(turned), y - reach * cos(turned), size
        )

    def _arrow(self, x: float, y: float, turned: float) -> str:
        """An arrow about a middle, pointing up, turned clockwise by degrees."""
        length = ARROW * self.number * 0.7
        head = length * 0.32
        points = [
            (0.0, length / 2), (0.0, -length / 2),
            (-head * 0.6, -length / 2 + head), (0.0, -length / 2), (head * 0.6, -length / 2 + head),
        ]  # fmt: skip
        c, s = cos(radians(turned)), sin(radians(turned))
        return "M" + "L".join(
            f"{number_text(x + px * c - py * s)} {number_text(y + px * s + py * c)}"
            for px, py in points
        )

    def _line(self, points: tuple[Point, ...]) -> str:
        """Path data; a line that comes back to its start is closed, so that its corner is whole."""
        is_closed = (
            len(points) > 2
            and hypot(points[0].x - points[-1].x, points[0].y - points[-1].y) < self.unit
        )
        shown = points[:-1] if is_closed else points
        path = "L".join(f"{number_text(x)} {number_text(y)}" for x, y in map(self._at, shown))
        return f"M{path}Z" if is_closed else f"M{path}"

    def _box(self, box: Box) -> str:
        left, top = self._at(Point(box.left, box.top))
        right, foot = self._at(Point(box.right, box.bottom))
        return (
            f"M{number_text(left)} {number_text(top)}H{number_text(right)}"
            f"V{number_text(foot)}H{number_text(left)}Z"
        )

    def _at(self, point: Point) -> tuple[float, float]:
        return point.x / self.unit, -point.y / self.unit
