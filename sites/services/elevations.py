"""From the register's records to an elevation that can be drawn at any size."""

from collections.abc import Iterable
from decimal import Decimal

from sites.compute.drawing.elevation import Registered
from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.items import Attached
from sites.models import AttachedItem, Bar, Opening, Panel
from sites.services.shapes import division_of, is_measured


def elevation_of(
    opening: Opening,
    panels: Iterable[Panel] | None = None,
    items: Iterable[AttachedItem] | None = None,
    bars: Iterable[Bar] | None = None,
) -> Elevation:
    """Return the opening's elevation; the parts that the caller has read already are not read."""
    panels = list(opening.panels.all() if panels is None else panels)
    return Elevation(
        division=division_of(opening, panels, bars),
        panels=[Registered(str(panel.pk), panel.number) for panel in panels],
        items=[
            _attached(item) for item in (opening.attached_items.all() if items is None else items)
        ],
        to_scale=is_measured(opening),
    )


def _attached(item: AttachedItem) -> Attached:
    return Attached(
        key=str(item.pk),
        number=item.number,
        panel_key=str(item.panel_id) if item.panel_id else None,
        width_mm=_mm(item.width_mm),
        height_mm=_mm(item.height_mm),
        x_mm=_mm(item.x_mm),
        y_mm=_mm(item.y_mm),
    )


def _mm(length: Decimal | None) -> float | None:
    return float(length) if length is not None else None
