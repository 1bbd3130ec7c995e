"""Where a number goes: inside its outline, clear of what was there before."""

from io import BytesIO

import pytest
from fontTools.ttLib import TTFont

from sites.compute.drawing.labels import label_in, label_on, place_block, text_width
from sites.compute.drawing.scene import DANGER, SCREEN, Badge
from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.compute.geometry.rings import Box, Point, Ring, ring_of_points
from sites.fonts import font_bytes


def ring(shape: str, width: float, height: float, **sizes: float) -> Ring:
    return outline_of(OutlineSpec(shape, width, height, **sizes)).ring


def test_a_block_stands_in_the_middle_of_a_free_outline():
    middle = place_block([ring("rectangle", 400, 300)], 60, 20, [], 2)
    assert middle == pytest.approx((200, 150), abs=20)


def test_a_block_keeps_clear_of_what_is_there():
    bar = Box(0, 140, 400, 160)
    middle = place_block([ring("rectangle", 400, 300)], 60, 20, [bar], 2)
    assert middle is not None
    assert abs(middle.y - 150) >= 10 + 10 + 2 - 0.1


def test_a_block_larger_than_its_outline_has_no_place():
    assert place_block([ring("rectangle", 50, 300)], 60, 20, [], 0) is None
    assert place_block([ring("triangle", 60, 60)], 50, 40, [], 0) is None


def test_under_a_point_a_block_goes_down_to_where_it_is_wide_enough():
    pointed = ring("two-centred", 400, 400, springing=60)
    middle = place_block([pointed], 250, 30, [], 0)
    assert middle is not None
    assert all(
        any(left <= middle.x - 125 and middle.x + 125 <= right for left, right in spans)
        for spans in (pointed.widths_at(middle.y - 14), pointed.widths_at(middle.y + 14))
    )


def test_in_an_outline_that_narrows_downwards_a_block_goes_up_to_where_its_foot_has_room():
    funnel = ring_of_points([Point(200, 0), Point(400, 400), Point(0, 400)])
    middle = place_block([funnel], 250, 100, [], 0)
    assert middle is not None
    ((left, right),) = funnel.widths_at(middle.y - 49)
    assert left <= middle.x - 125
    assert middle.x + 125 <= right


def test_a_number_without_room_is_left_out_and_a_danger_is_not():
    small = [ring("rectangle", 8, 8)]
    assert label_in(small, "12b", None, [], SCREEN, 1.0) is None
    label = label_in(small, "12b", Badge(DANGER), [], SCREEN, 1.0)
    assert label is not None
    assert (label.text, label.badge) == ("", Badge(DANGER))


def test_the_number_of_a_small_item_is_left_out():
    assert label_on(Box(0, 0, 12, 7), "P1", None, [], SCREEN, 1.0) is None
    assert label_on(Box(0, 0, 60, 20), "P1", None, [], SCREEN, 1.0) is not None


@pytest.mark.parametrize("text", ["1a", "12b", "A1", "B12", "P104", "W1", "100m", "M9"])
def test_a_number_is_never_wider_than_the_room_reckoned_for_it(text):
    font = TTFont(BytesIO(font_bytes("figo")))
    letters, widths = font.getBestCmap(), font["hmtx"].metrics
    width = sum(widths[letters[ord(letter)]][0] for letter in text) / font["head"].unitsPerEm
    assert width <= text_width(text, 1.0)
