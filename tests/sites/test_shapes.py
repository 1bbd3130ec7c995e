"""From the register's records to a division: what is recorded counts, the rest is said."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.geometry.outlines import OutlineError
from sites.compute.numbering import panel_grid
from sites.models import Bar, Opening, Panel
from sites.models.choices import BarKind, Head
from sites.services.shapes import (
    EVEN_ROWS,
    EVEN_TRACERY,
    NOT_TO_SCALE,
    TOO_HIGH,
    division_as_recorded,
    division_of,
    is_measured,
)
from tests.properties import examples


def opening(head: str = "rectangle", width=1000, height=2000, **fields) -> Opening:
    return Opening(number="nII", head=head, width_mm=_mm(width), height_mm=_mm(height), **fields)


def panels(*numbers: str, **sizes) -> list[Panel]:
    return [Panel(number=number, **sizes) for number in numbers]


def bar(height: float, kind: str = BarKind.DIVISION_BAR, light: int | None = None) -> Bar:
    return Bar(kind=kind, height_mm=_mm(height), light=light)


def _mm(length) -> Decimal | None:
    return None if length is None else Decimal(str(length))


def heights(division, letter: str = "a") -> list[float]:
    cells = [cell for cell in division.cells if cell.number.endswith(letter)]
    return [round(cell.ring.box.height, 3) for cell in cells]


def test_bars_that_part_panels_cut_the_rows():
    division = division_of(opening(), panels("1a", "2a"), [bar(600), bar(300, "saddle bar")])
    assert heights(division) == [600, 1400]


def test_without_such_bars_the_panels_own_heights_cut_the_rows():
    made = [*panels("1a", height_mm=_mm(400)), *panels("2a", height_mm=_mm(1600))]
    division = division_of(opening(), made, [])
    assert heights(division) == [400, 1600]
    assert division.remarks == ()


def test_heights_that_nearly_fill_the_light_are_stretched_over_it():
    made = [*panels("1a", height_mm=_mm(450)), *panels("2a", height_mm=_mm(1350))]
    assert heights(division_of(opening(), made, [])) == [500, 1500]


def test_rows_that_leave_much_empty_keep_their_size_for_others_are_missing():
    division = division_of(opening(), panels("1a", height_mm=_mm(400)), [])
    assert heights(division) == [400, 1600]


def test_one_unknown_height_makes_the_rows_even_and_says_so():
    made = [*panels("1a", height_mm=_mm(400)), *panels("2a")]
    division = division_of(opening(), made, [])
    assert heights(division) == [1000, 1000]
    assert EVEN_ROWS in division.remarks


def test_heights_that_cannot_be_true_together_are_shared_evenly_and_that_is_said():
    division = division_of(opening(), panels("1a", "2a", height_mm=_mm(1500)), [])
    assert heights(division) == [1000, 1000]
    assert TOO_HIGH in division.remarks


def test_a_letter_beyond_the_recorded_lights_widens_the_grid():
    division = division_of(opening(), panels("1a", "1b", "1c"), [])
    assert len(division.lights) == 3


def test_a_panel_lettered_beyond_the_counted_lights_is_listed_and_not_drawn():
    made = panels("1a", "1b", "1c", "1d", "6d")
    division = division_of(opening(lights=3), made, [])
    assert [cell.number for cell in division.cells] == ["1a", "1b", "1c"]
    assert any("3 lights" in told and told.endswith("1d, 6d.") for told in division.remarks)


def test_recorded_widths_of_lights_are_kept():
    uneven = opening(lights=2, light_widths_mm=[300, 600], mullion_mm=_mm(100))
    widths = [light.right - light.left for light in division_of(uneven, [], []).lights]
    assert widths == [300, 600]


@pytest.mark.parametrize("missing", ["width", "height"])
def test_without_one_of_its_sizes_it_is_not_measured_and_that_is_said(missing):
    bare = opening(**{missing: None})
    assert not is_measured(bare)
    assert division_of(bare, panels(*panel_grid(2, 3)), []).remarks[0] == NOT_TO_SCALE


def test_tracery_without_a_place_is_laid_out_in_the_head_above_the_lights():
    pointed = opening("two-centred", 1000, 3000, lights=2)
    division = division_of(pointed, panels("1a", "1b", "A1", "A2", "B1"), [])
    boxes = {cell.number: cell.ring.box for cell in division.cells if cell.kind == "tracery"}
    assert sorted(boxes) == ["A1", "A2", "B1"]
    assert boxes["A1"].middle.x < boxes["A2"].middle.x
    assert boxes["B1"].middle.y > boxes["A1"].middle.y
    assert EVEN_TRACERY in division.remarks
    assert not any("overlaps" in remark for remark in division.remarks)


def test_a_recorded_tracery_light_keeps_its_shape_and_its_place():
    pointed = opening("two-centred", 1000, 3000, springing_mm=_mm(2134))
    eye = Panel(
        number="A1",
        shape="roundel",
        width_mm=_mm(300),
        x_mm=_mm(500),
        y_mm=_mm(2500),
    )
    pointed.light_head, pointed.light_springing_mm = "rectangle", _mm(2000)
    division = division_of(pointed, [*panels("1a"), eye], [])
    box = next(cell for cell in division.cells if cell.number == "A1").ring.box
    assert (box.left, box.right, box.middle.y) == pytest.approx((350, 650, 2500))


def test_in_a_rose_all_between_the_tracery_lights_is_stone():
    rose = opening("roundel", 3000, 3000)
    around = [
        Panel(number=f"A{n}", shape="roundel", width_mm=_mm(600), x_mm=_mm(x), y_mm=_mm(1500))
        for n, x in ((1, 500), (2, 2500))
    ]
    division = division_of(rose, around, [])
    assert division.lights == ()
    assert division.glazed_area == pytest.approx(2 * 3.141592653589793 * 300**2)
    assert division.remarks == ()


def test_what_cannot_be_true_is_left_out_with_the_reason():
    wrong = opening("two-centred", 1000, 2000, springing_mm=_mm(2500))
    division = division_of(wrong, [], [])
    assert division.outline.ring.box.height == pytest.approx(2000)
    assert any("springing (2500 mm)" in remark for remark in division.remarks)
    with pytest.raises(OutlineError) as refused:
        division_as_recorded(wrong, [], [])
    assert refused.value.field == "springing"


@pytest.mark.parametrize(
    "wrong",
    [
        {"head": "two-centred", "width": 900, "height": 1200, "springing_mm": 1100},
        {"head": "semicircular", "width": 900, "height": 1000, "springing_mm": 900},
        {"head": "four-centred", "springing_mm": 300, "small_radius_mm": 700},
        {"head": "foiled", "width": 900, "height": None, "foils": 11},
        {"head": "points", "points": [[0, 0, 0]]},
        {"head": "vesica", "width": 900, "height": 400},
        {"head": "roundel", "width": 90_000, "height": 90_000},
        {"lights": 2, "light_widths_mm": [900, 900]},
        {"lights": 2, "head": "two-centred", "springing_mm": 900, "light_head": "two-centred",
         "light_springing_mm": 1900},
    ],
)  # fmt: skip
def test_what_is_refused_while_typing_is_drawn_more_simply_and_said(wrong):
    with pytest.raises(OutlineError):
        division_as_recorded(opening(**wrong), [], [])
    division = division_of(opening(**wrong), [], [])
    assert any("Drawn more simply" in remark for remark in division.remarks)
    total = sum(cell.ring.area for cell in division.cells)
    assert total == pytest.approx(division.glazed_area, rel=1e-6)
    assert total > 0


def test_one_bar_that_cannot_be_leaves_the_others():
    division = division_of(opening(), [], [bar(600), bar(5000)])
    assert heights(division) == [600, 1400]
    assert any("above the apex" in remark for remark in division.remarks)


LENGTHS = st.one_of(st.none(), st.integers(1, 90_000))
CORNERS = st.lists(st.lists(st.integers(-500, 500), min_size=0, max_size=4), max_size=5)


# A busy machine is not a fault of the drawing.
@examples(60)
@given(
    head=st.sampled_from(Head.values),
    light_head=st.sampled_from(["", *Head.values]),
    width=LENGTHS,
    height=LENGTHS,
    springing=LENGTHS,
    other=LENGTHS,
    lights=st.integers(1, 12),
    foils=st.one_of(st.none(), st.integers(3, 8)),
    corners=CORNERS,
    bar_at=st.lists(st.integers(1, 9000), max_size=3, unique=True),
    grid=st.tuples(st.integers(1, 6), st.integers(1, 8)),
    tracery=st.integers(0, 4),
)
def test_whatever_is_stored_something_is_drawn(
    head, light_head, width, height, springing, other, lights, foils, corners, bar_at, grid, tracery
):
    stored = opening(
        head,
        width,
        height,
        light_head=light_head,
        springing_mm=_mm(springing),
        small_radius_mm=_mm(other),
        light_springing_mm=_mm(springing),
        mullion_mm=_mm(other),
        lights=lights,
        foils=foils,
        points=corners,
        light_widths_mm=[other] * lights if other else [],
    )
    stated = panels(*panel_grid(*grid), *(f"A{n + 1}" for n in range(tracery)))
    if tracery:
        stated[-1].shape, stated[-1].x_mm, stated[-1].y_mm = head, _mm(width), _mm(height)
    division = division_of(stored, stated, [bar(at) for at in bar_at])
    assert division.outline.ring.area > 0
    assert division.cells
