"""Ten openings drawn on the page and on paper: nothing over anything else, nothing cut."""

import re

import pytest

from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import Scene, overlap
from sites.compute.drawing.sheet import sheet_of
from sites.compute.drawing.svg import paper_svg
from sites.compute.geometry.rings import Box
from tests.sites.drawing.scenes import SPECS, badges, elevation, pins

ROOM = Room(56, 88)
NAMES = list(SPECS)


def on_page(name: str, from_outside: bool = False) -> Scene:
    made = elevation(name)
    return made.on_page(from_outside, badges(made))


def on_paper(name: str) -> Scene:
    made = elevation(name)
    return made.within(ROOM, pins(made))[0]


def lettered(scene: Scene) -> list[Box]:
    """All that must not lie on anything else: numbers with their badges, and pins."""
    labels = [part.label.box for part in (*scene.panes, *scene.plates) if part.label]
    return [*labels, *(pin.box for pin in scene.pins)]


def inside(inner: Box, outer: Box, air: float) -> bool:
    return (
        inner.left >= outer.left - air
        and inner.right <= outer.right + air
        and inner.bottom >= outer.bottom - air
        and inner.top <= outer.top + air
    )


@pytest.mark.parametrize("drawn", [on_page, on_paper])
@pytest.mark.parametrize("name", NAMES)
def test_no_number_lies_on_another_nor_on_a_pin(name, drawn):
    boxes = lettered(drawn(name))
    for place, box in enumerate(boxes):
        assert not any(overlap(box, other) for other in boxes[:place]), (name, box)


@pytest.mark.parametrize("name", NAMES)
def test_no_number_is_cut_by_the_edge_of_its_panel(name):
    for scene in (on_page(name), on_paper(name)):
        for pane in scene.panes:
            if pane.label is None or not pane.label.text:
                continue
            box = pane.label.box
            corners = [(x, y) for x in (box.left, box.right) for y in (box.bottom, box.top)]
            assert any(
                all(ring.contains(type(box.middle)(*corner)) for corner in corners)
                for ring in pane.rings
            ), (name, pane.number)


@pytest.mark.parametrize("name", NAMES)
def test_no_pin_lies_on_an_item(name):
    scene = on_paper(name)
    plates = [plate.box for plate in scene.plates if not plate.covers]
    assert len(scene.pins) == 12
    for pin in scene.pins:
        assert not any(overlap(pin.box, plate) for plate in plates), (name, pin)


@pytest.mark.parametrize("name", NAMES)
def test_danger_is_shown_however_small_its_panel(name):
    made = elevation(name)
    shown = {
        part.key: part.label.badge
        for part in (*on_page(name).panes, *on_page(name).plates)
        if part.label and part.label.badge
    }
    assert shown == badges(made)


@pytest.mark.parametrize("name", NAMES)
def test_from_outside_every_outline_is_mirrored_about_the_middle(name):
    seen, other = on_page(name), on_page(name, from_outside=True)
    axis = seen.outline.box.middle.x
    here = [seen.outline, *seen.lights, *(ring for pane in seen.panes for ring in pane.rings)]
    there = [other.outline, *other.lights, *(ring for pane in other.panes for ring in pane.rings)]
    boxes = [ring.box for ring in here] + [part.box for part in (*seen.bars, *seen.plates)]
    mirrored = [ring.box for ring in there] + [part.box for part in (*other.bars, *other.plates)]
    assert len(boxes) == len(mirrored)
    for box, across in zip(boxes, mirrored, strict=True):
        assert across.left == pytest.approx(2 * axis - box.right, abs=0.01)
        assert across.right == pytest.approx(2 * axis - box.left, abs=0.01)
        assert (across.bottom, across.top) == pytest.approx((box.bottom, box.top), abs=0.01)


@pytest.mark.parametrize("name", NAMES)
def test_lettering_is_never_mirrored(name):
    seen, other = sheet_of(on_page(name)), sheet_of(on_page(name, from_outside=True))
    words = sorted(mark.text for mark in seen.marks if mark.text)
    assert sorted(mark.text for mark in other.marks if mark.text) == words
    written = paper_svg(other, "")
    assert not re.search(r"<text[^>]*transform|scale\(-", written)


@pytest.mark.parametrize("name", NAMES)
def test_the_report_prints_it_at_the_largest_true_scale_that_fits(name):
    made = elevation(name)
    scene, scale = made.within(ROOM, pins(made))
    assert scale is not None
    assert scene.mm_per_unit == scale
    sheet = sheet_of(scene)
    assert float(sheet.width) <= ROOM.width
    assert float(sheet.height) <= ROOM.height


@pytest.mark.parametrize("name", NAMES)
def test_everything_drawn_lies_within_its_view(name):
    scene = on_paper(name)
    for box in [*lettered(scene), *(plate.box for plate in scene.plates)]:
        assert inside(box, scene.box, 0.5)
