"""Rows, saddle bars and tracery lights laid out evenly, until somebody moves one by hand."""

from collections.abc import Callable
from typing import Any, Final

from sites.compute.division import Division, TracerySpec, lay_out_tracery
from sites.compute.lengths import LengthError, parse_length
from sites.models.choices import BarKind, Head
from sites.services.drawing_editor.reading import CUTTING
from sites.services.drawing_editor.rose import rose_lights
from sites.services.drawing_editor.sheet import Row, Sheet
from sites.services.drawing_editor.writing import bare_unit, written

MOST_ROWS: Final = 40
MOST_TRACERY: Final = 12
MOST_SADDLE_BARS: Final = 40
# Nearer than this to another bar or to the very top, a saddle bar would hold nothing.
CLEAR_MM: Final = 60.0
USUAL_FOILS: Final = "4"
# A tracery light starts a little smaller than the room it has: the stone between is not glass.
SHARE_OF_ROOM: Final = 0.94
# Where nothing is said, lights under tracery are pointed, and spring this share of their width
# below the springing of the window: a default for a drawing, no source.
LIGHT_SPRINGS_BELOW: Final = 0.45
ARCHED: Final = frozenset({Head.SEMICIRCULAR, Head.SEGMENTAL, Head.TWO_CENTRED, Head.FOUR_CENTRED})
CLOSED: Final = frozenset(
    {
        Head.ROUNDEL,
        Head.ELLIPSE,
        Head.VESICA,
        Head.TRIANGLE,
        Head.CURVED_TRIANGLE,
        Head.FOILED,
        Head.FOILED_IN_CIRCLE,
        Head.POINTS,
    }
)

# The window without bars and tracery as its single boxes say, or None while it cannot be.
BareOf = Callable[[Sheet], Division | None]


def lay_out(sheet: Sheet, bare_of: BareOf, units: str) -> None:
    """Lay out in the sheet whatever was asked for by number and has not been moved since.

    bare_of: divides the window without its bars and tracery, to lay them out in. A window that
    cannot be divided is left as it is.
    """
    _ask_for_lights(sheet, bare_of, units)
    for lay in (_lay_rows, _lay_saddle_bars, _lay_tracery):
        lay(sheet, bare_of, units)
    # A bar may cross one light alone: which lights there are to choose from has changed.
    lights = sheet.boxes.get("lights", "")
    if sheet.laid.get("of") != lights:
        sheet.laid["of"] = lights
        sheet.changed.add("bar")


def _ask_for_lights(sheet: Sheet, bare_of: BareOf, units: str) -> None:
    """Under tracery the lights have heads of their own; say which, where nobody has."""
    boxes = sheet.boxes
    wants = _whole(boxes.get("tracery_count", ""), MOST_TRACERY)
    stands = [boxes.get("light_head", ""), boxes.get("light_springing", "")]
    ours = stands in (["", ""], sheet.laid.get("lights"))
    if not wants or not ours or boxes.get("head", "") not in ARCHED:
        return
    boxes["light_head"], boxes["light_springing"] = "", ""
    division = bare_of(sheet)
    boxes["light_head"], boxes["light_springing"] = stands
    if division is None or division.outline.springing is None or len(division.lights) < 2:
        return
    width = min(light.right - light.left for light in division.lights)
    springing = division.outline.springing - LIGHT_SPRINGS_BELOW * width
    if springing > 0:
        sheet.set_box("light_head", Head.TWO_CENTRED)
        sheet.set_box("light_springing", written(springing, units))
        sheet.laid["lights"] = [boxes["light_head"], boxes["light_springing"]]


def _top(sheet: Sheet, division: Division) -> float:
    """How high the glass of the lights goes: to the apex, where they have no heads of their own."""
    if not sheet.boxes.get("light_head"):
        return division.outline.ring.box.top
    return max(light.ring.box.top for light in division.lights)


def _is_row_bar(row: Row) -> bool:
    return row.get("kind") in CUTTING and not row.get("light")


def _is_saddle_bar(row: Row) -> bool:
    return row.get("kind") == BarKind.SADDLE_BAR and not row.get("light")


def _lay_rows(sheet: Sheet, bare_of: BareOf, units: str) -> None:
    if _is_unreadable(sheet.boxes.get("rows", ""), MOST_ROWS):
        return
    count = _whole(sheet.boxes.get("rows", ""), MOST_ROWS)
    stands = [row.get("height", "") for row in sheet.bars if _is_row_bar(row)]
    if not _is_due(sheet.laid.get("rows"), str(count or ""), stands):
        return
    division = bare_of(sheet)
    if division is None:
        return
    rows, top = count or 1, _top(sheet, division)
    heights = [written(top * row / rows, units) for row in range(rows - 1, 0, -1)]
    sheet.laid["rows"] = {"count": str(count or ""), "stands": heights}
    _replace_bars(sheet, _is_row_bar, BarKind.DIVISION_BAR, heights)


