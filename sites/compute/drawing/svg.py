"""A drawing written as SVG: for pages with classes and links, for paper with a pen."""

import xml.etree.ElementTree as ET
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import Final

from sites.compute.drawing.sheet import BELOW_MIDDLE, Disc, Mark, Sheet
from sites.compute.drawing.signs import (
    QUARRY_BOX,
    QUARRY_EDGE,
    QUARRY_FILLS,
    SIGN_BOX,
    SIGN_DOT,
    SIGN_GROUND,
    SIGN_STROKE,
)
from sites.compute.geometry.rings import number_text

Pen = Mapping[str, Mapping[str, str]]

NAMESPACE: Final = "http://www.w3.org/2000/svg"
LEAD, INK, SOFT, RUBY = "#33312d", "#24221e", "#5c574e", "#9c1230"
STONE, STONE_EDGE, GLASS, METAL = "#e6e1d6", "#857f72", "#e4ecee", "#e6d293"
LETTERS = {"font-family": "Text", "text-anchor": "middle"}

# The layout library does not bring a page's style sheet into a drawing: on paper every mark
# carries its looks itself. Lengths are millimetres of paper; colours those of the screens.
PAPER_PEN: Final[Pen] = {
    "stone": {"fill": STONE, "stroke": STONE, "stroke-width": "3.2", "stroke-linejoin": "miter"},
    "glass": {"fill": GLASS},
    "pane": {"fill": GLASS, "stroke": LEAD, "stroke-width": "0.2", "stroke-linejoin": "round"},
    "edge": {"fill": "none", "stroke": LEAD, "stroke-width": "0.35"},
    "rim": {"fill": "none", "stroke": STONE_EDGE, "stroke-width": "0.15"},
    "saddle-bar": {"fill": GLASS, "stroke": LEAD, "stroke-width": "0.14"},
    "strong-bar": {"fill": LEAD},
    "plate": {"fill": METAL, "stroke": INK, "stroke-width": "0.2"},
    "cover": {
        "fill": "none",
        "stroke": INK,
        "stroke-width": "0.25",
        "stroke-dasharray": "1 0.6",
    },
    "number": {**LETTERS, "fill": SOFT},
    "item-number": {**LETTERS, "fill": INK},
    "scale-line": {"fill": "none", "stroke": INK, "stroke-width": "0.2"},
    "scale-words": {"font-family": "Text", "fill": INK},
    "damage-ground": {"fill": "#ffffff", "fill-opacity": "0.6"},
    "damage-hatch": {"fill": "none", "stroke": INK, "stroke-width": "0.18"},
    "damage-edge": {"fill": "none", "stroke": INK, "stroke-width": "0.35"},
    "damage-halo": {"fill": "none", "stroke": "#ffffff", "stroke-width": "1.1"},
    "damage-line": {"fill": "none", "stroke": INK, "stroke-width": "0.5"},
    "damage-plate": {"fill": "#ffffff", "stroke": INK, "stroke-width": "0.15"},
    "damage-letter": {**LETTERS, "font-weight": "700", "fill": INK},
    "leader": {"fill": "none", "stroke": INK, "stroke-width": "0.2"},
    "pin": {"fill": "#ffffff", "stroke": INK, "stroke-width": "0.25"},
    "pin-strong": {"fill": RUBY, "stroke": RUBY, "stroke-width": "0.25"},
    "pin-number": {**LETTERS, "font-weight": "700", "fill": INK},
    "pin-number-strong": {**LETTERS, "font-weight": "700", "fill": "#ffffff"},
    "quarry-edge": {"fill": "none", "stroke": INK, "stroke-width": "1.2"},
    "quarry-fill": {"fill": "#ab7a33"},
    "sign-ground": {"fill": "#f8c300", "stroke": "#161616", "stroke-width": "2.6"},
    "sign-mark": {"fill": "#161616"},
}


@dataclass(frozen=True)
class Link:
    """Where a part of the drawing leads, what it is called aloud, and what hovering shows."""

    href: str
    label: str
    title: str
    kind: str


def page_svg(sheet: Sheet, label: str, links: Mapping[str, Link]) -> str:
    """Return the drawing for a page: looks by class, each part of `links` a named link."""
    root = ET.Element(
        "svg",
        {"class": "elevation", "viewBox": _view_box(sheet), "role": "group", "aria-label": label},
    )
    _draw(root, sheet, None, links)
    return ET.tostring(root, encoding="unicode")


