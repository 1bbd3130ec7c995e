"""Attached items on an elevation: at their recorded place, or at the foot of what they hang on."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from sites.compute.drawing.scene import Hand, Pane, Plate, around
from sites.compute.geometry.rings import Box, Point, Ring

# An item of this share of the opening or more hides what is behind it.
COVERING: Final = 0.2
WIDEST_SHARE: Final = 0.94
HIGHEST_SHARE: Final = 0.8
# Heights tried, from the foot upwards, for an item without a recorded place.
FEET: Final = 24

NO_PLACE: Final = "Attached items without a recorded place are drawn at the foot of their panel."
NO_SIZE: Final = "Attached items without a recorded size are drawn of a usual one."


@dataclass(frozen=True)
class Attached:
    """An attached item, on a panel or on the opening as a whole; lengths in mm, or None.

    x_mm, y_mm: its middle, from the left jamb as seen from inside and from the sill.
    """

    key: str
    number: str
    panel_key: str | None = None
    width_mm: float | None = None
    height_mm: float | None = None
    x_mm: float | None = None
    y_mm: float | None = None


def plates_of(
    items: Sequence[Attached],
    panes: Sequence[Pane],
    outline: Ring,
    hand: Hand,
    unit: float,
    to_scale: bool,
) -> tuple[tuple[Plate, ...], tuple[str, ...]]:
    """Return the items as plates, the largest first, and what had to be assumed.

    unit: millimetres to a unit of the drawing. Where it is not to scale, neither sizes nor
    places mean anything on it.
    """
    size = partial(_size, hand=hand, unit=unit, to_scale=to_scale)
    hosts = {pane.key: _widest(pane) for pane in panes if pane.key}
    whole = outline.box
    together: dict[str, list[Attached]] = {}
    boxes: dict[str, Box] = {}
    for item in items:
        if to_scale and item.x_mm is not None and item.y_mm is not None:
            boxes[item.key] = around(Point(item.x_mm, item.y_mm), *size(item))
        else:
            at = item.panel_key if item.panel_key in hosts else ""
            together.setdefault(at or "", []).append(item)
    for at, members in together.items():
        boxes |= _side_by_side(members, hosts.get(at, outline), size)
    plates = [
        Plate(
            item.key,
            item.number,
            boxes[item.key],
            covers=_area(boxes[item.key]) >= COVERING * _area(whole),
        )
        for item in items
    ]
    plates.sort(key=lambda plate: -_area(plate.box))
    remarks = [NO_PLACE] if together else []
    if any(not (item.width_mm and item.height_mm) for item in items):
        remarks.append(NO_SIZE)
    return tuple(plates), tuple(remarks)


def _side_by_side(
    members: Sequence[Attached], ring: Ring, size: Callable[[Attached], tuple[float, float]]
) -> dict[str, Box]:
    host = ring.box
    step = host.width / len(members)
    boxes = {}
    for n, item in enumerate(members):
        width, height = size(item)
        width, height = min(width, step * WIDEST_SHARE), min(height, host.height * HIGHEST_SHARE)
        clear = min(height * 0.4, (host.height - height) / 2)
        left = host.left + step * (n + 0.5) - width / 2
        foot = _lowest(ring, left, left + width, clear, height)
        boxes[item.key] = Box(left, foot, left + width, foot + height)
    return boxes


def _lowest(ring: Ring, left: float, right: float, clear: float, height: float) -> float:
    """The lowest foot at which the ring is wide enough, as under the point of a vesica."""
    box = ring.box
    slack = box.height - 2 * clear - height
    for n in range(FEET):
        foot = box.bottom + clear + max(slack, 0.0) * n / FEET
        spans = ring.widths_at(foot)
        if any(start <= left and right <= end for start, end in spans):
            return foot
    return box.bottom + clear


def _size(item: Attached, hand: Hand, unit: float, to_scale: bool) -> tuple[float, float]:
    """The recorded size where the drawing is to scale, at least so large that it can be seen."""
    if not to_scale or not item.width_mm or not item.height_mm:
        return hand.unsized_item[0] * unit, hand.unsized_item[1] * unit
    return (
        max(item.width_mm, hand.smallest_item[0] * unit),
        max(item.height_mm, hand.smallest_item[1] * unit),
    )


def _widest(pane: Pane) -> Ring:
    return max(pane.rings, key=lambda ring: _area(ring.box))


def _area(box: Box) -> float:
    return box.width * box.height
