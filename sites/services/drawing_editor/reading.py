"""An opening of the register as it stands in the boxes of the editor; copied; mirrored."""

import json
from collections.abc import Iterable
from decimal import Decimal
from typing import Any, Final

from sites.compute.lengths import LengthError
from sites.compute.numbering import TRACERY, natural_order, panel_place
from sites.compute.plain_json import plain_json
from sites.compute.typed_numbers import NumberError, number_for_box, read_number
from sites.compute.typed_text import parts_of
from sites.models import AttachedItem, Bar, Opening, Panel
from sites.models.choices import BarKind
from sites.services.drawing_editor.sheet import Row, Sheet
from sites.services.drawing_editor.writing import (
    as_recorded,
    place_of,
    place_text,
    written,
)
from sites.services.shapes import division_of

LENGTHS: Final = ("width", "height", "springing", "small_radius", "mullion", "light_springing")
WORDS: Final = ("head", "foils", "lights", "light_head", "light_widths")
# What says which window it is, and never is copied from another.
OWN: Final = ("number", "title", "wall", "level")
CUTTING: Final = frozenset({BarKind.DIVISION_BAR, BarKind.T_BAR, BarKind.TRANSOM})


def sheet_of(opening: Opening, units: str) -> Sheet:
    """Return the boxes filled with what is recorded of an opening and of what is in it."""
    panels, bars = list(opening.panels.all()), list(opening.bars.all())
    items = sorted(opening.attached_items.all(), key=lambda item: natural_order(item.number))
    sheet = Sheet(
        boxes=_boxes_of(opening, units),
        bars=[_bar_row(bar, units) for bar in reversed(bars)],
        tracery=[_tracery_row(panel, units) for panel in panels if panel.shape],
        plaques=[_plaque_row(item, units) for item in items],
    )
    sheet.boxes["tracery_count"] = str(len(sheet.tracery)) if sheet.tracery else ""
    sheet.laid["tracery"] = {"count": sheet.boxes["tracery_count"]}
    _fill_rows(sheet, opening, panels, bars, units)
    _fill_loose_tracery(sheet, opening, panels, bars, units)
    return sheet


def copied(sheet: Sheet, source: Opening, units: str) -> Sheet:
    """Return the sheet with the shape, bars, rows and tracery of another opening.

    Which window it is, and the items on it, stay. A tracery light keeps its key where its
    number is the same.
    """
    other = sheet_of(source, units)
    keys = {row.get("number", ""): row.get("key", "") for row in sheet.tracery}
    own: Row = {name: sheet.boxes[name] for name in OWN if name in sheet.boxes}
    return Sheet(
        boxes={**other.boxes, **own},
        bars=[{**row, "key": ""} for row in other.bars],
        tracery=[{**row, "key": keys.get(row["number"], "")} for row in other.tracery],
        plaques=sheet.plaques,
        laid=other.laid,
    )


def mirrored(sheet: Sheet, width_mm: Decimal | None, units: str) -> Sheet:
    """Return the sheet with left and right exchanged, about the middle of the width."""
    lights = sheet.boxes.get("lights", "")
    if width_mm is not None:
        for row in (*sheet.tracery, *sheet.plaques):
            row["x"] = _across(row.get("x", ""), width_mm, units)
        sheet.boxes["corners"] = _mirrored_corners(sheet.boxes.get("corners", ""), width_mm)
    widths = parts_of(sheet.boxes.get("light_widths", ""))
    sheet.boxes["light_widths"] = ", ".join(reversed(widths))
    for row in sheet.bars:
        if lights.isdigit() and row.get("light", "").isdigit():
            row["light"] = str(int(lights) + 1 - int(row["light"]))
    for row in sheet.tracery:
        row["turn"] = _turned_back(row.get("turn", ""))
        row["points"] = _mirrored_points(row.get("points", ""))
    _renumber_mirrored(sheet.tracery)
    return sheet


def corners_text(points: object) -> str:
    """Return corners as their box holds them: one a line, `x y` or `x y bulge`."""
    lines = []
    for corner in points if isinstance(points, list) else ():
        if isinstance(corner, list) and len(corner) in (2, 3):
            numbers = corner if len(corner) == 3 and corner[2] else corner[:2]
            lines.append(" ".join(number_for_box(Decimal(f"{number:.6f}")) for number in numbers))
    return "\n".join(lines)


def _boxes_of(opening: Opening, units: str) -> dict[str, str]:
    boxes = {name: str(getattr(opening, name) or "") for name in (*OWN, *WORDS)}
    for name in LENGTHS:
        typed, mm = getattr(opening, f"{name}_typed"), getattr(opening, f"{name}_mm")
        boxes[name] = as_recorded(typed, mm, units)
    boxes["corners"] = corners_text(opening.points)
    return boxes


def _bar_row(bar: Bar, units: str) -> Row:
    return {
        "key": str(bar.pk),
        "kind": bar.kind,
        "height": as_recorded(bar.height_typed, bar.height_mm, units),
        "light": str(bar.light or ""),
        "section": bar.section,
        "width": as_recorded(bar.width_typed, bar.width_mm, units),
        "depth": as_recorded(bar.depth_typed, bar.depth_mm, units),
        "material": bar.material,
    }


