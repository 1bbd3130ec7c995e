"""Drawings of the register's records, made ready for their templates."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from uuid import UUID

from sites.compute.elevation import draw
from sites.compute.elevation_parts import (
    Box,
    Elevation,
    ItemShape,
    OpeningShape,
    PanelShape,
)
from sites.compute.plaque import PlaqueDrawing, draw_plaque
from sites.compute.scale_bar import ScaleBar, scale_bar
from sites.hooks import Mark, Marks
from sites.models import AttachedItem, Opening, Panel
from sites.models.choices import Units


@dataclass(frozen=True)
class MarkedBox:
    """A part of the drawing with the mark it carries."""

    box: Box
    mark: Mark | None


@dataclass(frozen=True)
class OpeningDrawing:
    """What `components/elevation.html` draws."""

    elevation: Elevation
    panels: list[MarkedBox]
    items: list[MarkedBox]
    bar: ScaleBar | None
    from_outside: bool

    @property
    def room_below(self) -> int:
        """Units of margin, and of the scale bar under the sill where there is one."""
        return 46 if self.bar else 24


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
    elevation = draw(
        OpeningShape(opening.head, opening.lights, _mm(opening.width_mm), _mm(opening.height_mm)),
        [PanelShape(str(p.pk), p.number, _mm(p.width_mm), _mm(p.height_mm)) for p in panels],
        [
            ItemShape(
                str(i.pk),
                i.number,
                str(i.panel_id) if i.panel_id else None,
                _mm(i.width_mm),
                _mm(i.height_mm),
            )
            for i in items
        ],
        from_outside,
    )
    return OpeningDrawing(
        elevation,
        [MarkedBox(box, marks.get(UUID(box.key))) for box in elevation.panels],
        [MarkedBox(box, marks.get(UUID(box.key))) for box in elevation.items],
        _bar(elevation.mm_per_unit, elevation.width, units),
        from_outside,
    )


def plaque_of(item: AttachedItem, units: str) -> ItemDrawing:
    """Return an item drawn with its inscription, and a scale bar in the reader's units."""
    plaque = draw_plaque(_mm(item.width_mm), _mm(item.height_mm), item.inscription)
    return ItemDrawing(plaque, _bar(plaque.mm_per_unit, plaque.width, units))


def _bar(mm_per_unit: float | None, width: float, units: str) -> ScaleBar | None:
    if mm_per_unit is None:
        return None
    return scale_bar(mm_per_unit, width / 2, inches=units == Units.INCH)


def _mm(length: Decimal | None) -> float | None:
    return float(length) if length is not None else None