def paper_svg(sheet: Sheet, title: str, pen: Pen = PAPER_PEN) -> str:
    """Return the drawing for paper, one unit to a millimetre; `title` tells it in words."""
    root = ET.Element(
        "svg",
        {
            "xmlns": NAMESPACE,
            "width": f"{sheet.width}mm",
            "height": f"{sheet.height}mm",
            "viewBox": _view_box(sheet),
        },
    )
    ET.SubElement(root, "title").text = title
    _draw(root, sheet, pen, {})
    return ET.tostring(root, encoding="unicode")


def _view_box(sheet: Sheet) -> str:
    return f"{sheet.left} {sheet.top} {sheet.width} {sheet.height}"


def _draw(root: ET.Element, sheet: Sheet, pen: Pen | None, links: Mapping[str, Link]) -> None:
    for key, group in groupby(sheet.marks, key=lambda mark: mark.key):
        link = links.get(key)
        _draw_marks(_anchor(root, link) if link else root, group, pen)
    for disc in sheet.pins:
        if disc.leader:
            ET.SubElement(root, "path", {**_looks("leader", pen), "d": disc.leader})
    for disc in sheet.pins:
        _draw_disc(root, disc, pen)


def _anchor(root: ET.Element, link: Link) -> ET.Element:
    anchor = ET.SubElement(
        root,
        "a",
        {"class": f"elevation-{link.kind}", "href": link.href, "aria-label": link.label},
    )
    ET.SubElement(anchor, "title").text = link.title
    return anchor


def _draw_marks(parent: ET.Element, marks: Iterable[Mark], pen: Pen | None) -> None:
    for mark in marks:
        if mark.kind in ("sign", "quarry"):
            _draw_badge(parent, mark, pen)
        elif mark.text:
            text = ET.SubElement(
                parent,
                "text",
                {**_looks(mark.kind, pen), "x": mark.x, "y": mark.y, "font-size": mark.size},
            )
            text.text = mark.text
        else:
            ET.SubElement(parent, "path", {**_looks(mark.kind, pen), "d": mark.d})


def _draw_badge(parent: ET.Element, mark: Mark, pen: Pen | None) -> None:
    box = SIGN_BOX if mark.kind == "sign" else QUARRY_BOX
    scale = number_text(float(mark.size) / box[0])
    group = ET.SubElement(
        parent,
        "g",
        {"transform": f"translate({mark.x} {mark.y}) scale({scale})", "aria-hidden": "true"},
    )
    for kind, d in _badge_paths(mark):
        path = ET.SubElement(group, "path", {**_badge_looks(kind, pen), "d": d})
        if kind == "quarry-fill" and pen is None:
            path.set("data-level", str(mark.level))
    if mark.kind == "sign":
        dot = dict(zip(("cx", "cy", "r"), SIGN_DOT, strict=True))
        ET.SubElement(group, "circle", {**_badge_looks("sign-mark", pen), **dot})


def _badge_paths(mark: Mark) -> Iterator[tuple[str, str]]:
    if mark.kind == "sign":
        yield "sign-ground", SIGN_GROUND
        yield "sign-mark", SIGN_STROKE
    else:
        yield "quarry-fill", QUARRY_FILLS[max(0, min(3, mark.level))]
        yield "quarry-edge", QUARRY_EDGE


def _badge_looks(kind: str, pen: Pen | None) -> dict[str, str]:
    """On a page the badges look as they do in lists: by the same classes."""
    if pen is not None:
        return dict(pen[kind])
    width = {"stroke-width": "2.6"} if kind == "sign-ground" else {}
    return {"class": kind, **width}


def _draw_disc(root: ET.Element, disc: Disc, pen: Pen | None) -> None:
    strong = "-strong" if disc.strong else ""
    circle = {"cx": disc.x, "cy": disc.y, "r": disc.radius}
    ET.SubElement(root, "circle", {**_looks(f"pin{strong}", pen), **circle})
    size = float(disc.radius) * (1.15 if len(disc.text) < 3 else 0.85)
    y = number_text(float(disc.y) + BELOW_MIDDLE * size)
    place = {"x": disc.x, "y": y, "font-size": number_text(size)}
    ET.SubElement(root, "text", {**_looks(f"pin-number{strong}", pen), **place}).text = disc.text


def _looks(kind: str, pen: Pen | None) -> dict[str, str]:
    return {"class": f"elevation-{kind}"} if pen is None else dict(pen[kind])
