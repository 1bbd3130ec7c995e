"""Measurements that make an outline, and those that cannot, refused by name."""

import math

import pytest
from hypothesis import given

from sites.compute.geometry.outlines import OutlineError, OutlineSpec, outline_of
from tests.sites.geometry.shapes_at_random import specs


@given(specs())
def test_what_can_be_measured_is_drawn_to_its_measurements(spec):
    outline = outline_of(spec)
    if spec.shape not in ("foiled", "foiled in circle"):
        assert outline.ring.box.width == pytest.approx(spec.width, rel=1e-9)
        assert outline.ring.box.height == pytest.approx(spec.height, rel=1e-6)
    assert outline.guessed == ()


@pytest.mark.parametrize(
    ("spec", "field", "words"),
    [
        (OutlineSpec("rectangle", None, 900), "width", "missing"),
        (OutlineSpec("rectangle", -600, 900), "width", "above zero"),
        (OutlineSpec("rectangle", math.nan, 900), "width", "not a number"),
        (OutlineSpec("rectangle", 600, math.inf), "height", "between 1 mm and 60 m"),
        (OutlineSpec("rectangle", 600, 90_000), "height", "between 1 mm and 60 m"),
        (OutlineSpec("two-centred", 600, 900, springing=950), "springing", "not below the apex"),
        (OutlineSpec("two-centred", 600, 900, springing=900), "springing", "not below the apex"),
        (OutlineSpec("two-centred", 600, 900, springing=-1), "springing", "below the sill"),
        (
            OutlineSpec("two-centred", 600, 900, springing=700),
            "springing",
            "at least half its span",
        ),
        (OutlineSpec("segmental", 600, 900, springing=500), "springing", "at most half its span"),
        (OutlineSpec("semicircular", 600, 900, springing=500), "springing", "rises 300 mm"),
        (OutlineSpec("four-centred", 600, 900, 200.0), "springing", "rises from about"),
        (OutlineSpec("four-centred", 600, 900, 700.0, 400.0), "small_radius", "below 300 mm"),
        (OutlineSpec("foiled", 600, None), "foils", "from 3 to 8"),
        (OutlineSpec("foiled in circle", 600, None, foils=9), "foils", "not 9"),
        (OutlineSpec("vesica", 600, 500), "height", "at least as high as wide"),
        (OutlineSpec("points", None, None), "points", "at least three corners"),
        (
            OutlineSpec("points", None, None, points=((0, 0, 0), (9, 9, 0), (9, 0, 0), (0, 9, 0))),
            "points",
            "crosses itself",
        ),
        (
            OutlineSpec("points", None, None, points=((0, 0, 0), (0, 0, 0), (9, 0, 0))),
            "points",
            "the same",
        ),
        (
            OutlineSpec("points", None, None, points=((0, 0, math.nan), (9, 0, 0), (9, 9, 0))),
            "points",
            "60 m",
        ),
    ],
)
def test_what_cannot_be_is_refused_by_the_name_of_its_measurement(spec, field, words):
    with pytest.raises(OutlineError, match=words) as caught:
        outline_of(spec)
    assert caught.value.field == field


@pytest.mark.parametrize("shape", ["semicircular", "segmental", "two-centred", "four-centred"])
def test_a_missing_springing_is_guessed_and_said(shape):
    outline = outline_of(OutlineSpec(shape, 900, 2400))
    assert outline.ring.box.height == pytest.approx(2400)
    assert any("springing is not recorded" in words for words in outline.guessed)


@pytest.mark.parametrize("shape", ["semicircular", "segmental"])
@pytest.mark.parametrize("height", [300, 500, 900])
def test_a_low_opening_without_a_springing_keeps_its_height(shape, height):
    outline = outline_of(OutlineSpec(shape, 900, height))
    assert outline.ring.box.height == pytest.approx(height, rel=1e-6)


@pytest.mark.parametrize("shape", ["two-centred", "four-centred"])
def test_an_opening_too_low_for_its_head_is_refused_by_its_height(shape):
    with pytest.raises(OutlineError) as caught:
        outline_of(OutlineSpec(shape, 900, 100))
    assert caught.value.field == "height"


@pytest.mark.parametrize("tape", [-10, 10])
def test_a_round_head_taped_a_little_wrong_stands_between_its_jambs_and_says_so(tape):
    outline = outline_of(OutlineSpec("semicircular", 1000, 2000 + tape, springing=1500))
    assert outline.ring.box.width == pytest.approx(1000)
    assert outline.ring.box.height == pytest.approx(2000 + tape)
    assert outline.rise == pytest.approx(min(500 + tape, 500))
    assert any("by the tape" in words for words in outline.guessed)


def test_a_four_centred_head_takes_the_first_usual_radius_that_goes_with_its_rise():
    outline = outline_of(OutlineSpec("four-centred", 1000, 2420, springing=2000))
    assert outline.rise == pytest.approx(420)
    assert outline.guessed == ("The small radius is not recorded: 0.25 of the span is taken.",)


def test_corners_are_taken_either_way_round_and_stand_on_the_sill():
    clockwise = ((100, 500, 0), (100, 900, 0), (400, 900, 0), (400, 500, 0))
    outline = outline_of(OutlineSpec("points", None, None, points=clockwise))
    assert outline.ring.area == pytest.approx(300 * 400)
    assert (outline.ring.box.left, outline.ring.box.bottom) == (0, 0)


def test_an_unknown_head_is_drawn_square_and_says_so():
    outline = outline_of(OutlineSpec("other", 600, 900))
    assert outline.ring.area == 600 * 900
    assert outline.guessed


def test_corners_that_meet_again_are_refused():
    eight = ((0, 0, 0), (50, 50, 0), (100, 0, 0), (100, 100, 0), (50, 50, 0), (0, 100, 0))
    with pytest.raises(OutlineError, match="the same") as caught:
        outline_of(OutlineSpec("points", None, None, points=eight))
    assert caught.value.field == "points"


@pytest.mark.parametrize(("radius", "rise"), [(250, 300), (250, 260), (100, 300), (400, 420)])
def test_a_flat_four_centred_head_turns_its_small_arcs_as_far_as_it_must(radius, rise):
    spec = OutlineSpec("four-centred", 1000, 2000 + rise, 2000, small_radius=radius)
    assert outline_of(spec).rise == pytest.approx(rise)


def test_a_four_centred_head_lower_than_its_small_radius_is_refused():
    spec = OutlineSpec("four-centred", 1000, 2200, 2000, small_radius=250)
    with pytest.raises(OutlineError, match="rises from 25") as refused:
        outline_of(spec)
    assert refused.value.field == "small_radius"
