"""A bar screened: published cases, what is missing, and that nothing is guessed."""

from dataclasses import replace

import pytest

from condition.compute.supports.checks import BarFacts, check_bar, material_key
from condition.compute.supports.errors import SupportError
from condition.compute.supports.pressure import pressure_of
from condition.compute.supports.spacing import around, gaps_of, judged
from condition.compute.supports.standing import Ledge, StandingPanel, stand
from sites.models.choices import BarMaterial
from tests.condition.supports.bars import STEEL_BAR, SUBURB, TOWN, figures, pressing

PRACTICE = pytest.mark.published("common practice, no source")
B05_PA = 659.6


@pytest.mark.published("beam handbooks: 5wL⁴/384EI of a 3/8 in steel bar over 600 mm")
def test_b05_a_saddle_bar_under_wind():
    told = check_bar(STEEL_BAR, pressing(B05_PA), figures())
    assert told.load.line_n_mm == pytest.approx(0.25065, abs=1e-5)
    assert told.load.total_n == pytest.approx(150.39, abs=0.01)
    assert told.bending.deflection_mm == pytest.approx(5.2342, abs=0.001)
    assert told.bending.fixed_deflection_mm == pytest.approx(5.2342 / 5, abs=0.001)
    assert told.bending.span_over_deflection == pytest.approx(600 / 5.2342, rel=1e-3)
    assert told.bending.limit_mm == pytest.approx(600 / 175)
    assert told.bending.share_of_limit == pytest.approx(1.527, abs=0.001)
    assert told.missing == ()


@pytest.mark.published("IBC 2403.3: L/175, the span of the bar of B05 that just meets it")
def test_b09_greatest_span_of_that_bar():
    told = check_bar(STEEL_BAR, pressing(B05_PA), figures())
    assert told.bending.greatest_span_mm == pytest.approx(521.1, abs=0.1)
    shorter = replace(STEEL_BAR, span_mm=told.bending.greatest_span_mm)
    again = check_bar(shorter, pressing(B05_PA), figures())
    assert again.bending.worst_share == pytest.approx(1.0)


def test_the_greatest_spacing_just_meets_the_limits():
    told = check_bar(STEEL_BAR, pressing(B05_PA), figures())
    carried = told.bending.greatest_carried_mm
    closer = replace(STEEL_BAR, below_mm=carried, above_mm=carried)
    assert check_bar(closer, pressing(B05_PA), figures()).bending.worst_share == pytest.approx(1.0)


@pytest.mark.parametrize(
    ("change", "missing"),
    [
        ({"shape": ""}, ("section",)),
        ({"shape": "", "width_mm": None}, ("section", "width", "depth")),
        ({"width_mm": None}, ("width",)),
        ({"shape": "flat"}, ("depth",)),
        ({"material": ""}, ("material",)),
        ({"span_mm": None}, ("opening",)),
        ({"above_mm": None}, ("opening",)),
    ],
)
def test_what_is_not_recorded_is_named_and_never_guessed(change, missing):
    told = check_bar(replace(STEEL_BAR, **change), pressing(B05_PA), figures())
    named = tuple(each for each in told.missing)
    assert set(missing) <= set(named)
    assert told.bending is None


def test_without_wind_there_is_no_load_and_that_is_said():
    told = check_bar(STEEL_BAR, None, figures())
    assert (told.load, told.bending, told.missing) == (None, None, ("wind",))


def test_a_bar_of_unknown_section_still_has_its_load():
    told = check_bar(replace(STEEL_BAR, shape="", width_mm=None), pressing(B05_PA), figures())
    assert told.load.total_n > 0
    assert told.bending is None


def test_a_round_bar_of_two_sizes_is_told_and_not_reckoned():
    told = check_bar(replace(STEEL_BAR, depth_mm=12.0), pressing(B05_PA), figures())
    assert "one size" in told.trouble
    assert told.bending is None


def test_every_material_of_the_register_has_its_figures():
    for material in BarMaterial.values:
        key = material_key(material)
        elastic_mpa = figures().number(f"supports.e_{key}") * 1000
        assert 0 < figures().number(f"supports.stress_{key}") < elastic_mpa / 500
        told = check_bar(replace(STEEL_BAR, material=material), pressing(B05_PA), figures())
        assert told.bending is not None


def test_workings_name_formula_inputs_and_caution():
    bending = check_bar(STEEL_BAR, pressing(B05_PA), figures()).bending
    for working in (bending.deflection_working, bending.stress_working, bending.reach_working):
        assert working.formula
        assert {"span L", "load w", "material"} <= {each.name for each in working.inputs}
        assert working.caution
    assert "5.23 mm free, 1.05 mm fixed" in bending.deflection_working.result


