"""Drawings of the register's records, made ready for their templates."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final
from uuid import UUID

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.scene import DANGER, Badge, Scene
from sites.compute.drawing.sheet import Sheet, sheet_of
from sites.compute.drawing.svg import Link, page_svg
from sites.compute.plaque import PlaqueDrawing, draw_plaque
from sites.compute.scale_bar import ScaleBar, scale_bar
from sites.documents.opening_sheet import rooms_of
from sites.hooks import Mark, Marks
from sites.models import AttachedItem, Opening, Panel
from sites.models.choices import Units
from sites.services.elevations import elevation_of

# The least side of what a thumb is to hit, in CSS pixels (WCAG 2.2, 2.5.5).
TOUCH_PX: Final = 44
WIDEST_PX: Final = 4000
MOST_SCALES: Final = 3


@dataclass(frozen=True)
class OpeningDrawing:
    """What `components/elevation.html` shows."""

    svg: SafeString
    remarks: tuple[str, ...]
    unplaced: tuple[str, ...]
    from_outside: bool
    scales: list[int]
    # How wide the drawing must be for its smallest panel to be a touch target.
    touch_width: int


@dataclass(frozen=True)
class ItemDrawing:
    """What `components/plaque.html` draws."""

    plaque: PlaqueDrawing
    bar: ScaleBar | None


def drawing_of(
    opening: Opening,
    panels: Iterable[Panel],
    items: Iterable[AttachedItem],
    marks: Marks,
    units: str,
    from_outside: bool,
) -> OpeningDrawing:
    """Return an opening's elevation with its marks, and a scale bar in the reader's units."""
    elevation = elevation_of(opening, panels, items)
    badges = {str(key): badge for key, mark in marks.items() if (badge := _badge(mark))}
    scene = elevation.on_page(from_outside, badges)
    sheet = sheet_of(scene, bar_under(scene, units))
    name = _("Elevation of %(number)s") % {"number": opening.number}
    return OpeningDrawing(
        # Written by an XML library, which escapes every text in it.
        svg=mark_safe(page_svg(sheet, name, _links(scene, marks))),
        remarks=scene.remarks,
        unplaced=scene.unplaced,
        from_outside=from_outside,
        scales=_scales(elevation, opening),
        touch_width=_touch_width(scene, sheet),
    )


def plaque_of(item: AttachedItem, units: str) -> ItemDrawing:
    """Return an item drawn with its inscription, and a scale bar in the reader's units."""
    plaque = draw_plaque(_mm(item.width_mm), _mm(item.height_mm), item.inscription)
    return ItemDrawing(plaque, _bar(plaque.mm_per_unit, plaque.width, units))


def bar_under(scene: Scene, units: str) -> ScaleBar | None:
    """Return the scale bar of a drawing, or None where it is not to scale."""
    width = scene.outline.box.width / scene.mm_per_unit
    return _bar(scene.mm_per_unit if scene.to_scale else None, width, units)


def _badge(mark: Mark) -> Badge | None:
    if mark.hazard:
        return Badge(DANGER)
    return None if mark.urgency is None else Badge("class", mark.urgency)


def _links(scene: Scene, marks: Marks) -> Mapping[str, Link]:
    links = {
        pane.key: _link("panel", _("Panel %s"), pane.key, pane.number, marks)
        for pane in scene.panes
        if pane.key
    }
    return links | {
        plate.key: _link("item", _("Attached item %s"), plate.key, plate.number, marks)
        for plate in scene.plates
    }


def _link(kind: str, name: str, key: str, number: str, marks: Marks) -> Link:
    mark = marks.get(UUID(key))
    said = [name % number]
    if mark and mark.hazard:
        said.append(_("danger"))
    if mark and mark.word:
        said.append(mark.word)
    title = f"{number}: {mark.word}" if mark and mark.word else number
    return Link(f"#{kind}-{key}", ", ".join(said), title, kind)


def _scales(elevation: Elevation, opening: Opening) -> list[int]:
    """The largest that fit; smaller ones can still be asked for by the address."""
    return elevation.possible_scales(*rooms_of(opening.building.paper))[:MOST_SCALES]


def _touch_width(scene: Scene, sheet: Sheet) -> int:
    sides = [
        min(ring.box.width, ring.box.height) / scene.mm_per_unit
        for pane in scene.panes
        if pane.key
        for ring in pane.rings
    ]
    least = min(sides, default=float(TOUCH_PX))
    return min(WIDEST_PX, round(float(sheet.width) * TOUCH_PX / max(least, 1.0)) + 1)


def _bar(mm_per_unit: float | None, width: float, units: str) -> ScaleBar | None:
    if mm_per_unit is None:
        return None
    return scale_bar(mm_per_unit, width / 2, inches=units == Units.INCH)


def _mm(length: Decimal | None) -> float | None:
    return float(length) if length is not None else None