def _lay_saddle_bars(sheet: Sheet, bare_of: BareOf, units: str) -> None:
    asked = sheet.boxes.get("saddle_every", "").strip()
    stands = [row.get("height", "") for row in sheet.bars if _is_saddle_bar(row)]
    crossing = [row.get("height", "") for row in sheet.bars if _is_row_bar(row)]
    if not _is_due(sheet.laid.get("saddle"), asked, stands):
        return
    division, every = bare_of(sheet), _mm(asked, units)
    if division is None or (asked and every is None):
        return
    heights: list[str] = []
    if every:
        top = _top(sheet, division)
        taken = [mm for text in crossing if (mm := _mm(text, units)) is not None]
        steps = [every * step for step in range(1, MOST_SADDLE_BARS + 1)]
        heights = [
            written(mm, units)
            for mm in reversed(steps)
            if mm < top - CLEAR_MM and all(abs(mm - each) > CLEAR_MM for each in taken)
        ]
    sheet.laid["saddle"] = {"count": asked, "stands": heights}
    _replace_bars(sheet, _is_saddle_bar, BarKind.SADDLE_BAR, heights)


def _replace_bars(
    sheet: Sheet, is_one: Callable[[Row], bool], kind: str, heights: list[str]
) -> None:
    """Bars at the new heights, under the keys of the old ones; the list runs down the window."""
    old = [row for row in sheet.bars if is_one(row)]
    if [row.get("height", "") for row in old] == heights:
        return
    keep = [row for row in sheet.bars if not is_one(row)]
    blanks: list[Row] = [{"kind": kind} for _ in heights]
    new = [
        {**(old[at] if at < len(old) else blanks[at]), "height": height}
        for at, height in enumerate(heights)
    ]
    sheet.bars = [*keep, *new] if kind == BarKind.SADDLE_BAR else [*new, *keep]
    sheet.changed.add("bar")


def _lay_tracery(sheet: Sheet, bare_of: BareOf, units: str) -> None:
    if _is_unreadable(sheet.boxes.get("tracery_count", ""), MOST_TRACERY):
        return
    count = _whole(sheet.boxes.get("tracery_count", ""), MOST_TRACERY) or 0
    shape = sheet.boxes.get("tracery_shape") or Head.ROUNDEL
    before = sheet.laid.get("tracery") or {}
    stands = [_place(row) for row in sheet.tracery]
    if before.get("shape", shape) != shape:
        _reshape(sheet, shape)
    asked = str(count or "")
    if not _is_due(before or None, asked, stands):
        sheet.laid["tracery"] = {**before, "count": asked, "shape": shape}
        return
    division = bare_of(sheet)
    if division is None:
        return
    found = _found_tracery(sheet, division, count)
    old = {row.get("number", ""): row for row in sheet.tracery}
    new = []
    for spec in found:
        size = written((spec.width or 0.0) * SHARE_OF_ROOM, units)
        places = {"x": written(spec.x, units), "y": written(spec.y, units), "width": size}
        blank: Row = {"number": spec.number, "shape": shape, "foils": _foils(shape)}
        new.append({**old.get(spec.number, blank), **places, "height": ""})
    sheet.laid["tracery"] = {
        "count": asked,
        "shape": shape,
        "stands": [_place(row) for row in new],
        "found": len(new),
    }
    if new != sheet.tracery:
        sheet.tracery = new
        sheet.changed.add("tracery")


def _found_tracery(sheet: Sheet, division: Division, count: int) -> tuple[TracerySpec, ...]:
    if not count:
        return ()
    # A rose: its one light is no light, the tracery has all the room within the outline.
    alone = sheet.boxes.get("head", "") in CLOSED and len(division.lights) == 1
    if alone and sheet.boxes["head"] == Head.ROUNDEL:
        return rose_lights(division.outline.ring.box, count)
    rings = [] if alone else [light.ring for light in division.lights]
    return lay_out_tracery(division.outline, rings, count)


def _reshape(sheet: Sheet, shape: str) -> None:
    for row in sheet.tracery:
        row |= {"shape": shape, "foils": row.get("foils") or _foils(shape)}
    sheet.changed.add("tracery")


def _foils(shape: str) -> str:
    return USUAL_FOILS if shape in (Head.FOILED, Head.FOILED_IN_CIRCLE) else ""


def _place(row: Row) -> list[str]:
    return [row.get("x", ""), row.get("y", ""), row.get("width", "")]


def _is_due(before: Any, asked: str, stands: list[Any]) -> bool:
    """Whether to lay out: another number is asked for, or nothing was moved since the last time."""
    if not isinstance(before, dict):
        return bool(asked)
    if before.get("count", "") != asked:
        return True
    return bool(asked) and before.get("stands") == stands


def _whole(text: str, most: int) -> int | None:
    plain = text.strip()
    if not plain.isdecimal() or not 0 < int(plain) <= most:
        return None
    return int(plain)


def _is_unreadable(text: str, most: int) -> bool:
    """Whether something stands there that is no number yet: then nothing is laid out anew."""
    return text.strip() not in ("", "0") and _whole(text, most) is None


def _mm(text: str, units: str) -> float | None:
    try:
        return float(parse_length(text, bare_unit(units)).mm)
    except LengthError:
        return None
