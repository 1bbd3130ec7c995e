"""The drawing of an opening in the report: its panels, and a numbered pin for each finding."""

from collections.abc import Iterable
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.compute.pins import place_pins
from condition.documents.snapshot import Drawing, DrawnPart, Pin
from condition.models import Finding
from sites.compute.elevation import Box, Elevation, ItemShape, OpeningShape, PanelShape, draw
from sites.models import AttachedItem, Opening, Panel

# A pin of an attached item stands above it: the item itself is smaller than a pin.
ITEM_ROOM = (60.0, 44.0)


def drawing_of(
    opening: Opening, items: Iterable[AttachedItem], findings: Iterable[Finding]
) -> Drawing | None:
    """Return the drawing, seen from inside; None where nothing is known to draw from."""
    panels = list(opening.panels.all())
    if not panels and not (opening.width_mm and opening.height_mm):
        return None
    elevation = draw(
        OpeningShape(opening.head, opening.lights, _mm(opening.width_mm), _mm(opening.height_mm)),
        [_panel_shape(panel) for panel in panels],
        [_item_shape(item) for item in items],
    )
    found = list(findings)
    pins = _pins(elevation, found)
    return Drawing(
        width=_unit(elevation.width),
        height=_unit(elevation.height),
        outline=elevation.outline,
        mullions=[_unit(x) for x in elevation.divisions],
        mullions_from=_unit(elevation.mullions_from),
        panels=[_part(box, pins) for box in elevation.panels],
        items=[_part(box, pins) for box in elevation.items],
        pins=pins,
        caption=_caption(elevation, found, {pin.finding for pin in pins}),
        alt=_alt(opening, elevation, found),
    )


def _panel_shape(panel: Panel) -> PanelShape:
    return PanelShape(str(panel.pk), panel.number, _mm(panel.width_mm), _mm(panel.height_mm))


def _item_shape(item: AttachedItem) -> ItemShape:
    panel = str(item.panel_id) if item.panel_id else None
    return ItemShape(str(item.pk), item.number, panel, _mm(item.width_mm), _mm(item.height_mm))


def _pins(elevation: Elevation, findings: list[Finding]) -> list[Pin]:
    pins = []
    for box in elevation.panels:
        here = [each for each in findings if str(each.panel_id) == box.key]
        pins += _pins_on(box.label, box.label_room, box.height, here)
    for box in elevation.items:
        here = [each for each in findings if str(each.attached_item_id) == box.key]
        pins += _pins_on((box.middle[0], box.y - ITEM_ROOM[1] / 2), *ITEM_ROOM, here)
    return pins


def _pins_on(
    middle: tuple[float, float], width: float, height: float, findings: list[Finding]
) -> list[Pin]:
    if not findings:
        return []
    radius, places = place_pins(middle, width, height, len(findings))
    return [
        Pin(
            finding=finding.number,
            hazard=finding.hazard,
            x=_unit(x),
            y=_unit(y),
            # The number stands in the middle: a third of its size below the disc's own middle.
            foot=_unit(y + radius * 0.37),
            radius=_unit(radius),
            size=_unit(radius * (1.15 if finding.number < 100 else 0.9)),
        )
        for finding, (x, y) in zip(findings, places, strict=True)
    ]


def _part(box: Box, pins: list[Pin]) -> DrawnPart:
    pinned = any(_inside(pin, box) for pin in pins)
    return DrawnPart(
        number=box.number if box.has_room_for_its_number and not pinned else "",
        x=_unit(box.x),
        y=_unit(box.y),
        width=_unit(box.width),
        height=_unit(box.height),
        middle_x=_unit(box.label[0]),
        middle_y=_unit(box.label[1] + 6),
        radius_x=_unit(box.width / 2) if box.tracery else "",
        radius_y=_unit(box.height / 2) if box.tracery else "",
    )


def _inside(pin: Pin, box: Box) -> bool:
    x, y = float(pin.x), float(pin.y)
    return box.x <= x <= box.x + box.width and box.y <= y <= box.y + box.height


def _caption(elevation: Elevation, findings: list[Finding], pinned: set[int]) -> list[str]:
    """Whether the drawing is to scale, and what has no place on it."""
    lines = [_("To scale.") if elevation.to_scale else _("Not to scale: a size is not recorded.")]
    if elevation.unplaced:
        lines.append(_("Not drawn: panels %s.") % ", ".join(elevation.unplaced))
    rest = [str(each.number) for each in findings if each.number not in pinned]
    if rest:
        text = ngettext(
            "Finding %s has no one place on it.", "Findings %s have no one place on it.", len(rest)
        )
        lines.append(text % ", ".join(rest))
    return lines


def _alt(opening: Opening, elevation: Elevation, findings: list[Finding]) -> str:
    """The drawing in words: what is drawn, and on which part each finding's pin stands."""
    count = len(elevation.panels)
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


def _unit(value: float) -> str:
    """A length of the drawing as text, to a tenth of a unit: a snapshot holds no fractions."""
    return f"{value:.1f}".removesuffix(".0")


def _mm(length: Decimal | None) -> float | None:
    return float(length) if length is not None else None
