"""The drawing of a window being drawn, with what can be taken hold of on it."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

from sites.compute.division import Division
from sites.compute.drawing.elevation import Registered, View, draw
from sites.compute.drawing.items import Attached
from sites.compute.drawing.scene import SCREEN, Scene
from sites.compute.drawing.sheet import sheet_of
from sites.compute.drawing.svg import page_svg
from sites.compute.geometry.rings import Box, number_text
from sites.compute.scale_bar import scale_bar
from sites.models import AttachedItem
from sites.models.choices import BarKind, Units
from sites.services.drawing_editor.draft import Draft
from sites.services.drawing_editor.panels import PANEL
from sites.services.drawing_editor.writing import written
from sites.services.shapes import NOT_TO_SCALE

# The drawing fills a room of about so many units; a unit is about a pixel.
ROOM: Final = (400.0, 560.0)
# Room beside the window for the knobs of its bars.
KNOB: Final = 26.0


@dataclass(frozen=True)
class Handle:
    """Something to take hold of. Places in units of the drawing, y downwards; `mm_…` as recorded.

    row: prefix of its boxes, such as `bar-3`. moves: "y", or "xy".
    """

    row: str
    kind: str
    moves: str
    name: str
    told: str
    x: str
    y: str
    mm_x: str
    mm_y: str
    d: str
    most: str = ""


@dataclass(frozen=True)
class Picture:
    """The drawing as SVG up to its closing tag, and the handles that stand on it."""

    svg: str
    handles: tuple[Handle, ...]
    mm_per_unit: str
    lights: int
    panels: int
    tracery: int
    glazed_m2: float
    remarks: tuple[str, ...]


def picture_of(
    draft: Draft, division: Division, rows: dict[str, str], units: str, label: str
) -> Picture:
    """Return the drawing of a draft. rows: prefixes of boxes by the keys of their records."""
    box = division.outline.ring.box
    unit = max(box.width / ROOM[0], box.height / ROOM[1])
    numbers = list(dict.fromkeys(cell.number for cell in division.cells))
    scene = draw(
        division,
        [Registered(number, number) for number in numbers],
        list(_attached(draft.items)),
        View(SCREEN, unit, to_scale=draft.to_scale),
    )
    bar = scale_bar(unit, box.width / unit / 2, units == Units.INCH) if draft.to_scale else None
    sheet = sheet_of(scene, bar)
    wider = replace(
        sheet,
        left=number_text(float(sheet.left) - KNOB),
        width=number_text(float(sheet.width) + 2 * KNOB),
    )
    tracery = {cell.number for cell in division.cells if cell.kind != PANEL}
    return Picture(
        svg=page_svg(wider, label, {}).removesuffix("</svg>"),
        handles=tuple(_Handles(scene, rows, units).all(draft, division)),
        mm_per_unit=f"{unit:.6f}",
        lights=len(division.lights),
        panels=len(numbers) - len(tracery),
        tracery=len(tracery),
        glazed_m2=division.glazed_area / 1e6,
        remarks=scene.remarks if draft.to_scale else (NOT_TO_SCALE, *scene.remarks),
    )


def _attached(items: Iterable[AttachedItem]) -> Iterable[Attached]:
    for item in items:
        if item.x_mm is not None and item.y_mm is not None:
            yield Attached(
                str(item.pk),
                item.number,
                None,
                float(item.width_mm) if item.width_mm else None,
                float(item.height_mm) if item.height_mm else None,
                float(item.x_mm),
                float(item.y_mm),
            )


class _Handles:
    """Makes the handles of a scene."""

    def __init__(self, scene: Scene, rows: dict[str, str], units: str) -> None:
        self.scene, self.rows, self.units = scene, rows, units
        self.unit = scene.mm_per_unit

    def all(self, draft: Draft, division: Division) -> Iterable[Handle]:
        """Tracery first, plaques on top of bars: what is smaller is taken hold of more easily."""
        for cell in division.cells:
            yield from self._tracery(
                draft, cell.number, cell.ring.path(scale=1 / self.unit, flip=True)
            )
        yield from self._bars(draft, division)
        for plate in self.scene.plates:
            if row := self.rows.get(plate.key):
                middle = plate.box.middle
                yield self._handle(
                    row, "plaque", plate.number, (middle.x, middle.y), self._rectangle(plate.box)
                )

    def _tracery(self, draft: Draft, number: str, d: str) -> Iterable[Handle]:
        for panel in draft.tracery:
            if panel.number == number and (row := self.rows.get(str(panel.pk))):
                at = (float(panel.x_mm or 0), float(panel.y_mm or 0))
                yield self._handle(row, "tracery", number, at, d)

    def _bars(self, draft: Draft, division: Division) -> Iterable[Handle]:
        kinds = {str(bar.pk): str(bar.get_kind_display()) for bar in draft.bars}
        box = division.outline.ring.box
        for key, name in kinds.items():
            parts = [bar for bar in division.bars if bar.key == key]
            if not parts or key not in self.rows:
                continue
            left = min(bar.x1 for bar in parts) / self.unit
            right = max(bar.x2 for bar in parts) / self.unit
            y = -parts[0].y / self.unit
            d = f"M{number_text(left)} {number_text(y)}H{number_text(right)}"
            away = (self.scene.hand.rim + KNOB / 2) * self.unit
            # Saddle bars are taken hold of on the left, so that knobs are not in each other's way.
            thin = parts[0].kind == BarKind.SADDLE_BAR
            edge = box.left - away if thin else box.right + away
            handle = self._handle(self.rows[key], "bar", name, (edge, parts[0].y), d)
            yield replace(handle, moves="y", most=f"{box.top:.0f}")

    def _handle(self, row: str, kind: str, name: str, at: tuple[float, float], d: str) -> Handle:
        x, y = at
        return Handle(
            row=row,
            kind=kind,
            moves="xy",
            name=name,
            told=written(y, self.units),
            x=number_text(x / self.unit),
            y=number_text(-y / self.unit),
            mm_x=f"{x:.2f}",
            mm_y=f"{y:.2f}",
            d=d,
        )

    def _rectangle(self, box: Box) -> str:
        left, top = number_text(box.left / self.unit), number_text(-box.top / self.unit)
        width, height = number_text(box.width / self.unit), number_text(box.height / self.unit)
        return f"M{left} {top}h{width}v{height}h-{width}Z"
