"""Pins on a drawing: each in its place, none on another."""

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from condition.compute.pins import RADII, place_pins

SIDES = st.floats(1, 600, allow_nan=False)


def test_one_pin_stands_in_the_middle_as_large_as_it_may_be():
    assert place_pins((50, 80), 100, 100, 1) == (RADII[0], [(50, 80)])


def test_two_stand_beside_each_other_where_there_is_width_and_above_where_there_is_not():
    _, beside = place_pins((50, 50), 100, 50, 2)
    _, above = place_pins((50, 50), 45, 100, 2)
    assert beside == [(29, 50), (71, 50)]
    assert above == [(50, 29), (50, 71)]


def test_they_grow_smaller_before_they_leave_the_part():
    radius, places = place_pins((30, 30), 60, 60, 4)
    assert radius == 14
    assert all(radius <= x <= 60 - radius and radius <= y <= 60 - radius for x, y in places)


@given(SIDES, SIDES, st.integers(1, 40))
def test_no_pin_lies_on_another_however_little_room_there_is(width, height, count):
    radius, places = place_pins((0, 0), width, height, count)
    assert radius in RADII
    assert len(places) == count
    for number, (x1, y1) in enumerate(places):
        assert all(hypot(x1 - x2, y1 - y2) >= 2 * radius for x2, y2 in places[:number])


def test_no_pins_at_all_are_refused():
    with pytest.raises(ValueError, match="0 pins"):
        place_pins((0, 0), 10, 10, 0)
