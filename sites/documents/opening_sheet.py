"""One opening on one sheet of paper at a true scale, for the bench and for the ladder."""

from dataclasses import dataclass
from datetime import date
from typing import Final

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.scales import PAPER_MM, Room, ScaleError, chosen
from sites.compute.drawing.sheet import sheet_of
from sites.compute.drawing.svg import paper_svg
from sites.compute.scale_bar import scale_bar
from sites.documents.characters import covered_by_our_fonts, printable
from sites.documents.words import day_words, language_of, locale_of
from sites.models import Opening
from sites.models.choices import Paper, Units

MARGIN_MM: Final = 14.0
# What stands above the drawing and below it: the title, and the line to check with a ruler.
HEAD_MM: Final = 27.0
FOOT_MM: Final = 27.0
RULER_MM: Final = 100


@dataclass(frozen=True)
class SheetOrder:
    """What a sheet is to show: which opening, how large, from which side, of which day."""

    opening: Opening
    elevation: Elevation
    scale: int | None
    from_outside: bool
    day: date


def rooms_of(paper: str) -> tuple[Room, Room]:
    """Return the room for a drawing on upright and on lying paper, in mm."""
    width, height = PAPER_MM[paper]
    return _room(width, height), _room(height, width)


def sheet_html(order: SheetOrder) -> tuple[str, int]:
    """Return the sheet as HTML, for the printer, and the scale it is drawn at.

    Without a scale asked for, the largest that fits. Raises ScaleError, in the user's words, for
    one that does not fit the building's paper or for an opening that is not measured.
    """
    building = order.opening.building
    with translation.override(language_of(building)):
        upright, lying = rooms_of(building.paper)
        scale = _scale(order, [upright, lying])
        width, height = order.elevation.size_at(scale)
        fits_upright = width <= upright.width and height <= upright.height
        context, _replaced = printable(
            _context(order, scale, lies=not fits_upright), covered_by_our_fonts()
        )
        return render_to_string("documents/opening_sheet.html", context), scale


def _scale(order: SheetOrder, rooms: list[Room]) -> int:
    paper = order.opening.building.paper
    if not order.elevation.to_scale:
        raise ScaleError(
            _("Nothing can be drawn to scale: record the opening's width and height first."), ()
        )
    possible = order.elevation.possible_scales(*rooms)
    if order.scale is None and possible:
        return possible[0]
    return chosen(order.scale or 0, possible, paper)


def _context(order: SheetOrder, scale: int, lies: bool) -> dict[str, object]:
    opening, building = order.opening, order.opening.building
    scene = order.elevation.at_scale(scale, order.from_outside)
    inches = building.units == Units.INCH
    bar = scale_bar(scene.mm_per_unit, order.elevation.size_at(scale)[0] / 2, inches)
    side = _("seen from outside") if order.from_outside else _("seen from inside")
    title = f"{opening.number} {opening.title}".strip()
    alt = _("Elevation of opening %(number)s at 1:%(scale)d, %(side)s.") % {
        "number": opening.number,
        "scale": scale,
        "side": side,
    }
    return {
        "language_tag": locale_of(building).replace("_", "-"),
        "title": f"{title}, 1:{scale}",
        "number": opening.number,
        "subject": opening.title,
        "building": f"{building.name}, {building.place}",
        "studio": building.studio.name,
        "scale": f"1:{scale}",
        "side": side,
        "dated": order.day.isoformat(),
        "day": day_words(order.day, locale_of(building)),
        "page": f"{'letter' if building.paper == Paper.LETTER else 'a4'}-"
        f"{'lying' if lies else 'upright'}",
        "svg": paper_svg(sheet_of(scene, bar), alt),
        "ruler": RULER_MM,
        "remarks": [str(remark) for remark in scene.remarks],
        "unplaced": ", ".join(scene.unplaced),
    }


def _room(width: float, height: float) -> Room:
    return Room(width - 2 * MARGIN_MM, height - 2 * MARGIN_MM - HEAD_MM - FOOT_MM)
