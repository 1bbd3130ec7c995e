"""Boards to draw on: a surface with its picture, the marks on it, their figures, their legend."""

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Final

from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from condition.compute.rectify.homography import RectifyError
from condition.compute.stroke_drawing import drawn as drawn_marks
from condition.compute.stroke_drawing import legend_sample, on_scene
from condition.compute.stroke_signs import Sign, label_of
from condition.compute.stroke_words import area_words, length_words, share_words
from condition.compute.strokes import StrokeError
from condition.models import Finding, FindingMark, Photograph
from condition.photo_urls import signed_url
from condition.services.extents import Offered, offers_on_elevation, offers_on_photograph
from condition.services.marks import (
    Figured,
    OpeningParts,
    figured_on_elevation,
    figured_on_photograph,
    signs_of,
    strokes_of,
)
from condition.services.rectifying import Measured, copy_of, limits_of, measured
from condition.services.surfaces import (
    ElevationSurface,
    PhotographSurface,
    StraightSurface,
    Surface,
)
from sites.compute.drawing.sheet import Mark, Sheet, sheet_of
from sites.compute.drawing.svg import page_svg
from sites.forms.fields import bare_unit_of
from sites.models import Opening
from sites.models.choices import Units
from sites.services.elevations import elevation_of
from sites.views.drawings import bar_under
from sites.web import AppRequest

# A photograph's letters, as a share of its longer side.
LETTER: Final = 1 / 34
SAMPLE: Final = (30.0, 18.0)
MOST_PHOTOGRAPHS: Final = 24


@dataclass(frozen=True)
class MarkRow:
    """A mark as a list shows it: what was computed of it, in the reader's units."""

    mark: FindingMark
    label: str
    stroke: str
    amount: str
    shares: str


@dataclass(frozen=True)
class LegendRow:
    """A sign with its sample, for the legend under a drawing."""

    letter: str
    word: str
    sample: SafeString


@dataclass(frozen=True)
class Board:
    """A surface as the page shows it; `svg` is empty where there is no picture to draw on."""

    surface: Surface
    svg: SafeString
    letter: float
    rows: list[MarkRow]
    legend: list[LegendRow]
    offers: list[Offered] = field(default_factory=list)
    remarks: tuple[str, ...] = ()
    sheet: Measured | None = None
    straight: bool = False
    from_outside: bool = False


def photographs_of(finding: Finding) -> list[Photograph]:
    """Return the finding's own photographs, those of its opening, and whatever it is drawn on."""
    rows = (
        Photograph.objects.filter(building=finding.survey.building)
        .filter(survey=finding.survey_id, opening=finding.opening_id)
        .with_renditions()
        .with_findings()
    )
    own = [each for each in rows if finding in each.findings.all()]
    views = [each for each in rows if not each.findings.all()]
    known = {each.pk for each in (*own, *views)}
    drawn_on = Photograph.objects.filter(marks__finding=finding).exclude(pk__in=known).distinct()
    return [*own, *drawn_on.with_renditions().with_findings(), *views][:MOST_PHOTOGRAPHS]


def board_of(
    request: AppRequest,
    finding: Finding,
    photograph: Photograph | None,
    *,
    marks: Sequence[FindingMark],
    drawn: Sequence[FindingMark],
    straight: bool,
    from_outside: bool,
) -> Board:
    """Return the board of a finding. marks: all it has here; drawn: those shown as they are."""
    units = request.user.units
    if photograph is None:
        board = elevation_board(finding.opening, drawn, units, from_outside)
        figured = figured_on_elevation(marks, _parts(board))
        offers = offers_on_elevation(finding, figured, _parts(board))
        return replace(board, rows=rows_of(figured, units), offers=offers)
    sheet = measured(photograph, limits_of(finding.survey.building.studio))
    try:
        figured = figured_on_photograph(marks, sheet)
        board = photograph_board(photograph, sheet if straight else None, drawn, units)
    except (RectifyError, StrokeError) as error:
        figured = figured_on_photograph(marks, None)
        board = photograph_board(photograph, None, drawn, units)
        board = replace(board, remarks=(str(error),))
        sheet = None
    offers = offers_on_photograph(finding, figured, photograph, sheet)
    return replace(board, rows=rows_of(figured, units), offers=offers, sheet=sheet)


