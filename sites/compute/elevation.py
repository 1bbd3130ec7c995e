"""An opening drawn from the register: its outline, its panels and what is attached to it.

The drawing is honest: it is to scale only where width and height are recorded, and it says
what it had to assume. x runs to the right and y downwards, as in SVG.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from sites.compute.elevation_parts import (
    LABEL_ROOM,
    Box,
    Elevation,
    ItemShape,
    OpeningShape,
    PanelShape,
)
from sites.compute.numbering import TRACERY, panel_place
from sites.compute.outline import (
    RISE_IS_A_GUESS,
    half_width_at,
    head_rise,
    outline_path,
)

WIDEST: Final = 400.0
HIGHEST: Final = 560.0
NOMINAL_LIGHT_MM: Final = 600.0
NOMINAL_ROW_MM: Final = 600.0
PLAQUE: Final = (46.0, 18.0)
SMALLEST_PLAQUE: Final = (12.0, 7.0)
# An item of this share of the opening or more hides what is behind it.
COVERING: Final = 0.2
# Bars and mortar take up the rest of the height; less than this, and rows are missing.
NEARLY_ALL: Final = 0.85
# Sums of taped panel sizes come out a little over the opening's own: still believed.
TOLERANCE: Final = 1.03


@dataclass(frozen=True)
class _Frame:
    """Width, height and springing of the opening in mm, with the heights and widths of its grid."""

    width: float
    height: float
    rise: float
    columns: tuple[float, ...]
    rows: tuple[float, ...]
    mullion: float


def draw(
    opening: OpeningShape,
    panels: Sequence[PanelShape],
    items: Sequence[ItemShape] = (),
    from_outside: bool = False,
) -> Elevation:
    """Return the elevation of an opening as seen from inside, or mirrored from outside.

    Panels are placed by their numbers (row from the sill, light from the left as seen from
    inside; tracery in the head); a number that says no place is listed in `unplaced`.
    """
    to_scale = bool(opening.width_mm and opening.height_mm)
    frame = _frame(opening, panels)
    scale = min(WIDEST / frame.width, HIGHEST / frame.height)
    boxes = [*_grid(frame, panels), *_tracery(opening.head, frame, panels)]
    drawn = tuple(_scaled(box, scale) for box in boxes)
    drawn = tuple(_labelled(box, opening.head, frame, scale) for box in drawn)
    width, height = frame.width * scale, frame.height * scale
    placed = {box.key for box in drawn}
    plaques = _items(items, drawn, (width, height), scale if to_scale else None)
    divisions = _divisions(frame, scale)
    if from_outside:
        drawn, plaques = _mirrored(drawn, width), _mirrored(plaques, width)
        divisions = tuple(sorted(round(width - x, 1) for x in divisions))
    return Elevation(
        width=round(width, 1),
        height=round(height, 1),
        outline=outline_path(opening.head, width, height),
        panels=drawn,
        items=plaques,
        divisions=divisions,
        mullions_from=round(frame.rise * scale, 1) if _has_tracery(panels) else 0.0,
        unplaced=tuple(panel.number for panel in panels if panel.key not in placed),
        mm_per_unit=1 / scale if to_scale else None,
        remarks=_remarks(opening, panels, to_scale, drawn),
    )


def _frame(opening: OpeningShape, panels: Sequence[PanelShape]) -> _Frame:
    places = [place for panel in panels if (place := panel_place(panel.number))]
    lights = max([opening.lights, *(place.light for place in places)])
    rows = max([place.row for place in places], default=0)
    width = opening.width_mm or lights * NOMINAL_LIGHT_MM
    height = opening.height_mm or (max(rows, 3) * NOMINAL_ROW_MM)
    if not opening.height_mm:
        height += head_rise(opening.head, width, width)
    rise = head_rise(opening.head, width, height)
    room = height - rise if _has_tracery(panels) else height
    mullion = width * 0.025 if lights > 1 else 0.0
    clear = width - mullion * (lights - 1)
    return _Frame(
        width,
        height,
        rise,
        _shares([_known(panels, light=n + 1) for n in range(lights)], clear, fill=True),
        _shares([_known(panels, row=n + 1) for n in range(rows)], room, fill=False),
        mullion,
    )


def _known(panels: Sequence[PanelShape], row: int = 0, light: int = 0) -> float | None:
    """The greatest recorded size of a row's panels (height) or of a light's (width)."""
    sizes = []
    for panel in panels:
        place = panel_place(panel.number)
        if place is None or (row and place.row != row) or (light and place.light != light):
            continue
        size = panel.height_mm if row else panel.width_mm
        if size:
            sizes.append(size)
    return max(sizes, default=None)


def _shares(sizes: Sequence[float | None], room: float, fill: bool) -> tuple[float, ...]:
    """The recorded sizes where all are known and fit in; even shares of the room otherwise.

    fill: stretch what is known over the whole room (lights); rows that leave much of it empty
        keep their size, for some of them are not registered.
    """
    if not sizes:
        return ()
    known = [size for size in sizes if size is not None]
    total = sum(known)
    if len(known) < len(sizes) or total > room * TOLERANCE:
        return tuple(room / len(sizes) for _ in sizes)
    stretch = room / total if fill or total > room * NEARLY_ALL else 1.0
    return tuple(size * stretch for size in known)


def _grid(frame: _Frame, panels: Sequence[PanelShape]) -> list[Box]:
    boxes = []
    for panel in panels:
        place = panel_place(panel.number)
        if place is None:
            continue
        left = sum(frame.columns[: place.light - 1]) + frame.mullion * (place.light - 1)
        below = sum(frame.rows[: place.row])
        width, height = frame.columns[place.light - 1], frame.rows[place.row - 1]
        boxes.append(Box(panel.key, panel.number, left, frame.height - below, width, height))
    return boxes


def _has_tracery(panels: Sequence[PanelShape]) -> bool:
    return any(TRACERY.fullmatch(panel.number) for panel in panels)


def _tracery(head: str, frame: _Frame, panels: Sequence[PanelShape]) -> list[Box]:
    """Tracery lights by their place: rows upwards from the springing, evenly spread in each."""
    rows: dict[str, list[tuple[int, PanelShape]]] = {}
    for panel in panels:
        match = TRACERY.fullmatch(panel.number)
        if match:
            rows.setdefault(match["row"], []).append((int(match["place"]), panel))
    rise = frame.rise or frame.height * 0.2
    band = rise / max(len(rows), 1)
    boxes = []
    for level, name in enumerate(sorted(rows)):
        half = half_width_at(head, frame.width / 2, rise, (level + 0.55) * band)
        half = min(half or frame.width / 2, frame.width / 2 * 0.94)
        members = sorted(rows[name], key=lambda member: member[0])
        step = 2 * half / len(members)
        size = min(step * 0.9, band * 0.86)
        for n, (_, panel) in enumerate(members):
            x = frame.width / 2 - half + step * (n + 0.5) - size / 2
            y = rise - band * (level + 0.5) - size / 2
            boxes.append(Box(panel.key, panel.number, x, y, size, size, tracery=True))
    return boxes


def _items(
    items: Sequence[ItemShape],
    panels: Sequence[Box],
    whole: tuple[float, float],
    scale: float | None,
) -> tuple[Box, ...]:
    """Attached items side by side at the foot of their panel, or of the whole opening."""
    by_key = {box.key: box for box in panels}
    foot = Box("", "", 0.0, 0.0, *whole)
    together: dict[str, list[ItemShape]] = {}
    for item in items:
        at = item.panel_key if item.panel_key in by_key else ""
        together.setdefault(at or "", []).append(item)
    boxes = []
    for at, members in together.items():
        host = by_key.get(at, foot)
        step = host.width / len(members)
        for n, item in enumerate(members):
            width, height = _item_size(item, scale)
            width, height = min(width, step * 0.94), min(height, host.height * 0.8)
            x = host.x + step * (n + 0.5) - width / 2
            y = host.y + host.height - height - min(4.0, host.height * 0.08)
            boxes.append(Box(item.key, item.number, x, y, width, height))
    boxes.sort(key=lambda box: -box.width * box.height)
    return tuple(_labelled_item(_scaled(box, 1.0), whole) for box in boxes)


def _labelled_item(box: Box, whole: tuple[float, float]) -> Box:
    """Its number in its middle; that of an item that covers much in its upper left corner."""
    if box.width * box.height < COVERING * whole[0] * whole[1]:
        return replace(box, label=box.middle, label_room=box.width)
    corner = (round(box.x + LABEL_ROOM[0], 1), round(box.y + LABEL_ROOM[1], 1))
    return replace(box, label=corner, label_room=box.width, covers=True)


def _labelled(box: Box, head: str, frame: _Frame, scale: float) -> Box:
    """The box with the place of its number, at half its height or, under an arch, lower down."""
    rise, middle = frame.rise * scale, frame.width * scale / 2
    best = box
    for share in (0.5, 0.78):
        y = box.y + box.height * share
        half = middle
        if y < rise and not box.tracery:
            half = half_width_at(head, middle, rise, rise - y)
        left, right = max(box.x, middle - half), min(box.x + box.width, middle + half)
        x = round((left + right) / 2, 1)
        best = replace(box, label=(x, round(y, 1)), label_room=round(right - left, 1))
        if best.label_room >= min(LABEL_ROOM[0] * 1.6, box.width):
            return best
    return best


def _item_size(item: ItemShape, scale: float | None) -> tuple[float, float]:
    if scale is None or not item.width_mm or not item.height_mm:
        return PLAQUE
    return (
        max(item.width_mm * scale, SMALLEST_PLAQUE[0]),
        max(item.height_mm * scale, SMALLEST_PLAQUE[1]),
    )


def _divisions(frame: _Frame, scale: float) -> tuple[float, ...]:
    """Where the mullions stand: the middle of each, from the left."""
    edges = []
    x = 0.0
    for width in frame.columns[:-1]:
        x += width + frame.mullion
        edges.append(round((x - frame.mullion / 2) * scale, 1))
    return tuple(edges)


def _remarks(
    opening: OpeningShape,
    panels: Sequence[PanelShape],
    to_scale: bool,
    drawn: Sequence[Box],
) -> tuple[str, ...]:
    made = []
    if not to_scale:
        made.append("Not to scale: the width or the height is not recorded.")
    gridded = [panel for panel in panels if panel_place(panel.number)]
    if to_scale and any(not panel.height_mm for panel in gridded):
        made.append("Rows of panels are drawn of even height: not all heights are recorded.")
    if opening.head in RISE_IS_A_GUESS:
        made.append("The rise of the head is not recorded; it is drawn by its usual shape.")
    if any(box.tracery for box in drawn):
        made.append("Tracery lights are drawn by their place, not by their shape.")
    return tuple(made)


def _scaled(box: Box, scale: float) -> Box:
    return replace(
        box,
        x=round(box.x * scale, 1),
        y=round(box.y * scale, 1),
        width=round(box.width * scale, 1),
        height=round(box.height * scale, 1),
    )


def _mirrored(boxes: tuple[Box, ...], width: float) -> tuple[Box, ...]:
    return tuple(
        replace(
            box,
            x=round(width - box.x - box.width, 1),
            label=(round(width - box.label[0], 1), box.label[1]),
        )
        for box in boxes
    )
