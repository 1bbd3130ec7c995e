"""Sections of came, their mass by the metre, and the length of a net of leads."""

import math
from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.quantities.came import (
    Profile,
    calibrated_factor,
    expansion_mm,
    inner_length_mm,
    kg_a_metre,
    profile_kg_m,
    section_area_mm2,
    section_corners,
)
from sites.compute.quantities.errors import QuantityError
from sites.services.figures import shipped_figures
from tests.sites.quantities.nets import graph_of, lattice, length_inside, scattered

FIGURES = shipped_figures()
GEOMETRY = pytest.mark.published("plane geometry, no source needed")
LEAD = pytest.mark.published("lead at 11 340 kg/m³, as BS EN 12588 reckons sheet")


@GEOMETRY
def test_m07_the_section_of_an_h_is_two_leaves_and_a_heart():
    assert section_area_mm2(6.35, 1.0, 5.0, 1.2) == pytest.approx(18.7, abs=1e-9)


@LEAD
def test_m08_and_m09_its_metre_and_its_stick_of_six_feet():
    a_metre = kg_a_metre(section_area_mm2(6.35, 1.0, 5.0, 1.2), 11340)
    assert a_metre == pytest.approx(0.212058, abs=1e-6)
    assert a_metre * 1.8288 == pytest.approx(0.387812, abs=1e-6)


@pytest.mark.published(
    "29 × 10⁻⁶ a kelvin for lead, between the 28.9 and 29.3 that handbooks print; from memory"
)
def test_t01_a_metre_of_lead_grows_by_more_than_a_millimetre_in_the_sun():
    assert expansion_mm(1000, 40, 29e-6) == pytest.approx(1.16, abs=1e-9)


@GEOMETRY
@given(
    shape=st.sampled_from("HU"),
    leaf=st.floats(3, 20),
    thickness=st.floats(0.3, 3),
    height=st.floats(2, 12),
    share=st.floats(0.05, 0.9),
)
def test_an_h_and_a_u_measured_from_its_back_have_the_area_of_their_corners(
    shape, leaf, thickness, height, share
):
    section = (leaf, thickness, height, leaf * share)
    corners = section_corners(shape, *section)
    assert len(set(corners)) == len(corners) == (12 if shape == "H" else 8)
    shoelace = sum(
        corners[n - 1][0] * y - x * corners[n - 1][1] for n, (x, y) in enumerate(corners)
    )
    assert shoelace / 2 == pytest.approx(section_area_mm2(*section), rel=1e-9)


@pytest.mark.parametrize(
    ("section", "field"),
    [
        ((0, 1, 5, 1.2), "leaf_width"),
        ((6, 0, 5, 1.2), "leaf_thickness"),
        ((6, 1, -5, 1.2), "heart_height"),
        ((6, 1, 5, 0), "heart_thickness"),
        ((6, 1, 5, 6), "heart_thickness"),
    ],
)
def test_a_section_that_cannot_be_is_refused_by_its_field(section, field):
    with pytest.raises(QuantityError) as refused:
        section_area_mm2(*section)
    assert refused.value.field == field


def test_a_weighed_sample_outranks_the_section():
    profile = Profile("p", "6 mm round", "H", 6, 1, 5, 1.2, weighed_kg_m=0.19)
    mass, working = profile_kg_m(profile, FIGURES)
    assert mass == 0.19
    assert working.inputs[0].origin == "measured"


def test_a_part_of_the_section_nobody_measured_is_the_usual_one_and_says_so():
    mass, working = profile_kg_m(Profile("p", "6 mm round", "H", leaf_width_mm=6.35), FIGURES)
    assert mass == pytest.approx(0.212058, abs=1e-6)
    origins = [each.origin for each in working.inputs]
    assert origins == ["measured", "default", "default", "default", "default"]
    assert working.inputs[1].source == "no published source"


@GEOMETRY
@pytest.mark.parametrize(("columns", "rows"), [(1, 2), (3, 3), (4, 7), (10, 12)])
def test_squares_give_their_leads_exactly(columns, rows):
    panes = lattice(columns, rows)
    border = 2.0 * (columns + rows)
    inside = length_inside(graph_of(panes), panes, border)
    assert inside == columns * (rows - 1) + rows * (columns - 1)
    assert inner_length_mm(columns * rows, columns * rows, border, 4) == pytest.approx(inside)


@GEOMETRY
@pytest.mark.parametrize(
    ("key", "edge", "area"),
    [("squares", 4, 1), ("hexagons", 6, 1.5 * math.sqrt(3)), ("strips", 6, 2)],
)
def test_the_patterns_factors_are_their_geometry(key, edge, area):
    assert FIGURES.number(f"pattern.{key}") == pytest.approx(edge / math.sqrt(area), abs=1e-3)


@pytest.mark.parametrize("seed", range(20))
def test_a_factor_calibrated_on_a_net_gives_that_nets_length(seed):
    panes = scattered(seed)
    assert len(panes) > 1
    xs, ys = [x for pane in panes for x, _ in pane], [y for pane in panes for _, y in pane]
    area, border = max(xs) * max(ys), 2 * (max(xs) + max(ys))
    inside = length_inside(graph_of(panes), panes, border)
    factor = calibrated_factor(len(panes), area, border, inside)
    assert inner_length_mm(len(panes), area, border, factor) == pytest.approx(inside)
    # No net of leads is shorter than a honeycomb's by more than its border's share.
    assert factor > 3.5


def test_one_piece_has_no_lead_inside():
    assert inner_length_mm(1, 10_000, 400, 4) == 0


def test_few_pieces_in_a_long_outline_are_not_estimated():
    with pytest.raises(QuantityError, match=r"too long for 2 pieces.*Measure") as refused:
        inner_length_mm(2, 2000 * 20, 4040, 4)
    assert refused.value.field == "pieces"
    with pytest.raises(QuantityError):
        inner_length_mm(0, 10_000, 400, 4)


@pytest.mark.parametrize(
    "rubbing", [(1, 100.0, 40.0, 10.0), (5, 0.0, 40.0, 10.0), (5, 100.0, 40.0, 0.0)]
)
def test_a_rubbing_that_shows_nothing_calibrates_nothing(rubbing):
    with pytest.raises(QuantityError):
        calibrated_factor(*rubbing)


def test_the_studios_own_figure_is_reckoned_with():
    own = replace(FIGURES["came.lead_density"], value=Decimal(11000), source="a weighed sheet")
    figures = type(FIGURES)(own if key == own.key else FIGURES[key] for key in FIGURES)
    profile = Profile(
        leaf_width_mm=6.35, leaf_thickness_mm=1, heart_height_mm=5, heart_thickness_mm=1.2
    )
    mass, working = profile_kg_m(profile, figures)
    assert mass == pytest.approx(18.7 * 11000 / 1e6)
    assert "a weighed sheet" in working.inputs[-1].source
