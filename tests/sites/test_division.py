"""Openings divided into lights, panels and tracery; and what cannot be divided so."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.division import BarSpec, OpeningSpec, TracerySpec, divide
from sites.compute.geometry.outlines import OutlineError, OutlineSpec
from sites.compute.tracery import lay_out_tracery
from tests.properties import examples
from tests.sites.geometry.shapes_at_random import specs

FOUR_LIGHTS = OpeningSpec(
    OutlineSpec("two-centred", 2400, 4200, springing=2300),
    lights=4,
    mullion=100,
    light_head="two-centred",
    light_springing=2200,
    bars=tuple(BarSpec(str(n), "T-bar", n * 500.0) for n in range(1, 5)),
)


def with_heights(*heights: float) -> OpeningSpec:
    bars = tuple(BarSpec(str(n), "division bar", y) for n, y in enumerate(heights))
    return OpeningSpec(OutlineSpec("rectangle", 1200, 1800), lights=2, mullion=80, bars=bars)


@examples(300)
@given(specs(), st.integers(1, 4), st.lists(st.floats(0.05, 0.95), max_size=5))
def test_the_panels_make_the_glazed_area(outline, lights, shares):
    top = divide(OpeningSpec(outline)).outline.ring.box.top
    bars = tuple(BarSpec(str(n), "T-bar", share * top) for n, share in enumerate(shares))
    division = divide(OpeningSpec(outline, lights=lights, bars=bars))
    total = sum(cell.ring.area for cell in division.cells)
    assert total == pytest.approx(division.glazed_area, rel=1e-6)
    assert total <= division.outline.ring.area * (1 + 1e-9)


def test_panels_are_numbered_by_row_from_the_sill_and_light_from_the_left():
    division = divide(FOUR_LIGHTS)
    numbers = [cell.number for cell in division.cells]
    assert numbers == [f"{row}{light}" for row in range(1, 6) for light in "abcd"]
    assert division.cells[0].ring.box.height == pytest.approx(500)


def test_saddle_bars_cross_without_parting_panels():
    spec = OpeningSpec(OutlineSpec("rectangle", 600, 1800), bars=(BarSpec("s", "saddle bar", 450),))
    division = divide(spec)
    assert [cell.number for cell in division.cells] == ["1a"]
    assert [(bar.x1, bar.x2, bar.y) for bar in division.bars] == [(0, 600, 450)]


def test_a_bar_of_one_light_parts_that_light_alone():
    spec = replace(
        with_heights(600), bars=(BarSpec("a", "T-bar", 600), BarSpec("b", "T-bar", 1200, light=2))
    )
    numbers = [cell.number for cell in divide(spec).cells]
    assert numbers == ["1a", "1b", "2a", "2b", "3b"]


def test_rows_come_from_recorded_heights_where_there_is_no_bar():
    spec = replace(with_heights(), row_heights=(600.0, 600.0, 600.0))
    assert len(divide(spec).cells) == 6


def test_uneven_lights_keep_their_widths():
    spec = replace(with_heights(), light_widths=(500, 620))
    assert [(light.left, light.right) for light in divide(spec).lights] == [(0, 500), (580, 1200)]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"light_widths": (700, 620)}, "light_widths", "room for 1120 mm"),
        ({"light_widths": (600,)}, "light_widths", "give one for each"),
        ({"light_widths": (600, -5)}, "light_widths", "above zero"),
        ({"mullion": 1300}, "mullion", "leave no glass"),
        ({"mullion": -1}, "mullion", "above zero"),
        ({"lights": 0}, "lights", "from 1 to 40"),
        ({"bars": (BarSpec("x", "T-bar", 1900),)}, "bars", "above the apex"),
        ({"bars": (BarSpec("x", "T-bar", -5),)}, "bars", "below the sill"),
        ({"bars": (BarSpec("x", "T-bar", 50, 3),)}, "bars", "no light 3"),
        ({"light_head": "roundel"}, "light_head", "square, round"),
        ({"light_head": "two-centred", "light_springing": 1900}, "light_springing", "no more than"),
        ({"light_head": "two-centred", "light_springing": 1700}, "light_springing", "spring lower"),
        (
            {"tracery": (TracerySpec("k", "A1", "roundel", 300, 300, 5000, 900),)},
            "tracery",
            "outside the opening",
        ),
        ({"tracery": (TracerySpec("k", "A1", "foiled", 300, 300, 600, 900),)}, "tracery", "foils"),
    ],
)
def test_what_cannot_be_divided_so_is_refused_by_name(change, field, words):
    with pytest.raises(OutlineError, match=words) as caught:
        divide(replace(with_heights(), **change))
    assert caught.value.field == field


def test_tracery_over_a_light_is_drawn_and_said():
    spec = replace(FOUR_LIGHTS, tracery=(TracerySpec("k", "A1", "roundel", 300, 300, 1200, 2000),))
    assert any("A1 overlaps light" in words for words in divide(spec).remarks)


@pytest.mark.parametrize("count", range(1, 10))
@pytest.mark.parametrize(
    "spec",
    [
        FOUR_LIGHTS,
        OpeningSpec(
            OutlineSpec("two-centred", 1730, 2700, springing=1750), 2, mullion=130,
            light_head="two-centred", light_springing=1750,
        ),
        OpeningSpec(
            OutlineSpec("semicircular", 2000, 3000, springing=2000), 3, mullion=90,
            light_head="semicircular", light_springing=1900,
        ),
        OpeningSpec(
            OutlineSpec("four-centred", 3000, 3600, springing=2600, small_radius=420),
            lights=5,
            mullion=90,
            light_head="segmental", light_springing=2400,
        ),
    ],
    ids=["pointed", "two lights", "round", "four-centred"],
)  # fmt: skip
def test_tracery_is_laid_out_symmetric_and_free_of_everything(spec, count):
    division = divide(spec)
    found = lay_out_tracery(division.outline, [light.ring for light in division.lights], count)
    assert found
    assert len(found) <= count
    axis = division.outline.ring.box.middle.x
    places = sorted((round(each.x - axis), round(each.y), round(each.width)) for each in found)
    assert places == sorted((-x, y, width) for x, y, width in places)
    drawn = divide(replace(spec, tracery=found))
    assert not [words for words in drawn.remarks if "overlaps" in words]
    assert len({each.number for each in found}) == len(found)


def test_tracery_is_numbered_by_rows_from_below():
    division = divide(FOUR_LIGHTS)
    found = lay_out_tracery(division.outline, [light.ring for light in division.lights], 5)
    assert [each.number for each in found] == ["A1", "A2", "B1", "B2", "C1"]
    assert found[0].x < found[1].x
    assert found[0].y < found[2].y < found[4].y


def test_two_bars_within_what_a_tape_tells_apart_cut_once():
    bars = tuple(BarSpec(str(n), "T-bar", height) for n, height in enumerate((500, 500.2)))
    division = divide(OpeningSpec(OutlineSpec("rectangle", 600, 1000), bars=bars))
    assert [cell.number for cell in division.cells] == ["1a", "2a"]
