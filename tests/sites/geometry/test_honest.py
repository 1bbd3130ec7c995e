"""Whatever is recorded, something can be drawn, and it says what was assumed."""

import math

import pytest

from sites.compute.division import BarSpec, OpeningSpec, TracerySpec, honest_division
from sites.compute.geometry.honest import honest_outline
from sites.compute.geometry.outlines import OutlineError, OutlineSpec, outline_of

IMPOSSIBLE = [
    OutlineSpec("two-centred", None, None),
    OutlineSpec("two-centred", 900, None, springing=5000),
    OutlineSpec("two-centred", 900, 1200, springing=1100),
    OutlineSpec("semicircular", 900, 1000, springing=900),
    OutlineSpec("four-centred", 1000, 1200, springing=300, small_radius=700),
    OutlineSpec("foiled", 900, None, foils=11),
    OutlineSpec("points", None, None, points=((0, 0, 0),)),
    OutlineSpec("vesica", 900, 400),
    OutlineSpec("rectangle", -5, math.nan),
    OutlineSpec("roundel", math.inf, 90_000),
]


@pytest.mark.parametrize("spec", IMPOSSIBLE)
def test_a_record_that_is_refused_is_still_drawn_and_said(spec: OutlineSpec):
    with pytest.raises(OutlineError):
        outline_of(spec)
    outline = honest_outline(spec)
    assert outline.ring.area > 0
    assert outline.guessed


def test_a_record_that_can_be_is_drawn_as_it_is():
    spec = OutlineSpec("segmental", 900, 2000, springing=1800)
    assert honest_outline(spec) == outline_of(spec)


def test_a_false_springing_is_left_out_and_the_head_kept():
    outline = honest_outline(OutlineSpec("two-centred", 900, 2400, springing=2500))
    assert outline.rise == pytest.approx(900 * math.sqrt(3) / 2)
    assert any("springing (2500 mm) is not below the apex" in words for words in outline.guessed)


@pytest.mark.parametrize(
    "wrong",
    [
        {"bars": (BarSpec("x", "T-bar", 9000),)},
        {"light_widths": (900.0, 900.0)},
        {"mullion": math.nan},
        {"lights": 90},
        {"light_head": "two-centred", "light_springing": 2100.0},
        {"light_head": "four-centred", "light_small_radius": 900.0},
        {"tracery": (TracerySpec("k", "A1", "roundel", 300, 300, math.nan, 900),)},
        {"row_heights": (500.0, -500.0)},
        {"outline": OutlineSpec("two-centred", None, None, springing=-7)},
    ],
)
def test_an_opening_that_is_refused_is_still_divided_and_said(wrong):
    known = {"outline": OutlineSpec("two-centred", 1200, 2600, springing=1700), "lights": 2}
    division = honest_division(OpeningSpec(**{**known, **wrong}))
    assert division.lights
    assert any("Drawn more simply" in words for words in division.remarks)
    total = sum(cell.ring.area for cell in division.cells)
    assert total == pytest.approx(division.glazed_area, rel=1e-6)
