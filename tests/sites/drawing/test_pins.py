"""Pins on a drawing: each on its part, none on another, a leader where there is no room."""

from itertools import pairwise
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.drawing.pins import Wanted, place_pins, spread
from sites.compute.drawing.scene import PAPER, Pane, Plate
from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.compute.geometry.rings import Box, Ring

UNIT = 20.0


def rectangle(width: float, height: float) -> Ring:
    return outline_of(OutlineSpec("rectangle", width, height)).ring


def pane(width: float, height: float) -> Pane:
    return Pane("p", "1a", "panel", (rectangle(width, height),))


def placed(count: int, part: Pane, plates: tuple[Plate, ...] = (), key: str = "p"):
    wanted = [Wanted(key, str(n + 1)) for n in range(count)]
    return place_pins(wanted, [part], plates, [], part.rings[0], PAPER, UNIT)


def test_one_pin_stands_in_the_middle_as_large_as_it_may_be():
    (pin,) = placed(1, pane(600, 400))
    assert pin.at == pytest.approx((300, 200), abs=30)
    assert pin.radius == PAPER.pin_radii[0] * UNIT
    assert pin.tip is None


def test_they_grow_smaller_before_they_leave_the_part():
    # Two discs of the largest size need more than 150 mm; two of the smallest fit.
    pins = placed(2, pane(78, 145))
    assert pins[0].radius < PAPER.pin_radii[0] * UNIT
    assert all(pin.tip is None for pin in pins)


def test_a_pin_without_room_stands_outside_with_a_leader_into_its_part():
    part = pane(40, 40)
    (pin,) = placed(1, part)
    assert pin.tip is not None
    assert part.rings[0].contains(pin.tip)
    assert not part.rings[0].contains(pin.at)


def test_a_pin_of_an_item_stands_beside_it_with_a_leader_to_its_edge():
    plate = Plate("i", "P1", Box(200, 50, 400, 130))
    (pin,) = placed(1, pane(600, 400), (plate,), key="i")
    assert pin.at.y - pin.radius > plate.box.top
    assert pin.tip is not None
    assert pin.tip.y == plate.box.top


def test_two_pins_of_an_item_stand_beside_each_other():
    plate = Plate("i", "P1", Box(200, 150, 400, 230))
    one, other = placed(2, pane(600, 400), (plate,), key="i")
    assert hypot(one.at.x - other.at.x, one.at.y - other.at.y) >= one.radius + other.radius


def test_a_part_that_is_not_drawn_gets_no_pin():
    assert placed(3, pane(600, 400), key="elsewhere") == ()


@given(st.floats(20, 900), st.floats(20, 900), st.integers(1, 25))
def test_no_pin_lies_on_another_however_little_room_there_is(width, height, count):
    pins = placed(count, pane(width, height))
    assert [pin.text for pin in pins] == [str(n + 1) for n in range(count)]
    for place, pin in enumerate(pins):
        for other in pins[:place]:
            apart = hypot(pin.at.x - other.at.x, pin.at.y - other.at.y)
            assert apart >= pin.radius + other.radius - 1e-6


def test_heights_far_apart_stay_and_near_ones_are_moved_evenly():
    assert spread([100, 50], 10) == [100, 50]
    assert spread([52, 50, 48], 10) == [60, 50, 40]


@given(st.lists(st.floats(-1000, 1000), max_size=20), st.floats(1, 50))
def test_spread_heights_keep_their_order_and_their_distance(heights, step):
    heights = sorted(heights, reverse=True)
    moved = spread(heights, step)
    assert len(moved) == len(heights)
    for upper, lower in pairwise(moved):
        assert upper - lower >= step - 1e-6
