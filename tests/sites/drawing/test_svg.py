"""The drawing written as SVG: escaped, by class on a page, by the pen on paper."""

import re
import xml.etree.ElementTree as ET

import pytest

from sites.compute.drawing.pins import Wanted
from sites.compute.drawing.scene import DANGER, Badge
from sites.compute.drawing.sheet import Mark, Sheet, sheet_of
from sites.compute.drawing.svg import PAPER_PEN, Link, page_svg, paper_svg
from sites.compute.scale_bar import ScaleBar
from tests.sites.drawing.scenes import SPECS, badges, elevation

HOSTILE = "</text><script>alert(1)</script>"


def page(name: str, **links: Link) -> ET.Element:
    made = elevation(name)
    scene = made.on_page(badges=badges(made))
    named = {
        panel.key: Link(f"#{panel.key}", f"Panel {panel.number}", panel.number, "panel")
        for panel in made.panels
    }
    return ET.fromstring(page_svg(sheet_of(scene, ScaleBar(100, "1 m")), name, named | links))


def test_each_panel_of_a_page_is_a_named_link_in_their_order():
    links = list(page("two-centred").iter("a"))
    names = [link.get("aria-label") for link in links]
    assert names == [f"Panel {row}{light}" for row in (1, 2, 3) for light in "ab"]
    assert all(link.get("href").startswith("#key") for link in links)


def test_every_panel_s_outline_stands_in_its_own_link_once():
    for link in page("tracery").iter("a"):
        assert len([path for path in link.iter("path") if path.get("class") == "elevation-pane"])


@pytest.mark.parametrize("name", SPECS)
def test_a_page_s_drawing_has_no_style_and_no_script_in_it(name):
    written = ET.tostring(page(name), encoding="unicode")
    assert not re.search(r"\bstyle=|<script|\bon\w+=|<style", written)


def test_words_in_a_drawing_are_escaped():
    sheet = Sheet("0", "0", "9", "9", [Mark("number", text=HOSTILE, x="1", y="1", size="2")])
    link = Link('#"><script>', HOSTILE, HOSTILE, "panel")
    for written in (page_svg(sheet, HOSTILE, {"": link}), paper_svg(sheet, HOSTILE)):
        assert "<script>" not in written
        assert HOSTILE in "".join(ET.fromstring(written).itertext())


def test_on_paper_every_mark_carries_its_looks():
    made = elevation("tracery")
    pins = [Wanted(panel.key, str(n), n == 0) for n, panel in enumerate(made.panels)]
    scene = made.at_scale(20, pins=pins)
    written = ET.fromstring(paper_svg(sheet_of(scene, ScaleBar(50, "1 m")), "drawn"))
    drawn = [each for each in written.iter() if each.tag.split("}")[-1] in ("path", "text")]
    assert all(each.get("fill") for each in drawn)
    assert not any(each.get("class") for each in drawn)


def test_the_pen_has_looks_for_every_kind_of_mark():
    made = elevation("rectangle")
    marks = badges(made) | {made.panels[1].key: Badge(DANGER)}
    sheet = sheet_of(made.on_page(badges=marks), ScaleBar(100, "1 m"))
    kinds = {mark.kind for mark in sheet.marks} - {"sign", "quarry"}
    assert kinds <= set(PAPER_PEN)


def test_the_size_on_paper_is_that_of_the_view():
    made = elevation("rectangle")
    written = ET.fromstring(paper_svg(sheet_of(made.at_scale(20)), "drawn"))
    _, _, width, height = written.get("viewBox").split()
    assert (written.get("width"), written.get("height")) == (f"{width}mm", f"{height}mm")
