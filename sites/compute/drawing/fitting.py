"""An elevation at the size its place has room for: on a page, or on paper at a true scale."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from sites.compute.division import Division
from sites.compute.drawing.elevation import Registered, View, draw
from sites.compute.drawing.items import Attached
from sites.compute.drawing.pins import Wanted
from sites.compute.drawing.scales import Room, fitting, room_for
from sites.compute.drawing.scene import PAPER, SCREEN, Badge, Hand, Scene
from sites.compute.geometry.rings import Box

# Units a page's drawing fills at most: about the pixels of its column.
PAGE: Final = Room(400.0, 560.0)
SCALE_BAR_LINES: Final = 1.7


@dataclass(frozen=True)
class Elevation:
    """An opening ready to be drawn: its division, its panels and items, whether it is measured."""

    division: Division
    panels: Sequence[Registered]
    items: Sequence[Attached]
    to_scale: bool

    def on_page(
        self,
        from_outside: bool = False,
        badges: Mapping[str, Badge] | None = None,
        pins: Sequence[Wanted] = (),
    ) -> Scene:
        """Return the drawing for a page, as large as the page's column."""
        unit = self._unit(PAGE)
        view = View(SCREEN, unit, self.to_scale, from_outside, badges, pins=tuple(pins))
        return self._drawn(view)

    def at_scale(
        self, scale: int, from_outside: bool = False, pins: Sequence[Wanted] = ()
    ) -> Scene:
        """Return the drawing for paper at 1:scale; a unit is a millimetre of paper."""
        view = View(PAPER, float(scale), self.to_scale, from_outside, pins=tuple(pins))
        return self._drawn(view)

    def possible_scales(self, *rooms: Room) -> list[int]:
        """Return the true scales at which it fits one of the rooms; none if it is not measured."""
        return fitting(self.size_at, rooms) if self.to_scale else []

    def size_at(self, scale: int) -> tuple[float, float]:
        """Return width and height on paper at 1:scale, in mm, with rim and scale bar."""
        box = self.division.outline.ring.box
        around = 2 * (PAPER.rim + PAPER.air)
        below = SCALE_BAR_LINES * PAPER.number
        return box.width / scale + around, box.height / scale + around + below

    def within(self, room: Room, pins: Sequence[Wanted] = ()) -> tuple[Scene, int | None]:
        """Return the drawing with its pins at the largest true scale that fits, and the scale.

        The scale is None where there is no true one; the drawing fits the room all the same.
        """
        for scale in self.possible_scales(room):
            scene = self.at_scale(scale, pins=pins)
            if room_for(_size_of(scene), (room,)):
                return scene, scale
        unit = self._unit(room, PAPER)
        scene = self._drawn(View(PAPER, unit, self.to_scale, pins=tuple(pins)))
        over = max(1.0, _size_of(scene)[0] / room.width, _size_of(scene)[1] / room.height)
        if over > 1.0:
            view = View(PAPER, unit * over * 1.05, self.to_scale, pins=tuple(pins))
            scene = self._drawn(view)
        return scene, None

    def _drawn(self, view: View) -> Scene:
        return draw(self.division, self.panels, self.items, view)

    def _unit(self, room: Room, hand: Hand | None = None) -> float:
        """Millimetres to a unit for the whole opening to fill the room."""
        box = self.division.outline.ring.box
        around = 2 * (hand.rim + hand.air) if hand else 0.0
        below = SCALE_BAR_LINES * hand.number if hand else 0.0
        return max(box.width / (room.width - around), box.height / (room.height - around - below))


def _size_of(scene: Scene) -> tuple[float, float]:
    """Width and height as drawn, in units, with the scale bar."""
    box: Box = scene.box
    air = 2 * scene.hand.air
    return (
        box.width / scene.mm_per_unit + air,
        box.height / scene.mm_per_unit + air + SCALE_BAR_LINES * scene.hand.number,
    )
