"""An opening's elevation: its division, what is registered of it, and what hangs on it, drawn."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from sites.compute.division import Bar, Division
from sites.compute.drawing.items import Attached, plates_of
from sites.compute.drawing.labels import corner_label, label_in, label_on
from sites.compute.drawing.pins import Wanted, place_pins
from sites.compute.drawing.scene import Badge, DrawnBar, Hand, Label, Pane, Plate, Scene
from sites.compute.geometry.rings import Box, Ring
from sites.compute.numbering import panel_order

SADDLE_BAR: Final = "saddle bar"
TRACERY: Final = "tracery"
# What bars measure across where nobody has measured them: common practice, no source.
SADDLE_BAR_MM: Final = 12.0
STRONG_BAR_MM: Final = 20.0


@dataclass(frozen=True)
class Registered:
    """A panel of the register: its key and its number."""

    key: str
    number: str


@dataclass(frozen=True)
class View:
    """How an elevation is looked at: the hand, the scale, the side, and what stands on it."""

    hand: Hand
    mm_per_unit: float
    to_scale: bool = True
    from_outside: bool = False
    badges: Mapping[str, Badge] | None = None
    pins: tuple[Wanted, ...] = ()


def draw(
    division: Division, panels: Sequence[Registered], items: Sequence[Attached], view: View
) -> Scene:
    """Return the elevation as it is seen from inside, or mirrored from outside.

    A panel is drawn in the cell of its number; panels without a cell are listed in `unplaced`.
    Panes come in the order of their numbers, from the sill up; items with the largest first.
    """
    unit, hand = view.mm_per_unit, view.hand
    outline = division.outline.ring
    panes = _panes(division, panels)
    plates, remarks = plates_of(items, panes, outline, hand, unit, view.to_scale)
    bars = tuple(_bar(bar, hand, unit) for bar in division.bars)
    lights = tuple(light.ring for light in division.lights if not _is_stone(light.ring, division))
    if view.from_outside:
        axis = outline.box.middle.x
        outline = outline.mirrored(axis)
        lights = tuple(ring.mirrored(axis) for ring in lights)
        panes = tuple(_mirrored_pane(pane, axis) for pane in panes)
        plates = tuple(replace(plate, box=_mirrored(plate.box, axis)) for plate in plates)
        bars = tuple(replace(bar, box=_mirrored(bar.box, axis)) for bar in bars)
    barred = [bar.box for bar in bars]
    pins = place_pins(view.pins, panes, plates, barred, outline, hand, unit)
    taken = [pin.box for pin in pins]
    plates = _labelled_plates(plates, taken, view)
    placed = {pane.number for pane in panes if pane.key}
    return Scene(
        hand=hand,
        mm_per_unit=unit,
        outline=outline,
        lights=lights,
        panes=_labelled_panes(panes, plates, [*taken, *barred], view),
        bars=bars,
        plates=plates,
        pins=pins,
        unplaced=tuple(panel.number for panel in panels if panel.number not in placed),
        remarks=(*division.remarks, *remarks),
        to_scale=view.to_scale,
        from_outside=view.from_outside,
    )


def _panes(division: Division, panels: Sequence[Registered]) -> tuple[Pane, ...]:
    keys = {panel.number: panel.key for panel in panels}
    pieces: dict[tuple[str, str], list[Ring]] = {}
    for cell in division.cells:
        pieces.setdefault((cell.number, cell.kind), []).append(cell.ring)
    # A panel with an outline of its own is drawn there, and not in the cell of its number too.
    own = {number for number, kind in pieces if kind == TRACERY}
    panes = [
        Pane(
            keys.get(number, "") if kind == TRACERY or number not in own else "",
            number,
            kind,
            tuple(rings),
        )
        for (number, kind), rings in pieces.items()
        if number in keys or kind == TRACERY or not _is_stone(rings[0], division)
    ]
    return tuple(sorted(panes, key=lambda pane: panel_order(pane.number)))


def _is_stone(ring: Ring, division: Division) -> bool:
    """Whether tracery lights stand in it, as in a rose: what is between them is stonework."""
    return any(
        cell.kind == TRACERY and ring.contains(cell.ring.centroid) for cell in division.cells
    )


def _bar(bar: Bar, hand: Hand, unit: float) -> DrawnBar:
    if bar.kind == SADDLE_BAR:
        thick = max(SADDLE_BAR_MM, hand.saddle_bar * unit)
    else:
        thick = max(STRONG_BAR_MM, hand.strong_bar * unit)
    return DrawnBar(bar.kind, Box(bar.x1, bar.y - thick / 2, bar.x2, bar.y + thick / 2))


def _mirrored_pane(pane: Pane, axis: float) -> Pane:
    return replace(pane, rings=tuple(ring.mirrored(axis) for ring in pane.rings))


def _mirrored(box: Box, axis: float) -> Box:
    return Box(2 * axis - box.right, box.bottom, 2 * axis - box.left, box.top)


def _labelled_plates(
    plates: Sequence[Plate], taken: Sequence[Box], view: View
) -> tuple[Plate, ...]:
    unit, badges = view.mm_per_unit, view.badges or {}
    done: list[Plate] = []
    for plate in plates:
        badge = badges.get(plate.key)
        label: Label | None
        if plate.covers:
            label = corner_label(plate.box, plate.number, badge, view.hand, unit)
        else:
            others = [*taken, *(each.label.box for each in done if each.label)]
            label = label_on(plate.box, plate.number, badge, others, view.hand, unit)
        done.append(replace(plate, label=label))
    return tuple(done)


def _labelled_panes(
    panes: Sequence[Pane], plates: Sequence[Plate], taken: Sequence[Box], view: View
) -> tuple[Pane, ...]:
    blocked = [*taken, *(plate.box for plate in plates if not plate.covers)]
    blocked += [plate.label.box for plate in plates if plate.label]
    done = []
    for pane in panes:
        badge = (view.badges or {}).get(pane.key)
        label = None
        if pane.key:
            label = label_in(pane.rings, pane.number, badge, blocked, view.hand, view.mm_per_unit)
        if label is not None:
            blocked.append(label.box)
        done.append(replace(pane, label=label))
    return tuple(done)
