"""Masses of sheets, plates and panels, and who can carry them."""

import pytest

from sites.compute.figures import Figures
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.handling import BOWED, handling_of, people_for
from sites.compute.quantities.mass import LeadInPanel, glass_area_mm2, panel_mass, sheet_kg
from sites.services.figures import shipped_figures

FIGURES = shipped_figures()
SQUARE_METRE = 1e6


@pytest.mark.published("BS EN 12588, codes 3, 4, 7 and 8 of rolled lead sheet")
@pytest.mark.parametrize(
    ("thickness_mm", "kg_m2"), [(1.32, 14.97), (1.80, 20.41), (3.15, 35.72), (3.55, 40.26)]
)
def test_m01_to_m05_lead_sheet_weighs_what_the_standard_prints(thickness_mm, kg_m2):
    density = FIGURES.number("came.lead_density")
    assert sheet_kg(SQUARE_METRE, thickness_mm, density) == pytest.approx(kg_m2, abs=0.01)


@pytest.mark.published("EN 572-1: 2500 kg/m³, so 2.5 kg/m² for each millimetre of glass")
def test_m06_six_millimetres_of_glass_weigh_fifteen_kilograms_a_square_metre():
    assert sheet_kg(SQUARE_METRE, 6, FIGURES.number("glass.density")) == pytest.approx(15)


@pytest.mark.published("a plaque maker's published example: 36 × 24 × 1/4 in of bronze, 66.96 lb")
def test_m12_a_cast_bronze_plaque_weighs_what_its_maker_says():
    inch, pound = 25.4, 0.45359237
    density = 0.31 * pound / (inch / 1000) ** 3
    mass_lb = sheet_kg(36 * 24 * inch**2, 0.25 * inch, density) / pound
    assert mass_lb == pytest.approx(66.96, abs=1e-6)


@pytest.mark.published("volume × density; brass at 8500 kg/m³ from handbooks, from memory")
def test_m14_a_small_brass_plate():
    assert sheet_kg(150 * 75, 3, 8500) == pytest.approx(0.286875, abs=1e-9)


def leads(length_mm=3000.0, kg_m=0.2, covers_mm=1.2):
    return [LeadInPanel("6 mm round", length_mm, kg_m, covers_mm)]


def test_a_panel_weighs_its_glass_its_came_and_its_cement():
    mass = panel_mass(600 * 400, leads(), FIGURES, thickness_mm=3)
    assert mass.glass_kg == pytest.approx((0.24 - 3 * 0.0012) * 3 * 2.5)
    assert mass.came_kg == pytest.approx(0.6)
    assert mass.cement_kg == pytest.approx(3 * 0.02)
    assert mass.total_kg == pytest.approx(mass.glass_kg + mass.came_kg + mass.cement_kg)
    assert "Weigh the panel" in mass.working.caution


def test_glass_nobody_measured_is_the_usual_thickness_and_says_so():
    assumed = panel_mass(600 * 400, leads(), FIGURES)
    measured = panel_mass(600 * 400, leads(), FIGURES, thickness_mm=3)
    assert assumed.total_kg == measured.total_kg
    assert [each.origin for each in assumed.working.inputs if "hickness" in each.name] == [
        "default"
    ]
    assert [each.origin for each in measured.working.inputs if "hickness" in each.name] == [
        "measured"
    ]


def test_every_layer_of_plated_pieces_weighs():
    single = panel_mass(600 * 400, leads(), FIGURES)
    half_plated = panel_mass(600 * 400, leads(), FIGURES, plated_share=0.5)
    assert half_plated.glass_kg == pytest.approx(1.5 * single.glass_kg)
    assert half_plated.came_kg == single.came_kg


def test_leads_that_leave_no_glass_are_refused():
    with pytest.raises(QuantityError, match="no room for glass"):
        glass_area_mm2(10_000, leads(length_mm=20_000))


@pytest.mark.parametrize(
    ("mass", "side", "people"),
    [(0.5, 300, 1), (10, 300, 1), (10.1, 300, 2), (20, 300, 2), (35, 300, 4), (2, 1000.5, 2)],
)
@pytest.mark.published("common practice, no source")
def test_people_are_rounded_up_and_two_carry_a_long_panel(mass, side, people):
    assert people_for(mass, side, 10, 1000) == people


def test_lifting_defers_to_the_place_of_work_and_warns_of_a_bow():
    handling = handling_of(12, 800, FIGURES)
    assert handling.people == 2
    assert handling.working.result == "2 people"
    assert any("competent person" in caution for caution in handling.cautions)
    assert BOWED in handling.cautions
    assert "board" in BOWED
    assert "wind" in BOWED


def test_a_figure_not_listed_is_named():
    with pytest.raises(KeyError, match=r"glass\.thickness"):
        panel_mass(600 * 400, leads(), Figures(()))
