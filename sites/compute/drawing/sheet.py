"""A scene flattened to marks in units of the drawing, y downwards: plain texts, ready to keep."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from math import ceil, pi
from typing import Final

from sites.compute.drawing.elevation import SADDLE_BAR
from sites.compute.drawing.labels import text_width
from sites.compute.drawing.scene import DANGER, Label, Pane, Pin, Plate, Scene
from sites.compute.geometry.rings import Box, Edge, Point, Ring, number_text
from sites.compute.scale_bar import ScaleBar

# A baseline lies this share of a letter's size below the middle of its figures.
BELOW_MIDDLE: Final = 0.36
LONGEST_ARC: Final = pi / 4


@dataclass(frozen=True)
class Mark:
    """One thing drawn: a path (`d`), a text or a badge at x, y. `key` is the part it belongs to."""

    kind: str
    key: str = ""
    d: str = ""
    text: str = ""
    x: str = ""
    y: str = ""
    size: str = ""
    level: int = 0


@dataclass(frozen=True)
class Disc:
    """A pin as drawn; `leader` is a path, or nothing."""

    text: str
    strong: bool
    x: str
    y: str
    radius: str
    leader: str = ""


@dataclass(frozen=True)
class Sheet:
    """A drawing ready to be written: its view box, its marks from back to front, its pins."""

    left: str
    top: str
    width: str
    height: str
    marks: list[Mark]
    pins: list[Disc] = field(default_factory=list)


def sheet_of(scene: Scene, bar: ScaleBar | None = None) -> Sheet:
    """Return the scene's marks; one unit is `scene.mm_per_unit` millimetres of the opening.

    bar: a scale bar to stand below the sill, its length in units.
    """
    return _Flattener(scene).sheet(bar)


class _Flattener:
    """Turns millimetres with y upwards into units with y downwards."""

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self.unit = scene.mm_per_unit

    def sheet(self, bar: ScaleBar | None) -> Sheet:
        box, number = self.scene.box, self.scene.hand.number
        marks = [*self._marks()]
        air = self.scene.hand.air
        width = (box.right - box.left) / self.unit + 2 * air
        height = (box.top - box.bottom) / self.unit + 2 * air
        if bar is not None:
            start = (self.scene.outline.box.left - box.left) / self.unit
            words = text_width(bar.label, number) + number * 0.5
            width = max(width, start + bar.length + words + 2 * air)
            foot = -box.bottom / self.unit + number * 0.9
            marks += self._scale_bar(bar, foot)
            height += number * 1.7
        return Sheet(
            left=number_text(box.left / self.unit - air),
            top=number_text(-box.top / self.unit - air),
            width=number_text(width),
            height=number_text(height),
            marks=marks,
            pins=[self._disc(pin) for pin in self.scene.pins],
        )

    def _marks(self) -> Iterator[Mark]:
        scene = self.scene
        yield Mark("stone", d=self._path(scene.outline))
        for light in scene.lights:
            yield Mark("glass", d=self._path(light))
        for pane in scene.panes:
            yield from self._pane(pane)
        for ring in (*scene.lights, *self._tracery()):
            yield Mark("edge", d=self._path(ring))
        yield Mark("rim", d=self._path(scene.outline))
        for bar in scene.bars:
            kind = "saddle-bar" if bar.kind == SADDLE_BAR else "strong-bar"
            yield Mark(kind, d=self._box(bar.box))
        for plate in scene.plates:
            yield from self._plate(plate)

    def _tracery(self) -> Iterator[Ring]:
        for pane in self.scene.panes:
            if pane.kind == "tracery":
                yield from pane.rings

    def _pane(self, pane: Pane) -> Iterator[Mark]:
        d = "".join(self._path(ring) for ring in pane.rings)
        yield Mark("pane", pane.key, d=d)
        if pane.label:
            yield from self._label(pane.label, pane.key, "number")

    def _plate(self, plate: Plate) -> Iterator[Mark]:
        kind = "cover" if plate.covers else "plate"
        yield Mark(kind, plate.key, d=self._box(plate.box))
        if plate.label:
            yield from self._label(plate.label, plate.key, "item-number")

    def _label(self, label: Label, key: str, kind: str) -> Iterator[Mark]:
        if label.badge and label.badge_box:
            box = label.badge_box
            yield Mark(
                "sign" if label.badge.kind == DANGER else "quarry",
                key,
                x=number_text(box.left / self.unit),
                y=number_text(-box.top / self.unit),
                size=number_text(box.width / self.unit),
                level=label.badge.level,
            )
        if label.text and label.text_at:
            size = self.scene.hand.number
            x, y = self._at(label.text_at)
            yield Mark(
                kind,
                key,
                text=label.text,
                x=number_text(x),
                y=number_text(y + BELOW_MIDDLE * size),
                size=number_text(size),
            )

    def _disc(self, pin: Pin) -> Disc:
        x, y = self._at(pin.at)
        leader = ""
        if pin.tip is not None:
            to_x, to_y = self._at(pin.tip)
            leader = f"M{number_text(x)} {number_text(y)}L{number_text(to_x)} {number_text(to_y)}"
        radius = number_text(pin.radius / self.unit)
        return Disc(pin.text, pin.strong, number_text(x), number_text(y), radius, leader)

    def _scale_bar(self, bar: ScaleBar, foot: float) -> list[Mark]:
        left = self.scene.outline.box.left / self.unit
        tick = self.scene.hand.number * 0.4
        d = (
            f"M{number_text(left)} {number_text(foot - tick)}v{number_text(tick)}"
            f"h{number_text(bar.length)}v{number_text(-tick)}"
        )
        size = self.scene.hand.number
        words = Mark(
            "scale-words",
            text=bar.label,
            x=number_text(left + bar.length + size * 0.5),
            y=number_text(foot + size * 0.1),
            size=number_text(size),
        )
        return [Mark("scale-line", d=d), words]

    def _path(self, ring: Ring) -> str:
        return in_short_arcs(ring).path(scale=1 / self.unit, flip=True)

    def _box(self, box: Box) -> str:
        left, top = self._at(Point(box.left, box.top))
        right, foot = self._at(Point(box.right, box.bottom))
        return (
            f"M{number_text(left)} {number_text(top)}H{number_text(right)}"
            f"V{number_text(foot)}H{number_text(left)}Z"
        )

    def _at(self, point: Point) -> tuple[float, float]:
        return point.x / self.unit, -point.y / self.unit


def in_short_arcs(ring: Ring) -> Ring:
    """Return the same ring with no arc of more than an eighth of a circle.

    The layout library makes one Bézier curve of each arc, which is no circle over half a turn.
    """
    edges: list[Edge] = []
    for edge in ring.edges:
        parts = ceil(abs(edge.sweep) / LONGEST_ARC - 1e-9)
        edges += edge.cut([n / parts for n in range(1, parts)]) if parts > 1 else [edge]
    return replace(ring, edges=tuple(edges))
