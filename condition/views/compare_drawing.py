"""One opening drawn twice, at two surveys: numbered pins, each with the mark of its state."""

import xml.etree.ElementTree as ET
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.compute.comparing import State
from condition.compute.state_marks import BOX, SHAPES
from condition.models import Finding, Survey
from condition.services.comparing import Comparison, Row
from sites.compute.drawing.pins import Wanted
from sites.compute.drawing.sheet import BELOW_MIDDLE, Disc, sheet_of
from sites.compute.drawing.signs import (
    SIGN_BOX,
    SIGN_DOT,
    SIGN_GROUND,
    SIGN_STROKE,
)
from sites.compute.drawing.svg import page_svg
from sites.compute.geometry.rings import number_text
from sites.models import Opening
from sites.services.elevations import elevation_of
from sites.views.drawings import bar_under

# The mark of a state stands at the upper right of its pin, this many radii from the middle.
MARK_AWAY: Final = 0.95
MARK_SIZE: Final = 1.15


@dataclass(frozen=True)
class ComparedDrawing:
    """One of the two drawings; `without_place` numbers the findings it has no pin for."""

    svg: SafeString
    count: int
    without_place: str


@dataclass(frozen=True)
class ComparedOpening:
    """The two drawings of an opening; `svg` is empty where nothing is known to draw from."""

    opening: Opening
    before: Survey
    earlier: ComparedDrawing
    later: ComparedDrawing


def draw_both(
    opening: Opening, rows: Sequence[Row], comparison: Comparison, units: str
) -> ComparedOpening:
    """Return the opening as each survey found it. rows: the comparison's rows of this opening.

    Of the earlier findings those of the survey that the opening is compared with.
    """
    elevation = elevation_of(opening)
    before = comparison.before.get(opening.pk, comparison.earlier)

    def then(row: Row) -> Finding | None:
        return row.earlier if row.earlier and row.earlier.survey_id == before.pk else None

    def drawn(of: Callable[[Row], Finding | None], name: str) -> ComparedDrawing:
        found = [(finding, row.state) for row in rows if (finding := of(row))]
        found.sort(key=lambda pair: pair[0].number)
        if not elevation.panels and not elevation.to_scale:
            return ComparedDrawing(SafeString(), len(found), "")
        scene = elevation.on_page(pins=[_wanted(finding) for finding, _state in found])
        sheet = sheet_of(scene, bar_under(scene, units))
        states = {str(finding.number): state for finding, state in found}
        plain = page_svg(replace(sheet, pins=[]), _told(name, found), {})
        # Written by an XML library, which escapes every text in it.
        svg = mark_safe(_with_pins(plain, sheet.pins, states))
        pinned = {disc.text for disc in sheet.pins}
        rest = [number for number in states if number not in pinned]
        return ComparedDrawing(svg, len(found), ", ".join(rest))

    return ComparedOpening(
        opening,
        before,
        drawn(then, _name(opening, before.day.year)),
        drawn(lambda row: row.later, _name(opening, comparison.later.day.year)),
    )


def _name(opening: Opening, year: int) -> str:
    return _("%(number)s in %(year)d") % {"number": opening.number, "year": year}


def _told(name: str, found: Sequence[tuple[Finding, State]]) -> str:
    """The drawing in words; the list beside it says the rest."""
    count = ngettext("%d finding", "%d findings", len(found)) % len(found)
    return _("Elevation of %(name)s: %(count)s") % {"name": name, "count": count}


def _wanted(finding: Finding) -> Wanted:
    subject = finding.attached_item_id or finding.panel_id
    return Wanted(str(subject or ""), str(finding.number), strong=finding.hazard)


def _with_pins(plain: str, pins: Iterable[Disc], states: dict[str, State]) -> str:
    root = ET.fromstring(plain)
    discs = list(pins)
    for disc in discs:
        if disc.leader:
            ET.SubElement(root, "path", {"class": "compare-leader", "d": disc.leader})
    for disc in discs:
        _draw_pin(root, disc, states[disc.text])
    return ET.tostring(root, encoding="unicode")


def _draw_pin(root: ET.Element, disc: Disc, state: State) -> None:
    group = ET.SubElement(root, "g", {"class": "compare-pin", "data-state": state.value})
    if disc.strong:
        group.set("data-hazard", "")
    x, y, radius = float(disc.x), float(disc.y), float(disc.radius)
    circle = {"class": "compare-pin-disc", "cx": disc.x, "cy": disc.y, "r": disc.radius}
    ET.SubElement(group, "circle", circle)
    size = radius * (1.15 if len(disc.text) < 3 else 0.85)
    text = {"x": disc.x, "y": number_text(y + BELOW_MIDDLE * size), "font-size": number_text(size)}
    ET.SubElement(group, "text", text).text = disc.text
    side = radius * MARK_SIZE
    left, top = x + radius * MARK_AWAY - side / 2, y - radius * MARK_AWAY - side / 2
    place = f"translate({number_text(left)} {number_text(top)}) scale({side / BOX:.4f})"
    mark = ET.SubElement(group, "g", {"class": "compare-pin-mark", "transform": place})
    ET.SubElement(mark, "rect", {"width": str(BOX), "height": str(BOX), "rx": "2"})
    ET.SubElement(mark, "path", {"d": SHAPES[state]})
    if disc.strong:
        _draw_sign(group, x - radius * MARK_AWAY, y - radius * MARK_AWAY, side)


def _draw_sign(group: ET.Element, x: float, y: float, side: float) -> None:
    """The warning sign at the upper left of a pin: danger is not told by a colour alone."""
    scale = side / SIGN_BOX[0]
    left, top = number_text(x - side / 2), number_text(y - SIGN_BOX[1] * scale / 2)
    place = f"translate({left} {top}) scale({scale:.4f})"
    sign = ET.SubElement(group, "g", {"transform": place, "aria-hidden": "true"})
    ET.SubElement(sign, "path", {"class": "sign-ground", "stroke-width": "2.6", "d": SIGN_GROUND})
    ET.SubElement(sign, "path", {"class": "sign-mark", "d": SIGN_STROKE})
    dot = dict(zip(("cx", "cy", "r"), SIGN_DOT, strict=True))
    ET.SubElement(sign, "circle", {"class": "sign-mark", **dot})
