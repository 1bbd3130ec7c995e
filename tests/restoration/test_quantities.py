"""First quantities of actions: from the finding, the panel's true outline and its joints."""

from decimal import Decimal

import pytest

from restoration.compute.quantities import MOST_JOINTS, WHOLE_AREA, Seen, suggest

PRACTICE = pytest.mark.published("common practice, no source")
HALF = Decimal(500_000)


def panel(amount=None, unit="", **known):
    return Seen("panel", None if amount is None else Decimal(amount), unit, **known)


@PRACTICE
@pytest.mark.parametrize(
    ("unit", "seen", "quantity"),
    [
        ("m2", panel(40, "percent of area", area_mm2=HALF), "0.2"),
        ("m2", panel(extent="throughout", area_mm2=HALF), "0.5"),
        ("joint", panel(extent="throughout", joints=59), "59"),
        ("joint", panel(12, "count", joints=59, extent="throughout"), "12"),
        ("piece", panel(10, "percent of pieces", pieces=58), "6"),
        ("panel", panel(extent="throughout"), "1"),
        ("m2", Seen("opening", Decimal(25), "percent of area", Decimal(4_000_000)), "1"),
    ],
)
def test_a_quantity_is_told_where_something_tells_it(unit, seen, quantity):
    assert suggest(unit, seen).quantity == Decimal(quantity)


@PRACTICE
@pytest.mark.parametrize(
    ("unit", "seen"),
    [
        # A share of the area or of the pieces is no share of the joints.
        ("joint", panel(50, "percent of area", area_mm2=HALF, joints=59)),
        ("joint", panel(50, "percent of pieces", pieces=30, joints=59)),
        # Nor is a bow throughout a panel an area, nor a length one of its leads.
        ("m2", panel(20, "mm out of plane", area_mm2=HALF, extent="throughout")),
        ("m", panel(extent="throughout", area_mm2=HALF, joints=59)),
        ("piece", panel(extent="throughout", pieces=58)),
        # Grouped or along a line is not all of it.
        ("joint", panel(extent="grouped", joints=59)),
        ("m2", panel(extent="along one line", area_mm2=HALF)),
        # What nobody knows of the panel.
        ("joint", panel(extent="throughout")),
        ("m2", panel(extent="throughout")),
        ("joint", panel(0, "count", extent="throughout", joints=59)),
    ],
)
def test_nothing_is_told_where_nothing_honestly_tells_it(unit, seen):
    assert suggest(unit, seen) is None


@PRACTICE
def test_the_bench_reaches_both_faces_and_the_window_one():
    seen = panel(extent="throughout", joints=59)
    assert suggest("joint", seen).quantity == 59
    bench = suggest("joint", seen, both_faces=True)
    assert bench.quantity == 118
    assert bench.working.inputs[1].source == "both, on the bench"
    # A count is what was counted, whichever way the panel is reached.
    assert suggest("joint", panel(6, "count", joints=59), both_faces=True).quantity == 6


@PRACTICE
def test_full_releading_takes_the_whole_panel_whatever_was_measured():
    bow = panel(22, "mm out of plane", area_mm2=HALF)
    told = suggest("m2", bow, both_faces=True, whole_panel=True)
    assert told.quantity == Decimal("0.5")
    assert told.working.formula == "the whole panel is worked on"
    share = panel(10, "percent of area", area_mm2=HALF)
    assert suggest("m2", share, whole_panel=True).quantity == Decimal("0.5")
    # Of a whole window it is not said which panels.
    window = Seen("opening", Decimal(22), "mm out of plane", HALF)
    assert suggest("m2", window, whole_panel=True) is None
    assert suggest("m2", panel(22, "mm out of plane"), whole_panel=True) is None


def test_the_working_says_where_it_comes_from_and_what_it_is_not():
    share = suggest(
        "m2",
        panel(
            40,
            "percent of area",
            area_mm2=HALF,
            area_origin="computed",
            area_source="cut from the outline of its opening",
        ),
    ).working
    assert [(each.value, each.origin) for each in share.inputs] == [
        ("0.500 m²", "computed"),
        ("40 % of area", "measured"),
    ]
    assert share.inputs[0].source == "cut from the outline of its opening"
    assert share.result == "0.2"
    assert share.caution == ""
    assert suggest("m2", panel(extent="throughout", area_mm2=HALF)).working.caution == WHOLE_AREA
    assert suggest("joint", panel(extent="throughout", joints=9)).working.caution == MOST_JOINTS