def _tracery_row(panel: Panel, units: str) -> Row:
    return {
        "key": str(panel.pk),
        "number": panel.number,
        "shape": panel.shape,
        "x": place_text(panel.x_mm, units),
        "y": place_text(panel.y_mm, units),
        "width": as_recorded(panel.width_typed, panel.width_mm, units),
        "height": as_recorded(panel.height_typed, panel.height_mm, units),
        "turn": number_for_box(panel.turn_degrees) if panel.turn_degrees else "",
        "foils": str(panel.foils or ""),
        "points": json.dumps(panel.points) if panel.points else "",
    }


def _plaque_row(item: AttachedItem, units: str) -> Row:
    return {
        "key": str(item.pk),
        "number": item.number,
        "kind": item.kind,
        "x": place_text(item.x_mm, units),
        "y": place_text(item.y_mm, units),
        "width": as_recorded(item.width_typed, item.width_mm, units),
        "height": as_recorded(item.height_typed, item.height_mm, units),
        "inscription": item.inscription,
    }


def _fill_rows(
    sheet: Sheet, opening: Opening, panels: list[Panel], bars: Iterable[Bar], units: str
) -> None:
    """How many rows there are; where no bar parts them yet, bars where they are drawn."""
    cutting = [bar for bar in bars if bar.kind in CUTTING and bar.light is None]
    places = [place for panel in panels if (place := panel_place(panel.number))]
    rows = len(cutting) + 1 if cutting else max((place.row for place in places), default=0)
    sheet.boxes["rows"] = str(rows) if rows > 1 or places else ""
    if not cutting and rows > 1:
        cells = division_of(opening, panels, list(bars)).cells
        tops: dict[int, float] = {}
        for cell in cells:
            if cell.kind == "panel" and 0 < cell.row < rows:
                tops[cell.row] = max(tops.get(cell.row, 0.0), cell.ring.box.top)
        sheet.bars += [
            {"kind": BarKind.DIVISION_BAR, "height": written(tops[row], units)}
            for row in sorted(tops, reverse=True)
        ]
    sheet.laid["rows"] = {"count": sheet.boxes["rows"]}


def _fill_loose_tracery(
    sheet: Sheet, opening: Opening, panels: list[Panel], bars: list[Bar], units: str
) -> None:
    """Tracery lights with a number and no place: as round ones, where they are drawn now."""
    loose = {p.number: p for p in panels if TRACERY.fullmatch(p.number) and not p.shape}
    if not loose:
        return
    for cell in division_of(opening, panels, bars).cells:
        if cell.kind == "tracery" and cell.number in loose:
            row = _tracery_row(loose[cell.number], units)
            middle = cell.ring.box.middle
            row |= {"shape": "roundel", "x": written(middle.x, units)}
            row |= {"y": written(middle.y, units), "width": written(cell.ring.box.width, units)}
            sheet.tracery.append(row)
    sheet.boxes["tracery_count"] = str(len(sheet.tracery))
    sheet.laid["tracery"] = {"count": sheet.boxes["tracery_count"]}


def _across(text: str, width_mm: Decimal, units: str) -> str:
    """The same place from the other jamb; what is no place is left as it is."""
    try:
        return place_text(width_mm.quantize(Decimal("0.01")) - place_of(text, units), units)
    except LengthError:
        return text


def _turned_back(text: str) -> str:
    plain = text.strip()
    if not plain or plain == "0":
        return text
    return plain[1:] if plain.startswith("-") else f"-{plain}"


def _mirrored_corners(text: str, width_mm: Decimal) -> str:
    """Corners from the other jamb, still counter-clockwise: each edge keeps its own bulge."""
    try:
        corners = [
            [float(read_number(part)) for part in line.split()] for line in text.splitlines()
        ]
    except NumberError:
        return text
    if any(len(corner) not in (2, 3) for corner in corners):
        return text
    return corners_text(_turned_over(corners, float(width_mm)))


def _mirrored_points(text: str) -> str:
    """A tracery light's own corners stand about its middle: mirrored about nought."""
    if not text:
        return text
    try:
        return json.dumps(_turned_over(plain_json(text), 0.0))
    except (ValueError, TypeError, LookupError):
        return text


def _turned_over(corners: list[list[Any]], width: float) -> list[list[float]]:
    bulges = [float(corner[2]) if len(corner) == 3 else 0.0 for corner in corners]
    count = len(corners)
    return [
        [width - float(corners[at][0]), float(corners[at][1]), bulges[at - 1]]
        for at in reversed(range(count))
    ]


def _renumber_mirrored(rows: list[Row]) -> None:
    """Numbers run from the left again; a light the register knows keeps its own."""
    letters: dict[str, list[Row]] = {}
    for row in rows:
        if not row.get("key") and (found := TRACERY.fullmatch(row.get("number", ""))):
            letters.setdefault(found["row"], []).append(row)
    for members in letters.values():
        numbers = [row["number"] for row in members]
        for row, number in zip(reversed(members), numbers, strict=True):
            row["number"] = number
        members_in_order = sorted(members, key=lambda row: natural_order(row["number"]))
        slots = [at for at, row in enumerate(rows) if any(row is each for each in members)]
        for at, row in zip(slots, members_in_order, strict=True):
            rows[at] = row
