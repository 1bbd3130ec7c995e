"""Sight, rebate and made size of a panel."""

import math
from dataclasses import replace

import pytest

from sites.compute.sizes import Allowances, Size, SizeError, panel_sizes

STONE = Allowances(rebate_jamb=12, rebate_sill=10, rebate_head=8, clearance=3)


def test_between_stone_the_rebate_is_added_and_the_clearance_taken_off():
    sizes = panel_sizes(Size(600, 900), STONE)
    assert sizes.sight == Size(600, 900)
    assert sizes.rebate == Size(624, 918)
    assert sizes.made == Size(618, 912)


def test_on_a_bar_there_is_no_clearance_but_an_overlap():
    sizes = panel_sizes(Size(600, 900), replace(STONE, rebate_head=0, overlap_head=6))
    assert sizes.rebate == Size(624, 910)
    assert sizes.made == Size(618, 913)


@pytest.mark.parametrize(
    ("sight", "change", "field"),
    [
        (Size(0, 900), {}, "width"),
        (Size(600, math.nan), {}, "height"),
        (Size(600, 900), {"clearance": -1}, "clearance"),
        (Size(600, 900), {"clearance": 8}, "clearance"),
        (Size(600, 900), {"rebate_jamb": math.inf}, "rebate_jamb"),
        (Size(600, 900), {"overlap_foot": -2}, "overlap_foot"),
    ],
)
def test_what_is_no_length_is_refused_by_name(sight: Size, change: dict[str, float], field: str):
    with pytest.raises(SizeError) as caught:
        panel_sizes(sight, replace(STONE, **change))
    assert caught.value.field == field
