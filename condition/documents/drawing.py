"""The drawing of an opening in the report: to scale, and a numbered pin for each finding."""

from collections.abc import Collection, Iterable, Sequence
from typing import Final

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.compute.stroke_drawing import Stroke, on_scene
from condition.documents.snapshot import Drawing, Pin
from condition.models import Finding
from sites.compute.drawing.pins import Wanted
from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import Scene
from sites.compute.drawing.sheet import Disc, sheet_of
from sites.compute.scale_bar import ScaleBar, scale_bar
from sites.models import AttachedItem, Opening
from sites.models.choices import Units
from sites.services.elevations import elevation_of

# Half a page's width, in millimetres of paper; a drawing not to scale needs less of it.
ROOM: Final = Room(82.0, 116.0)
ROOM_NOT_TO_SCALE: Final = Room(52.0, 76.0)


def drawing_of(
    opening: Opening,
    items: Iterable[AttachedItem],
    findings: Iterable[Finding],
    strokes: Sequence[Stroke] = (),
) -> Drawing | None:
    """Return the drawing, seen from inside; None where nothing is known to draw from.

    strokes: what is drawn on the elevation; a finding that is needs no pin, unless it is a
        danger: that has its dark disc in any case.
    """
    elevation = elevation_of(opening, items=items)
    if not elevation.panels and not elevation.to_scale:
        return None
    found = list(findings)
    drawn = {stroke.number for stroke in strokes}
    room = ROOM if elevation.to_scale else ROOM_NOT_TO_SCALE
    scene, scale = elevation.within(room, _pinned(found, drawn))
    sheet = sheet_of(scene, _bar(opening, scene))
    pins = [_pin(disc) for disc in sheet.pins]
    return Drawing(
        left=sheet.left,
        top=sheet.top,
        width=sheet.width,
        height=sheet.height,
        marks=[*sheet.marks, *on_scene(strokes, scene)],
        pins=pins,
        caption=_caption(scene, scale, found, {pin.finding for pin in pins} | drawn),
        alt=_alt(opening, scene, found),
    )


def _bar(opening: Opening, scene: Scene) -> ScaleBar | None:
    """A scale bar of at most half the opening's width, in the building's units."""
    if not scene.to_scale:
        return None
    width = scene.outline.box.width / scene.mm_per_unit
    return scale_bar(scene.mm_per_unit, width / 2, opening.building.units == Units.INCH)


def _pinned(findings: Iterable[Finding], drawn: Collection[int]) -> list[Wanted]:
    return [
        _wanted(finding) for finding in findings if finding.is_signed or finding.number not in drawn
    ]


def _wanted(finding: Finding) -> Wanted:
    subject = finding.attached_item_id or finding.panel_id
    return Wanted(str(subject or ""), str(finding.number), strong=finding.is_signed)


def _pin(disc: Disc) -> Pin:
    return Pin(
        finding=int(disc.text),
        hazard=disc.strong,
        x=disc.x,
        y=disc.y,
        radius=disc.radius,
        leader=disc.leader,
    )


def _caption(
    scene: Scene, scale: int | None, findings: list[Finding], pinned: set[int]
) -> list[str]:
    """At which scale it is drawn, and what has no place on it."""
    if scale is not None:
        lines = [f"1:{scale}."]
    elif scene.to_scale:
        lines = [_("In proportion, at no round scale: the opening is too large for one.")]
    else:
        lines = [_("Not to scale: a size is not recorded.")]
    if scene.unplaced:
        lines.append(_("Not drawn: panels %s.") % ", ".join(scene.unplaced))
    rest = [str(each.number) for each in findings if each.number not in pinned]
    if rest:
        text = ngettext(
            "Finding %s has no one place on it.", "Findings %s have no one place on it.", len(rest)
        )
        lines.append(text % ", ".join(rest))
    return lines


def _alt(opening: Opening, scene: Scene, findings: list[Finding]) -> str:
    """The drawing in words: what is drawn, and on which part each finding's pin stands."""
    count = sum(bool(pane.key) for pane in scene.panes)
    panels = ngettext("%d panel", "%d panels", count) % count
    start = _("Drawing of opening %(number)s seen from inside, %(panels)s.") % {
        "number": opening.number,
        "panels": panels,
    }
    places: dict[str, list[str]] = {}
    for finding in findings:
        places.setdefault(finding.subject_label, []).append(str(finding.number))
    told = "; ".join(
        _("%(place)s: finding %(numbers)s") % {"place": place, "numbers": ", ".join(numbers)}
        for place, numbers in places.items()
    )
    return f"{start} {told}." if told else start
