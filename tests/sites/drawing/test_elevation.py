"""What an elevation shows: each panel in its cell, bars, items at their place, what is missing."""

from dataclasses import replace

import pytest

from sites.compute.division import OpeningSpec, divide
from sites.compute.drawing.elevation import Registered
from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.items import NO_PLACE, NO_SIZE, Attached
from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import PAPER
from sites.compute.geometry.outlines import OutlineSpec
from tests.sites.drawing.scenes import ROSE, bars, elevation

TWO_LIGHTS = OpeningSpec(
    OutlineSpec("rectangle", 1000, 2000),
    lights=2,
    mullion=100,
    bars=bars(1000, kind="division bar") + bars(500),
)
ROOM = Room(50, 60)
PANELS = [Registered(number, number) for number in ("1a", "1b", "2a", "2b")]


def drawn(*items: Attached, panels=PANELS, spec=TWO_LIGHTS, **view):
    return Elevation(divide(spec), panels, items, to_scale=True).on_page(**view)


def by_number(scene):
    return {pane.number: pane.rings[0].box for pane in scene.panes}


def test_panel_1a_stands_at_the_foot_on_the_left_as_seen_from_inside():
    boxes = by_number(drawn())
    assert (boxes["1a"].left, boxes["1a"].bottom) == pytest.approx((0, 0))
    assert boxes["1b"].left == pytest.approx(550)
    assert boxes["2a"].bottom == pytest.approx(1000)


def test_panels_come_in_the_order_of_their_numbers_from_the_sill():
    scene = drawn(panels=list(reversed(PANELS)))
    assert [pane.number for pane in scene.panes] == ["1a", "1b", "2a", "2b"]


def test_a_panel_without_a_cell_is_listed_and_not_drawn():
    scene = drawn(panels=[*PANELS, Registered("x", "7a"), Registered("y", "upper left")])
    assert scene.unplaced == ("7a", "upper left")
    assert len(scene.panes) == 4


def test_glass_that_is_no_registered_panel_is_drawn_without_a_number():
    scene = drawn(panels=PANELS[:1])
    assert [pane.key for pane in scene.panes] == ["1a", "", "", ""]
    assert [bool(pane.label) for pane in scene.panes] == [True, False, False, False]


def test_a_saddle_bar_is_thin_and_a_division_bar_strong():
    thickness = {bar.kind: bar.box.height for bar in drawn().bars}
    assert thickness["saddle bar"] < thickness["division bar"]


def test_an_item_stands_at_its_recorded_place_in_its_recorded_size():
    (plate,) = drawn(Attached("i", "P1", "1a", 200, 80, x_mm=300, y_mm=700)).plates
    assert (plate.box.left, plate.box.right) == pytest.approx((200, 400))
    assert (plate.box.bottom, plate.box.top) == pytest.approx((660, 740))


def test_from_outside_an_item_changes_sides():
    item = Attached("i", "P1", "1a", 200, 80, x_mm=300, y_mm=700)
    (plate,) = drawn(item, from_outside=True).plates
    assert (plate.box.left, plate.box.right) == pytest.approx((600, 800))


def test_an_item_without_a_place_stands_at_the_foot_of_its_panel_and_that_is_said():
    scene = drawn(Attached("i", "P1", "1b", 200, 80))
    (plate,), host = scene.plates, by_number(scene)["1b"]
    assert host.left <= plate.box.left < plate.box.right <= host.right
    assert host.bottom < plate.box.bottom < host.bottom + host.height / 4
    assert NO_PLACE in scene.remarks
    assert NO_SIZE not in scene.remarks


def test_two_items_of_a_panel_stand_side_by_side():
    first, second = drawn(*(Attached(n, n, "1a", 300, 100) for n in ("P1", "P2"))).plates
    assert first.box.right <= second.box.left


def test_at_the_foot_of_a_vesica_an_item_rises_to_where_it_fits():
    spec = OpeningSpec(OutlineSpec("vesica", 800, 1200))
    panel = Registered("p", "1a")
    scene = drawn(Attached("i", "P1", "p", 260, 100), panels=[panel], spec=spec)
    box = scene.plates[0].box
    spans = scene.outline.widths_at(box.bottom)
    assert any(left <= box.left and box.right <= right for left, right in spans)


def test_a_guard_over_the_window_is_drawn_first_and_as_an_outline():
    items = [Attached("p", "P1", "1a", 200, 80), Attached("g", "G1", None, 900, 1800)]
    first, second = drawn(*items).plates
    assert (first.number, first.covers) == ("G1", True)
    assert (second.number, second.covers) == ("P1", False)


def test_an_item_without_a_size_is_drawn_of_a_usual_one_and_that_is_said():
    scene = drawn(Attached("v", "V1"))
    assert NO_SIZE in scene.remarks
    assert scene.plates[0].box.width > 0


def test_between_the_lights_of_a_rose_there_is_stone():
    scene = elevation("rose").on_page()
    assert [pane.number for pane in scene.panes] == [each.number for each in ROSE.tracery]
    assert scene.lights == ()


def test_a_drawing_that_is_not_to_scale_has_no_true_scale_and_fits_its_room():
    made = replace(elevation("rectangle"), to_scale=False)
    scene, scale = made.within(ROOM)
    assert scale is None
    assert scene.box.width / scene.mm_per_unit <= ROOM.width
    assert scene.hand == PAPER
