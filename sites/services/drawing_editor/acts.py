"""What a press of a button does to the boxes: one more row, one less, a copy, a mirror."""

import re
from collections.abc import Iterable
from decimal import Decimal
from typing import Final

from django.db.models import QuerySet

from sites.compute.lengths import LengthError, parse_length
from sites.models import Opening
from sites.models.choices import BarKind, Head, ItemKind
from sites.services.drawing_editor.reading import copied, mirrored
from sites.services.drawing_editor.sheet import Row, Sheet
from sites.services.drawing_editor.writing import bare_unit, written

REMOVE: Final = re.compile(r"remove-(bar|tracery|plaque)-(\d{1,3})")
# Where a new thing stands until it is moved: shares of the width and of the height.
MIDDLE, LOW, HIGH = 0.5, 0.1, 0.85
NEW_TRACERY_SHARE: Final = 0.125
UNKNOWN_MM: Final = 600.0


def last_drawn(opening: Opening) -> Opening | None:
    """Return the opening of the same building that was registered last, other than this one."""
    return others_drawn(opening).order_by("-pk").first()


def others_drawn(opening: Opening) -> QuerySet[Opening]:
    """Return the other openings of the same building whose width is recorded."""
    others = Opening.objects.filter(building=opening.building, width_mm__isnull=False)
    return others.exclude(pk=opening.pk)


def act_on(
    sheet: Sheet,
    act: str,
    units: str,
    source: Opening | None = None,
    at: tuple[str, str] = ("", ""),
) -> Sheet:
    """Return the sheet after an act. Names of acts it does not know change nothing.

    source: the opening to copy from. at: a place in millimetres, where something was put.
    """
    if act in ("last", "copy"):
        return copied(sheet, source, units) if source else sheet
    if act == "mirror":
        return mirrored(sheet, _length(sheet, "width", units), units)
    if act == "add-bar":
        height = written(_size(sheet, "height", units) * MIDDLE, units)
        sheet.bars.append({"kind": BarKind.SADDLE_BAR, "height": height})
        sheet.changed.add("bar")
    elif act == "add-tracery":
        _add_tracery(sheet, units)
    elif act == "place":
        _place_item(sheet, at, units)
    elif found := REMOVE.fullmatch(act):
        _remove(sheet, found[1], int(found[2]))
    return sheet


def _add_tracery(sheet: Sheet, units: str) -> None:
    width, height = _size(sheet, "width", units), _size(sheet, "height", units)
    shape = sheet.boxes.get("tracery_shape") or Head.ROUNDEL
    foiled = shape in (Head.FOILED, Head.FOILED_IN_CIRCLE)
    sheet.tracery.append(
        {
            "number": _free("A", (row.get("number", "") for row in sheet.tracery)),
            "shape": shape,
            "x": written(width * MIDDLE, units),
            "y": written(height * HIGH, units),
            "width": written(width * NEW_TRACERY_SHARE, units),
            "foils": "4" if foiled else "",
        }
    )
    sheet.changed.add("tracery")


def _place_item(sheet: Sheet, at: tuple[str, str], units: str) -> None:
    """A plaque at a place, of the size of the last one; without a place, low in the middle."""
    try:
        x, y = float(at[0]), float(at[1])
    except ValueError:
        x, y = _size(sheet, "width", units) * MIDDLE, _size(sheet, "height", units) * LOW
    last: Row = sheet.plaques[-1] if sheet.plaques else {}
    sheet.plaques.append(
        {
            "number": _free("P", (row.get("number", "") for row in sheet.plaques)),
            "kind": ItemKind.PLAQUE,
            "x": written(x, units),
            "y": written(y, units),
            "width": last.get("width", ""),
            "height": last.get("height", ""),
            "inscription": "",
        }
    )
    sheet.changed.add("plaque")


def _remove(sheet: Sheet, kind: str, place: int) -> None:
    """Take a row away; an item the register knows stays, its own page deals with it."""
    rows = {"bar": sheet.bars, "tracery": sheet.tracery, "plaque": sheet.plaques}[kind]
    if place < len(rows) and not (kind == "plaque" and rows[place].get("key")):
        del rows[place]
        sheet.changed.add(kind)


def _free(letter: str, taken: Iterable[str]) -> str:
    numbers = set(taken)
    return next(text for n in range(1, len(numbers) + 2) if (text := f"{letter}{n}") not in numbers)


def _length(sheet: Sheet, name: str, units: str) -> Decimal | None:
    try:
        return parse_length(sheet.boxes.get(name, ""), bare_unit(units)).mm
    except LengthError:
        return None


def _size(sheet: Sheet, name: str, units: str) -> float:
    return float(_length(sheet, name, units) or UNKNOWN_MM)