def test_wind_by_the_european_code_is_the_peak_pressure_times_the_coefficient():
    wind = pressure_of(TOWN, figures())
    assert wind.net_pa == pytest.approx(wind.velocity_pa * 1.3)
    assert wind.service_pa == wind.velocity_pa
    assert wind.cautions == ()
    assert "Pa" in wind.working.result


@pytest.mark.published("EN 1991-1-4 (4.1), (4.10): vb = cdir · vb,0, and pressure by its square")
def test_a_sheltered_direction_lessens_the_wind_by_its_square():
    whole, sheltered = (
        pressure_of(replace(TOWN, direction=factor), figures()) for factor in (1.0, 0.8)
    )
    assert sheltered.net_pa == pytest.approx(0.64 * whole.net_pa)


@pytest.mark.published("ASCE 7-10 and later: speeds are ultimate, 0.6 W in service")
def test_wind_by_the_american_code_comes_down_by_six_tenths_for_service():
    wind = pressure_of(SUBURB, figures())
    assert wind.service_pa == pytest.approx(0.6 * wind.velocity_pa)
    assert wind.net_pa == pytest.approx(1.28 * wind.service_pa)
    # 0.00256 × Kz 0.755 (39.4 ft) × 0.85 × 115² = 21.7 psf
    assert wind.velocity_pa / 47.88 == pytest.approx(21.8, abs=0.3)


def test_below_the_least_height_of_a_terrain_it_is_said():
    wind = pressure_of(replace(TOWN, height_m=3.0), figures())
    assert "as at 5 m" in wind.cautions[0]


def test_a_building_over_sixty_feet_is_warned_of():
    assert "60 ft" in pressure_of(replace(SUBURB, height_m=25.0), figures()).cautions[0]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        (replace(TOWN, height_m=None), "height"),
        (replace(TOWN, coefficient=0.0), "net pressure coefficient"),
        (replace(TOWN, speed=float("nan")), "wind speed"),
        (replace(TOWN, height_m=250.0), "200 m"),
        (replace(TOWN, terrain="B"), "terrains 0, I, II, III, IV"),
        (replace(SUBURB, terrain="II"), "exposures B, C, D"),
        (replace(SUBURB, height_m=200.0), "500 ft"),
        (replace(TOWN, code="another"), "EN 1991-1-4 or ASCE 7-16"),
    ],
)
def test_wind_that_cannot_be_reckoned_is_refused_in_words(facts, words):
    with pytest.raises(SupportError, match=words):
        pressure_of(facts, figures())


def test_a_bar_that_bends_too_far_for_the_formula_says_so():
    told = check_bar(replace(STEEL_BAR, span_mm=1100.0), pressing(B05_PA), figures())
    assert told.bending.span_over_deflection < 30
    assert "small deflections" in told.trouble
    assert check_bar(STEEL_BAR, pressing(B05_PA), figures()).trouble == ""


@PRACTICE
def test_bars_are_judged_against_twelve_to_eighteen_inches():
    gaps = gaps_of(1, 0.0, 1500.0, [250.0, 650.0, 900.0])
    assert [round(gap.height_mm) for gap in gaps] == [250, 400, 250, 600]
    assert [judged(gap, figures()) for gap in gaps] == ["closer", "usual", "closer", "wider"]
    assert around(gaps, 650.0) == (400.0, 250.0)


def test_two_bars_at_one_height_are_one_place():
    assert len(gaps_of(1, 0.0, 1000.0, [500.0, 500.0])) == 2


PANELS = (
    StandingPanel("1a", 1, 0.0, 8.0),
    StandingPanel("2a", 1, 700.0, 9.0),
    StandingPanel("1b", 2, 0.0, None),
)
SILLS = (Ledge("", 1, 0.0, 600.0), Ledge("", 2, 0.0, 600.0))


def test_without_a_bar_between_them_panels_stand_on_each_other():
    first, second = stand(PANELS, SILLS, figures())
    assert (first.panels, first.stacked) == (("1a", "2a"), True)
    assert first.line_n_m == pytest.approx(17 * 9.80665 / 0.6)
    assert (second.unknown, second.mass_kg) == (("1b",), None)


def test_a_parting_bar_takes_the_panel_above_it():
    bar = Ledge("bar", 1, 700.0, 600.0, "flat", 25.0, 6.0, "steel")
    sill, on_bar = stand(PANELS[:2], (SILLS[0], bar), figures())
    assert (sill.panels, on_bar.panels) == (("1a",), ("2a",))
    assert sill.sag_mm is None
    # Weight bends the bar about its other side: 25 mm high, 6 mm across.
    line = 9 * 9.80665 / 600
    assert on_bar.sag_mm == pytest.approx(5 * line * 600**4 / (384 * 200_000 * 6 * 25**3 / 12))


def test_nothing_recorded_gives_nothing():
    nothing = BarFacts(None, None, None, "", None, None, "")
    told = check_bar(nothing, None, figures())
    assert told.missing == ("wind", "opening", "section", "width", "depth", "material")
