"""Sections and beams: published cases, an independent section library, numerical integration."""

from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from condition.compute.supports import beams
from condition.compute.supports.errors import SupportError
from condition.compute.supports.sections import SHAPES, section_of
from tests.condition.supports.bars import ROUND_MM
from tests.properties import examples

HANDBOOK = pytest.mark.published("beam handbooks: even load on a bar with its ends resting free")
GEOMETRY = pytest.mark.published("geometry of the circle: I = πd⁴/64, Z = πd³/32")
STEEL = 200_000.0


@HANDBOOK
def test_b01_deflection_of_an_even_load():
    assert beams.deflection_mm(1, 1000, STEEL, 10_000) == pytest.approx(6.510417, abs=1e-6)


@GEOMETRY
def test_b02_second_moment_of_a_round_bar():
    section = section_of("round", ROUND_MM, None)
    assert section.second_moment_mm4 == pytest.approx(404.045, abs=0.001)


@GEOMETRY
def test_b03_modulus_of_a_round_bar():
    assert section_of("round", None, ROUND_MM).modulus_mm3 == pytest.approx(84.8389, abs=1e-4)


@pytest.mark.published("IBC 2403.3: 3/4 in governs over L/175 for a span of 4000 mm")
def test_b07_the_cap_governs_long_spans():
    assert beams.limit_mm(4000, 175, 19.05) == pytest.approx(19.05, abs=1e-9)
    assert beams.limit_mm(600, 175, 19.05) == pytest.approx(600 / 175)


def test_sections_are_those_of_an_independent_library():
    # Imported here: it takes some seconds, and only this test needs it.
    from sectionproperties.analysis import Section
    from sectionproperties.pre.library import circular_section, rectangular_section

    shapes = {
        "round": (circular_section(d=12.0, n=400), section_of("round", 12.0, None)),
        "flat": (rectangular_section(d=25.0, b=6.0), section_of("flat", 6.0, 25.0)),
        "square": (rectangular_section(d=10.0, b=10.0), section_of("square", 10.0, None)),
    }
    assert set(shapes) == set(SHAPES)
    for name, (geometry, ours) in shapes.items():
        theirs = Section(geometry.create_mesh(mesh_sizes=[0]))
        theirs.calculate_geometric_properties()
        assert ours.area_mm2 == pytest.approx(theirs.get_area(), rel=2e-4), name
        assert ours.second_moment_mm4 == pytest.approx(theirs.get_ic()[0], rel=2e-4), name
        assert ours.modulus_mm3 == pytest.approx(theirs.get_z()[0], rel=2e-4), name
        lying = ours.on_its_side.second_moment_mm4
        assert lying == pytest.approx(theirs.get_ic()[1], rel=2e-4), name


def bent_by_integration(line_load, span, stiffness, fixed):
    """Deflection at the middle from twice integrating M ÷ EI, by the trapezium rule."""
    x = np.linspace(0, span, 20_001)
    end_moment = line_load * span**2 / 12 if fixed else 0.0
    curvature = (line_load * x * (span - x) / 2 - end_moment) / stiffness
    step = x[1] - x[0]
    slope = np.concatenate(([0.0], np.cumsum((curvature[1:] + curvature[:-1]) / 2 * step)))
    sunk = np.concatenate(([0.0], np.cumsum((slope[1:] + slope[:-1]) / 2 * step)))
    # Both ends stay where they are: take off the straight line between them.
    return float(x[10_000] / span * sunk[-1] - sunk[10_000])


@examples(25)
@given(
    line_load=st.floats(0.01, 5),
    span=st.floats(200, 3000),
    inertia=st.floats(100, 50_000),
)
def test_deflections_agree_with_numerical_integration(line_load, span, inertia):
    stiffness = STEEL * inertia
    for ends in ("supported", "fixed"):
        found = beams.deflection_mm(line_load, span, STEEL, inertia, ends)
        reckoned = bent_by_integration(line_load, span, stiffness, ends == "fixed")
        assert found == pytest.approx(reckoned, rel=1e-4)


@HANDBOOK
def test_moments_and_reactions_agree_with_numerical_integration():
    span, load = 730.0, 0.31
    x = np.linspace(0, span, 10_001)
    shear = beams.reaction_n(load, span) - load * x
    step = x[1] - x[0]
    moment = np.cumsum((shear[1:] + shear[:-1]) / 2 * step)
    assert beams.moment_n_mm(load, span) == pytest.approx(moment.max(), rel=1e-6)
    assert moment[-1] == pytest.approx(0, abs=1e-6)
    fixed = beams.moment_n_mm(load, span, "fixed")
    # Ends that do not turn: the moments over the whole bar even out.
    assert np.mean(moment) == pytest.approx(fixed, rel=1e-3)


@HANDBOOK
def test_a_load_at_the_middle_is_pl3_over_48ei():
    # The same total at the middle bends a bar 8/5 as far as spread evenly.
    spread = beams.deflection_mm(0.5, 800, STEEL, 404)
    assert beams.point_deflection_mm(400, 800, STEEL, 404) == pytest.approx(spread * 8 / 5)


@examples(30)
@given(
    line_load=st.floats(0.01, 5),
    inertia=st.floats(100, 50_000),
    ratio=st.floats(50, 400),
    cap=st.floats(2, 30),
)
def test_the_greatest_span_just_meets_its_limit(line_load, inertia, ratio, cap):
    span = beams.span_by_deflection_mm(line_load, STEEL, inertia, ratio, cap)
    found = beams.deflection_mm(line_load, span, STEEL, inertia)
    assert found == pytest.approx(beams.limit_mm(span, ratio, cap), rel=1e-6)


def test_the_greatest_span_by_stress_just_meets_it():
    span = beams.span_by_stress_mm(0.25, 84.8, 77)
    assert beams.moment_n_mm(0.25, span) / 84.8 == pytest.approx(77)


@pytest.mark.parametrize(
    ("shape", "width", "depth", "words"),
    [
        ("hexagon", 9, 9, "round, flat, square"),
        ("round", None, None, "not recorded"),
        ("flat", 6, None, "not recorded"),
        ("round", 9, 12, "one size"),
        ("square", 0, None, "above zero"),
        ("round", inf, None, "above zero"),
        ("round", float("nan"), None, "above zero"),
    ],
)
def test_a_section_that_cannot_be_is_refused_in_words(shape, width, depth, words):
    with pytest.raises(SupportError, match=words):
        section_of(shape, width, depth)
