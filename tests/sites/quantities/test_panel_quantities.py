"""A panel's quantities put together: what is measured, what is estimated, what is missing."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.quantities.came import Profile
from sites.compute.quantities.net import Outline, PanelNet, Run
from sites.compute.quantities.panel import COUNT_PIECES, quantities
from sites.compute.quantities.schedule import NO_OUTLINE, NO_PATTERN, sticks_to_buy
from sites.services.figures import shipped_figures

FIGURES = shipped_figures()
ROUND = Profile("r", "6 mm round", "H", 6.35, 1.0, 5.0, 1.2)
EDGE = Profile("e", "12 mm flat", "H", 12.0, 1.2, 5.0, 1.2, stick_mm=2000)
CHANNEL = Profile("u", "U 6 mm", "U", 6.0, 1.0, 5.0, 1.2)


def outline(width=600.0, height=400.0):
    around = 2 * (width + height)
    return Outline(width * height, around, width, height, 4, "measured", "its own size")


def net(**changed):
    return PanelNet(
        **{"outline": outline(), "pieces": 24, "crossings": 15, "pattern": "squares", **changed}
    )


def told(**changed):
    return quantities(net(**changed), FIGURES)


def test_a_panel_of_squares_is_told_whole():
    # 6 × 4 panes of 100 mm: 5 leads of 400 and 3 of 600 inside, 15 crossings.
    got = told(runs=(Run(ROUND), Run(EDGE, border=True)))
    assert got.joints.one_face == 2 * 23 - 15
    assert got.joints.corners == 4
    border, inner = got.came
    assert (border.length_mm, border.origin) == (2000, "computed")
    assert inner.length_mm == pytest.approx(3800)
    assert (inner.origin, got.came_is_estimated) == ("estimated", True)
    assert got.came_mm == pytest.approx(5800)
    assert got.missing == ()
    assert got.handling.people == 1
    # By hand: glass 0.24 m² less 3.8 m of hearts and 2 m of border up to its heart.
    glass_m2 = 0.24 - 3.8 * 0.0012 - 2 * (0.012 + 0.0012) / 2
    came = 3.8 * 18.7e-6 * 11340 + 2 * (2 * 12 * 1.2 + 5 * 1.2) * 1e-6 * 11340
    assert got.mass.glass_kg == pytest.approx(glass_m2 * 7.5)
    assert got.mass.came_kg == pytest.approx(came)
    assert got.mass.cement_kg == pytest.approx(5.8 * 0.02)


def test_a_u_round_the_edge_covers_no_more_than_its_back():
    flat = told(runs=(Run(EDGE, border=True),)).mass
    channel = told(runs=(Run(CHANNEL, border=True),)).mass
    assert channel.glass_kg - flat.glass_kg == pytest.approx(2 * (0.0066 - 0.0012) * 7.5)


def test_came_nobody_described_is_the_usual_one_and_says_so():
    got = told()
    assert [line.profile.name for line in got.came] == ["came not described"] * 2
    assert {each.origin for each in got.came[0].weight_working.inputs} == {"default"}
    assert got.sticks == (), "what is not described cannot be bought"


def test_what_is_measured_outranks_the_estimate_and_calibrates_it():
    got = told(runs=(Run(ROUND, length_mm=3800.0),))
    inner = got.came[1]
    assert (inner.length_mm, inner.origin) == (3800, "measured")
    assert not got.came_is_estimated
    assert got.calibrated == pytest.approx(4)
    assert told().calibrated is None


def test_profiles_without_a_length_share_what_is_left():
    second = Profile("s", "8 mm round")
    got = told(runs=(Run(ROUND, length_mm=800.0), Run(second), Run(CHANNEL)))
    assert [line.length_mm for line in got.came[1:]] == pytest.approx([800, 1500, 1500])
    assert got.came_mm == pytest.approx(5800)


def test_more_measured_than_estimated_leaves_nothing_over():
    got = told(runs=(Run(ROUND, length_mm=9000.0), Run(CHANNEL)))
    assert got.came[2].length_mm == 0


def test_cuts_are_a_length_where_none_is_entered():
    got = told(runs=(Run(ROUND, cuts=(Decimal(600),) * 3 + (Decimal(400),) * 5),))
    assert got.came[1].length_mm == 3800
    sticks = {each.profile.key: each for each in got.sticks}
    # 5 × 400 + 3 × 600 in sticks of 1828.8: three of 600 in one, then four of 400, then one.
    assert sticks["r"].count == 3
    assert sticks["r"].cuts is not None
    assert not sticks["r"].estimated


def test_without_a_cut_list_waste_is_added_to_the_length():
    got = told(runs=(Run(EDGE, border=True),))
    edge = next(each for each in got.sticks if each.profile is EDGE)
    assert (edge.count, edge.cuts) == (2, None)
    assert edge.working.formula.startswith("(came needed + waste)")


def test_sticks_of_many_panels_are_bought_together():
    one = told(runs=(Run(ROUND, length_mm=700.0), Run(EDGE, border=True, length_mm=900.0)))
    lines = [line for _ in range(3) for line in one.came]
    bought = {each.profile.key: each.count for each in sticks_to_buy(lines, FIGURES)}
    # 2.1 m and 10 % in sticks of 1.8288 m; 2.7 m and 10 % in sticks of 2 m.
    assert bought == {"r": 2, "e": 2}


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"pieces": None}, COUNT_PIECES),
        ({"pattern": ""}, NO_PATTERN),
        ({"pattern": "other"}, NO_PATTERN),
        ({"outline": None}, NO_OUTLINE),
        ({"crossings": 99}, "at most 23 crossings"),
        ({"pieces": 2, "crossings": 0, "outline": outline(3000, 30)}, "too long for 2 pieces"),
        ({"runs": (Run(ROUND, cuts=(Decimal(5000),)),)}, "longer than a stick"),
        ({"runs": (Run(ROUND, length_mm=900_000.0),)}, "no room for glass"),
        ({"runs": (Run(Profile("x", "x", heart_thickness_mm=9)),)}, "thinner than the leaf"),
    ],
)
def test_what_is_missing_is_said_in_words(changed, words):
    assert any(words in each for each in told(**changed).missing)


def test_without_an_outline_joints_and_measured_came_are_still_told():
    got = told(outline=None, runs=(Run(ROUND, length_mm=3800.0), Run(EDGE, border=True)))
    assert got.joints.one_face == 31
    assert [line.length_mm for line in got.came] == [3800]
    assert got.mass is None
    assert got.handling is None
    assert len(got.cautions) == 2


def test_without_the_leads_nobody_says_who_may_lift_it():
    got = told(pattern="", runs=(Run(ROUND),))
    assert got.mass is None
    assert got.handling is None


def test_a_single_pane_has_a_border_and_no_lead_inside():
    got = told(pieces=1, crossings=0)
    assert [line.border for line in got.came] == [True]
    assert got.joints.one_face == 0
    assert got.mass.total_kg > 1.7


def test_plated_pieces_weigh_twice_and_never_more_than_all():
    plain, plated = told(), told(plated=12)
    assert plated.mass.glass_kg == pytest.approx(1.5 * plain.mass.glass_kg)
    assert told(plated=99).mass.glass_kg == pytest.approx(2 * plain.mass.glass_kg)


@given(
    pieces=st.one_of(st.none(), st.integers(-2, 300)),
    crossings=st.one_of(st.none(), st.integers(0, 300)),
    ringed=st.one_of(st.none(), st.integers(0, 20)),
    pattern=st.sampled_from(["", "squares", "hexagons", "strips", "figure", "other"]),
    width=st.floats(1, 3000),
    height=st.floats(1, 3000),
    length=st.one_of(st.none(), st.floats(1, 50_000)),
)
def test_no_record_however_odd_stops_the_page(
    pieces, crossings, ringed, pattern, width, height, length
):
    got = told(
        outline=outline(width, height),
        pieces=pieces,
        crossings=crossings,
        ringed=ringed,
        pattern=pattern,
        runs=(Run(ROUND, length_mm=length),),
    )
    assert (got.mass is None) <= bool(got.missing)
    assert (got.joints is None) <= bool(got.missing)
    assert all(line.length_mm >= 0 for line in got.came)
    if got.mass:
        assert got.mass.total_kg > 0
        assert got.handling.people >= 1
