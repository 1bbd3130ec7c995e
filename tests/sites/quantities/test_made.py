"""The three sizes of a panel by the studio's figures."""

import pytest

from sites.compute.figures import with_own
from sites.compute.quantities.made import CHECK, TIGHT, sizes_told
from sites.compute.sizes import Size
from sites.services.figures import shipped_figures

FIGURES = shipped_figures()
PRACTICE = pytest.mark.published("common practice, no source")
SIGHT = Size(600, 800)


@PRACTICE
@pytest.mark.parametrize(
    ("foot", "top", "rebate_height", "made_height"),
    [
        (False, False, 824, 818),  # stone at both ends: 800 + 2 × 12, less 2 × 3
        (False, True, 812, 815),  # 800 + 12, less 3, and 6 over the bar
        (True, False, 812, 815),
        (True, True, 800, 812),  # bars at both ends: 2 × 6 over them
    ],
)
def test_stone_edges_have_a_rebate_and_clearance_and_bars_an_overlap(
    foot, top, rebate_height, made_height
):
    sizes = sizes_told(SIGHT, FIGURES, rebate_mm=12, foot_on_bar=foot, top_on_bar=top).sizes
    assert sizes.sight == SIGHT
    assert sizes.rebate == Size(624, rebate_height)
    assert sizes.made == Size(618, made_height)


@PRACTICE
def test_a_rebate_nobody_measured_is_the_usual_one_and_says_so():
    assumed = sizes_told(SIGHT, FIGURES)
    assert assumed.sizes.rebate == Size(620, 820)
    assert assumed.working.inputs[1].origin == "default"
    assert sizes_told(SIGHT, FIGURES, 12).working.inputs[1].origin == "measured"


@PRACTICE
def test_a_panel_that_has_less_room_than_its_lead_needs_is_told():
    assert sizes_told(SIGHT, FIGURES).working.caution == CHECK
    tight = with_own(FIGURES.values(), {"sizes.clearance": (0, "")})
    assert TIGHT in sizes_told(SIGHT, tight).working.caution
    # 6 mm of room, and a panel of 5.3 m that grows by more: 29e-6 × 40 K × 5314 mm = 6.2 mm.
    assert TIGHT in sizes_told(Size(600, 5300), FIGURES).working.caution


@PRACTICE
def test_a_rebate_that_does_not_hold_the_clearance_is_told_and_not_reckoned():
    told = sizes_told(SIGHT, FIGURES, rebate_mm=2)
    assert told.sizes is None
    assert "fall out of a rebate 2 mm deep" in told.refused