def elevation_board(
    opening: Opening, marks: Iterable[FindingMark], units: str, from_outside: bool
) -> Board:
    """Return an opening's elevation with marks on it, mirrored where it is seen from outside."""
    elevation = elevation_of(opening)
    parts = OpeningParts(elevation)
    scene = elevation.on_page(from_outside)
    sheet = sheet_of(scene, bar_under(scene, units))
    strokes = strokes_of(marks)
    whole = replace(sheet, marks=[*sheet.marks, *on_scene(strokes, scene)])
    name = _("Elevation of %(number)s with what was found") % {"number": opening.number}
    return Board(
        surface=ElevationSurface.of(opening, parts, scene, bare_unit_of(units)),
        # Written by an XML library, which escapes every text in it.
        svg=mark_safe(page_svg(whole, name, {})),
        letter=scene.hand.number,
        rows=[],
        legend=legend_of(signs_of(strokes)),
        remarks=scene.remarks,
        from_outside=from_outside,
    )


def rows_of(figured: Iterable[Figured], units: str) -> list[MarkRow]:
    """Return marks in words. Their areas and lengths are in the reader's units."""
    inches = units == Units.INCH
    return [_row(each, inches) for each in figured]


def legend_of(signs: Iterable[Sign]) -> list[LegendRow]:
    return [LegendRow(sign.letter, _(sign.word), _sample(sign)) for sign in signs]


def _parts(board: Board) -> OpeningParts:
    surface = board.surface
    assert isinstance(surface, ElevationSurface)
    return surface.parts


def _row(each: Figured, inches: bool) -> MarkRow:
    amount = ""
    if each.mm is not None:
        amount = length_words(each.mm, inches)
    elif each.mm2 is not None:
        amount = area_words(each.mm2, inches)
    told = [
        _("%(share)s of panel %(number)s")
        % {"share": share_words(share.of_panel), "number": share.number}
        if share.of_panel is not None
        else _("in panel %s") % share.number
        for share in each.shares
    ]
    stroke = str(each.mark.get_stroke_display())
    label = label_of(each.sign, each.mark.finding.number)
    return MarkRow(each.mark, label, stroke, amount, ", ".join(told))


def photograph_board(
    photograph: Photograph, sheet: Measured | None, marks: Sequence[FindingMark], units: str
) -> Board:
    """Return a photograph, straightened where `sheet` is given, with marks on it.

    Raises RectifyError and StrokeError for marks that cannot be shown straightened.
    """
    copy = copy_of(photograph)
    width, height = (copy.width, copy.height) if copy else (photograph.width, photograph.height)
    surface = PhotographSurface.of(photograph, width, height)
    href = signed_url(photograph.pk, copy.size, photograph.building.studio_id) if copy else ""
    if sheet is not None:
        surface = StraightSurface.of(sheet, bare_unit_of(units))
        width, height = sheet.frame.width_px, sheet.frame.height_px
        if href:
            address = reverse("condition:photograph-rectified", args=[photograph.pk])
            href = f"{address}?at={sheet.scale.set_at.timestamp():.0f}"
    letter = max(width, height) * LETTER
    strokes = strokes_of(marks)
    shown = drawn_marks(strokes, surface.drawn, letter)
    name = _("The photograph with what was found marked on it")
    return Board(
        surface=surface,
        svg=mark_safe(_over_picture(href, width, height, shown, name)) if href else SafeString(),
        letter=letter,
        rows=[],
        legend=legend_of(signs_of(strokes)),
        sheet=sheet,
        straight=sheet is not None,
    )


def _over_picture(href: str, width: float, height: float, marks: list[Mark], name: str) -> str:
    plain = page_svg(Sheet("0", "0", str(width), str(height), marks), name, {})
    root = ET.fromstring(plain)
    picture = ET.Element("image", {"href": href, "width": str(width), "height": str(height)})
    root.insert(0, picture)
    return ET.tostring(root, encoding="unicode")


def _sample(sign: Sign) -> SafeString:
    width, height = SAMPLE
    sheet = Sheet("-1", "-1", str(width + 2), str(height + 2), legend_sample(sign, width, height))
    root = ET.fromstring(page_svg(sheet, "", {}))
    for name in ("role", "aria-label"):
        del root.attrib[name]
    root.set("aria-hidden", "true")
    root.set("class", "damage-sample")
    # Written by an XML library; nothing in it comes from outside.
    return mark_safe(ET.tostring(root, encoding="unicode"))
