"""A panel's three sizes from the studio's figures, with the working of what is made."""

from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.quantities.came import expansion_mm
from sites.compute.sizes import Allowances, PanelSizes, Size, SizeError, panel_sizes
from sites.compute.working import Input, Working

MILLIONTH: Final = 1e-6
FORMULA: Final = (
    "rebate size = sight size + depth of the rebate at each edge in stone or frame; made size = "
    "rebate size − clearance at each of these edges + overlap at each edge on a bar"
)
SOURCE: Final = "common practice, no source"
TIGHT: Final = (
    "The clearance is less than the lead grows between frost and sun: a panel held tight at both "
    "ends bows. Give it more room."
)
CHECK: Final = "Take a template of the opening before anything is made to these sizes."


@dataclass(frozen=True)
class SizesTold:
    """The three sizes with their working; or none, and why not."""

    sizes: PanelSizes | None
    working: Working | None = None
    refused: str = ""


def sizes_told(
    sight: Size,
    figures: Figures,
    rebate_mm: float | None = None,
    foot_on_bar: bool = False,
    top_on_bar: bool = False,
) -> SizesTold:
    """Return a panel's three sizes from what is seen of it. Its sides stand in stone or frame.

    rebate_mm: how deep the rebate or groove is, None where nobody measured.
    foot_on_bar, top_on_bar: the edge ends on a bar that parts panels.

    The width and the height of a shaped panel are those of the box round it.

    Source: common practice, no source; the figures are the studio's.
    """
    depth = figures.number("sizes.rebate") if rebate_mm is None else rebate_mm
    overlap = figures.number("sizes.bar_overlap")
    allowances = Allowances(
        rebate_jamb=depth,
        rebate_sill=0.0 if foot_on_bar else depth,
        rebate_head=0.0 if top_on_bar else depth,
        clearance=figures.number("sizes.clearance"),
        overlap_foot=overlap if foot_on_bar else 0.0,
        overlap_head=overlap if top_on_bar else 0.0,
    )
    try:
        sizes = panel_sizes(sight, allowances)
    except SizeError as error:
        return SizesTold(None, refused=str(error))
    return SizesTold(sizes, _working(sizes, figures, rebate_mm, foot_on_bar + top_on_bar))


def _working(sizes: PanelSizes, figures: Figures, rebate_mm: float | None, on_bars: int) -> Working:
    made = sizes.made
    growth = expansion_mm(
        max(made.width, made.height),
        figures.number("sizes.warming"),
        figures.number("came.lead_expansion") * MILLIONTH,
    )
    grows, warming = figures["came.lead_expansion"], figures["sizes.warming"]
    inputs = (
        Input("sight size", _shown(sizes.sight), "computed"),
        figures.input("sizes.rebate")
        if rebate_mm is None
        else Input("depth of the rebate", f"{rebate_mm:g} mm", "measured"),
        figures.input("sizes.clearance"),
        figures.input("sizes.bar_overlap"),
        Input("edges on bars", f"{on_bars} of 4", "computed"),
        Input(
            "lead grows between frost and sun",
            f"{growth:.1f} mm",
            "computed",
            f"longest side × {grows.shown} × {warming.shown}",
        ),
    )
    room = 2 * figures.number("sizes.clearance")
    caution = f"{TIGHT} {CHECK}" if growth > room else CHECK
    return Working(FORMULA, inputs, f"made {_shown(made)}", SOURCE, caution)


def _shown(size: Size) -> str:
    return f"{size.width:.0f} × {size.height:.0f} mm"
