"""Quantities of the register's panels: what is recorded, put before the computation."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from django.utils.translation import gettext as _

from sites.compute.division import Cell, Division
from sites.compute.figures import Figures
from sites.compute.geometry.outlines import OutlineError, OutlineSpec, outline_of
from sites.compute.geometry.rings import Ring
from sites.compute.numbering import panel_order
from sites.compute.quantities.border import is_rectangle, outline_from
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.joints import Joints, count_joints
from sites.compute.quantities.made import SizesTold, sizes_told
from sites.compute.quantities.net import LATTICE, Outline, PanelNet
from sites.compute.quantities.panel import PanelQuantities, quantities
from sites.compute.quantities.schedule import CameLength, SticksToBuy, sticks_to_buy
from sites.compute.sizes import Size
from sites.models import CameRun, Opening, Panel
from sites.models.choices import Head
from sites.services.came import run_of
from sites.services.shapes import division_of, is_measured

# A panel's own tape and its place in the drawing may differ by this much before it is told.
AGREES_WITHIN: Final = 0.05


@dataclass(frozen=True)
class PanelShape:
    """A panel's outline as its rings, and as the quantities take it.

    cells: its places in the opening, where it has been found there.
    """

    rings: tuple[Ring, ...]
    outline: Outline
    cells: tuple[Cell, ...] = ()


@dataclass(frozen=True)
class OpeningCame:
    """The came of a whole opening by profile; `left_out`: panels of which it is not known."""

    sticks: tuple[SticksToBuy, ...]
    panels: int
    left_out: tuple[str, ...]
    refused: str = ""


def quantities_of(
    panel: Panel, division: Division | None, figures: Figures, runs: Iterable[CameRun] | None = None
) -> PanelQuantities:
    """Return all that can be told of a panel, each figure with its working. Never raises.

    division: the opening's, or None to divide it here.
    runs: the panel's came with its profiles, where the caller has read it already.
    """
    shape = shape_of(panel, division)
    listed = panel.came_runs.select_related("profile") if runs is None else runs
    net = PanelNet(
        outline=shape.outline if shape else None,
        pieces=panel.pieces,
        crossings=panel.crossings,
        ringed=panel.ringed_pieces,
        plated=panel.plated_pieces,
        pattern=panel.pattern,
        glass_thickness_mm=_mm(panel.glass_thickness_mm),
        runs=tuple(run_of(run) for run in listed),
    )
    return quantities(net, figures)


def shape_of(panel: Panel, division: Division | None = None) -> PanelShape | None:
    """Return a panel's outline and where it comes from, or None where nothing tells it.

    Its place in the opening, where the opening is measured; a shape of its own; else its own width
    and height as a rectangle. A plain rectangle is as the panel itself was taped.
    """
    cells = _cells_of(panel, division)
    rings = tuple(cell.ring for cell in cells)
    taped = _taped(panel)
    if cells and not (taped and len(rings) == 1 and is_rectangle(rings[0])):
        outline = outline_from(rings, "computed", "")
        return PanelShape(rings, replace(outline, source=_cut_from(outline, panel)), cells)
    if not cells and (own := _own_shape(panel)):
        return own
    if taped is None:
        return None
    words = _("the panel's own width × height")
    if not cells:
        words = _("the panel's own width × height, taken as a rectangle")
    return PanelShape((taped,), outline_from([taped], "measured", words), cells)


def joints_of(panel: Panel) -> Joints | None:
    """Return a panel's joints, or None where its pieces are not counted or cannot be so many."""
    if panel.pieces is None:
        return None
    try:
        return count_joints(
            panel.pieces, panel.crossings, panel.ringed_pieces, lattice=panel.pattern == LATTICE
        )
    except QuantityError:
        return None


def sizes_of_panel(
    panel: Panel, shape: PanelShape | None, division: Division, figures: Figures
) -> SizesTold | None:
    """Return a panel's three sizes, or None where its place in the opening is not known."""
    if shape is None or not shape.cells:
        return None
    cell = shape.cells[0]
    rows = [each.row for each in division.cells if each.light == cell.light]
    panels = cell.kind == "panel"
    return sizes_told(
        Size(shape.outline.width_mm, shape.outline.height_mm),
        figures,
        rebate_mm=_mm(panel.opening.rebate_mm),
        foot_on_bar=panels and cell.row > min(rows),
        top_on_bar=panels and cell.row < max(rows),
    )


def came_of_opening(
    opening: Opening, panels: Sequence[Panel], figures: Figures, division: Division | None = None
) -> OpeningCame:
    """Return the came of an opening's panels by profile, with the sticks to buy.

    panels: of the opening, with `came_runs` and their profiles prefetched for speed.
    division: the opening's, where the caller has it already.
    """
    division = division or division_of(opening, panels)
    lines: list[CameLength] = []
    left_out = []
    for panel in panels:
        told = quantities_of(panel, division, figures, panel.came_runs.all())
        if told.mass is None:
            left_out.append(panel.number)
        else:
            lines += told.came
    try:
        sticks = tuple(sticks_to_buy(lines, figures))
    except QuantityError as error:
        return OpeningCame((), len(panels), tuple(left_out), str(error))
    return OpeningCame(sticks, len(panels), tuple(left_out))


def _cells_of(panel: Panel, division: Division | None) -> tuple[Cell, ...]:
    """A panel's places in its opening; none where the opening is drawn from usual sizes."""
    if not is_measured(panel.opening):
        return ()
    order = panel_order(panel.number)
    cells = (division or division_of(panel.opening)).cells
    return tuple(cell for cell in cells if panel_order(cell.number) == order)


def _cut_from(outline: Outline, panel: Panel) -> str:
    if panel.shape:
        return _("its own outline, as recorded")
    if panel.width_mm is None or panel.height_mm is None:
        return _("cut from the outline of its opening")
    if _near(outline.width_mm, panel.width_mm) and _near(outline.height_mm, panel.height_mm):
        return _("cut from the outline of its opening")
    return _(
        "cut from the outline of its opening, %(drawn)s mm; but taped as %(taped)s mm: one of "
        "them is to be looked at"
    ) % {
        "drawn": f"{outline.width_mm:.0f} × {outline.height_mm:.0f}",
        "taped": f"{panel.width_mm:.0f} × {panel.height_mm:.0f}",
    }


def _near(drawn: float, taped: Decimal) -> bool:
    return abs(drawn - float(taped)) <= AGREES_WITHIN * float(taped)


def _own_shape(panel: Panel) -> PanelShape | None:
    """A tracery light that has an outline but no place yet."""
    if not panel.shape or panel.shape == Head.OTHER:
        return None
    spec = OutlineSpec(
        shape=panel.shape,
        width=_mm(panel.width_mm),
        height=_mm(panel.height_mm),
        foils=panel.foils,
        points=tuple((x, y, bulge) for x, y, bulge in panel.points),
    )
    try:
        ring = outline_of(spec).ring
    except OutlineError:
        return None
    words = _("its own outline, as recorded")
    return PanelShape((ring,), outline_from([ring], "computed", words))


def _taped(panel: Panel) -> Ring | None:
    if panel.width_mm is None or panel.height_mm is None:
        return None
    width, height = _mm(panel.width_mm), _mm(panel.height_mm)
    return outline_of(OutlineSpec(shape=Head.RECTANGLE, width=width, height=height)).ring


def _mm(number: Decimal | None) -> float | None:
    return float(number) if number is not None else None
