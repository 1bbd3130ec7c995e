"""The drawing of an opening: outline, panels by their numbers, items, and honesty about scale."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sites.compute.elevation import HIGHEST, WIDEST, draw
from sites.compute.elevation_parts import Elevation, ItemShape, OpeningShape, PanelShape
from sites.compute.numbering import panel_grid
from sites.compute.outline import half_width_at, head_rise, outline_path

TALL = OpeningShape("rectangle", lights=2, width_mm=1000, height_mm=2000)
HEADS = [
    "rectangle",
    "semicircular",
    "segmental",
    "two-centred",
    "four-centred",
    "roundel",
    "other",
]


def grid(lights: int, rows: int, **sizes: float) -> list[PanelShape]:
    return [PanelShape(number, number, **sizes) for number in panel_grid(lights, rows)]


def by_number(drawing: Elevation) -> dict[str, object]:
    return {box.number: box for box in drawing.panels}


@pytest.mark.published(
    "Euclid, Elements I.1: the equilateral triangle; its height is √3/2 of its side"
)
def test_an_equilateral_arch_rises_by_half_the_root_of_three():
    assert head_rise("two-centred", 1000, 3000) == pytest.approx(1000 * math.sqrt(3) / 2)


@pytest.mark.published(
    "Euclid, Elements I, definitions 17 and 18: a semicircle's radius is half its span"
)
def test_a_round_head_rises_by_half_its_span():
    assert head_rise("semicircular", 900, 3000) == 450


@pytest.mark.published("Euclid, Elements III.35: a² = f (2R - f) for half chord a and rise f")
def test_a_segmental_head_is_the_arc_of_its_rise():
    rise = head_rise("segmental", 1200, 3000)
    path = outline_path("segmental", 1200, 3000)
    radius = float(path.split("A")[1].split()[0])
    assert pytest.approx(rise * (2 * radius - rise), rel=1e-4) == 600**2


def test_the_sides_of_an_equilateral_arch_have_the_span_for_radius():
    assert "A1000 1000 0 0 1 500 0" in outline_path("two-centred", 1000, 3000)


def test_a_rectangle_is_drawn_with_four_straight_sides():
    assert outline_path("rectangle", 100, 200) == "M0 200V0H100V200Z"


def test_a_head_never_takes_more_than_most_of_the_height():
    assert head_rise("two-centred", 1000, 600) == pytest.approx(420)


@pytest.mark.parametrize("head", ["semicircular", "two-centred", "segmental", "four-centred"])
def test_an_arch_is_whole_at_the_springing_and_nothing_at_its_apex(head):
    rise = head_rise(head, 1000, 4000)
    assert half_width_at(head, 500, rise, 0) == pytest.approx(500)
    assert half_width_at(head, 500, rise, rise) == 0


def test_panel_1a_stands_at_the_foot_on_the_left_as_seen_from_inside():
    boxes = by_number(draw(TALL, grid(2, 3)))
    assert boxes["1a"].x == 0
    assert boxes["1a"].y > boxes["2a"].y > boxes["3a"].y
    assert boxes["1b"].x > boxes["1a"].x


def test_from_outside_left_and_right_change_places():
    inside, outside = draw(TALL, grid(2, 1)), draw(TALL, grid(2, 1), from_outside=True)
    a, b = by_number(inside), by_number(outside)
    assert b["1a"].x == pytest.approx(inside.width - a["1a"].width, abs=0.2)
    assert b["1b"].x == 0
    assert b["1a"].y == a["1a"].y


def test_a_measured_opening_is_drawn_to_scale():
    drawing = draw(TALL, [])
    assert drawing.to_scale
    assert drawing.width * drawing.mm_per_unit == pytest.approx(1000, rel=0.01)
    assert drawing.height * drawing.mm_per_unit == pytest.approx(2000, rel=0.01)
    assert not drawing.remarks


@pytest.mark.parametrize("missing", ["width_mm", "height_mm"])
def test_without_one_of_its_sizes_it_says_that_it_is_not_to_scale(missing):
    drawing = draw(replace(TALL, **{missing: None}), [])
    assert not drawing.to_scale
    assert drawing.remarks[0].startswith("Not to scale")


def test_recorded_panel_heights_are_kept_in_proportion():
    panels = [PanelShape("a", "1a", height_mm=400), PanelShape("b", "2a", height_mm=1600)]
    boxes = by_number(draw(replace(TALL, lights=1), panels))
    assert boxes["2a"].height == pytest.approx(4 * boxes["1a"].height, rel=0.01)


def test_rows_that_leave_much_empty_keep_their_size_for_others_are_missing():
    panels = [PanelShape("a", "1a", height_mm=400)]
    drawing = draw(replace(TALL, lights=1), panels)
    assert drawing.panels[0].height * drawing.mm_per_unit == pytest.approx(400, rel=0.01)


def test_one_unknown_height_makes_the_rows_even_and_says_so():
    panels = [PanelShape("a", "1a", height_mm=400), PanelShape("b", "2a")]
    drawing = draw(replace(TALL, lights=1), panels)
    assert drawing.panels[0].height == drawing.panels[1].height
    assert any("even height" in remark for remark in drawing.remarks)


def test_heights_that_cannot_be_true_together_are_shared_evenly():
    panels = [PanelShape("a", "1a", height_mm=1500), PanelShape("b", "2a", height_mm=1500)]
    boxes = draw(replace(TALL, lights=1), panels).panels
    assert boxes[0].height == boxes[1].height


def test_a_letter_beyond_the_recorded_lights_widens_the_grid():
    boxes = by_number(draw(replace(TALL, lights=1), grid(3, 1)))
    assert len({box.x for box in boxes.values()}) == 3


def test_tracery_stands_in_the_head_and_the_rows_below_it():
    opening = OpeningShape("two-centred", 2, 1000, 3000)
    tracery = [PanelShape(n, n) for n in ("A1", "A2", "B1")]
    drawing = draw(opening, [*grid(2, 2), *tracery])
    boxes = by_number(drawing)
    assert all(boxes[n].tracery for n in ("A1", "A2", "B1"))
    assert boxes["B1"].y < boxes["A1"].y < boxes["2a"].y
    assert boxes["A1"].x < boxes["A2"].x
    assert any("Tracery" in remark for remark in drawing.remarks)


def test_a_number_that_says_no_place_is_listed_and_not_drawn():
    drawing = draw(TALL, [PanelShape("k", "upper left"), *grid(2, 1)])
    assert drawing.unplaced == ("upper left",)
    assert len(drawing.panels) == 2


def test_a_plaque_is_drawn_to_scale_at_the_foot_of_its_panel():
    item = ItemShape("i", "P1", "1b", width_mm=200, height_mm=80)
    drawing = draw(TALL, grid(2, 2), [item])
    box, host = drawing.items[0], by_number(drawing)["1b"]
    assert box.width * drawing.mm_per_unit == pytest.approx(200, rel=0.02)
    assert host.x <= box.x
    assert box.x + box.width <= host.x + host.width
    assert host.y + host.height / 2 < box.y < host.y + host.height


def test_two_plaques_of_a_panel_stand_side_by_side():
    items = [ItemShape(n, n, "1a", 300, 100) for n in ("P1", "P2")]
    first, second = draw(TALL, grid(2, 2), items).items
    assert first.x + first.width <= second.x


def test_a_guard_over_the_window_is_drawn_first_and_as_an_outline():
    items = [ItemShape("p", "P1", "1a", 200, 80), ItemShape("g", "G1", None, 900, 1800)]
    first, second = draw(TALL, grid(2, 2), items).items
    assert (first.number, first.covers) == ("G1", True)
    assert (second.number, second.covers) == ("P1", False)


def test_an_item_of_no_panel_stands_at_the_foot_of_the_opening():
    drawing = draw(TALL, grid(2, 2), [ItemShape("i", "V1", None)])
    box = drawing.items[0]
    assert box.x + box.width / 2 == pytest.approx(drawing.width / 2, abs=0.2)
    assert box.y > drawing.height * 0.8


def test_under_an_arch_a_number_goes_where_the_glass_can_be_seen():
    opening = OpeningShape("two-centred", 2, 1000, 2000)
    drawing = draw(opening, grid(2, 4))
    box = by_number(drawing)["4a"]
    rise = head_rise("two-centred", drawing.width, drawing.height)
    half = half_width_at("two-centred", drawing.width / 2, rise, rise - box.label[1])
    assert box.label[0] > drawing.width / 2 - half
    assert box.label[0] > box.middle[0]


# A busy machine is not a fault of the drawing.
@settings(deadline=None)
@given(
    head=st.sampled_from(HEADS),
    lights=st.integers(1, 8),
    rows=st.integers(0, 12),
    width=st.one_of(st.none(), st.floats(100, 8000)),
    height=st.one_of(st.none(), st.floats(100, 15000)),
    tracery=st.integers(0, 6),
    outside=st.booleans(),
)
def test_everything_drawn_lies_within_the_opening(
    head, lights, rows, width, height, tracery, outside
):
    panels = grid(lights, rows) if rows else []
    panels += [PanelShape(f"t{n}", f"A{n + 1}") for n in range(tracery)]
    items = [ItemShape("p", "P1", "1a", 210, 90), ItemShape("q", "P2", None)]
    drawing = draw(OpeningShape(head, lights, width, height), panels, items, outside)
    assert 0 < drawing.width <= WIDEST + 0.1
    assert 0 < drawing.height <= HIGHEST + 0.1
    for box in (*drawing.panels, *drawing.items):
        assert -0.3 <= box.x <= box.x + box.width <= drawing.width + 0.3
        assert -0.3 <= box.y <= box.y + box.height <= drawing.height + 0.3
    assert len(drawing.panels) + len(drawing.unplaced) == len(panels)
