"""Mass of an attached item from its size, or as weighed."""

from dataclasses import replace

import pytest

from sites.compute.fixings.demand import GRAVITY_M_S2, demand_of
from sites.compute.fixings.item_mass import mass_of, missing_for_mass, plate_kg
from sites.models.choices import Material
from sites.services.figures import shipped_figures
from tests.sites.fixings.plates import PLATE

KG_IN_LB = 0.45359237
MM_IN_INCH = 25.4


def test_a_brass_plate_weighs_its_volume_times_the_handbook_density():
    """8500 kg/m³ for brass is a handbook value, from memory."""
    assert plate_kg(150, 75, 3, 8500) == pytest.approx(0.286875, abs=1e-9)
    mass = mass_of(PLATE, shipped_figures())
    assert mass.kg == pytest.approx(0.286875, abs=1e-9)
    assert mass.working.inputs[-1].source == "handbook value, from memory"


def test_a_cast_bronze_plaque_weighs_what_the_trade_reckons_by_inches():
    """36 × 24 × 1/4 in × 0.31 lb/in³ = 66.96 lb: common practice, no source."""
    density = 0.31 * KG_IN_LB / (MM_IN_INCH / 1000) ** 3
    assert density == pytest.approx(8581, abs=0.5)
    pounds = plate_kg(36 * MM_IN_INCH, 24 * MM_IN_INCH, 0.25 * MM_IN_INCH, density) / KG_IN_LB
    assert pounds == pytest.approx(66.96, abs=1e-6)
    assert float(shipped_figures().value("material.bronze")) == pytest.approx(density, abs=0.5)


def test_a_weight_that_was_taken_goes_before_one_worked_out():
    assert mass_of(replace(PLATE, weighed_kg=0.31), shipped_figures()).kg == 0.31


def test_what_is_missing_is_named_and_never_guessed():
    bare = replace(PLATE, thickness_mm=None, material="unknown")
    assert missing_for_mass(bare, shipped_figures()) == ("its thickness", "its material")
    assert mass_of(bare, shipped_figures()) is None


def test_a_thing_that_is_no_plate_has_to_be_weighed():
    lamp = replace(PLATE, is_plate=False)
    assert missing_for_mass(lamp, shipped_figures()) == ("its weight",)
    assert mass_of(lamp, shipped_figures()) is None
    assert missing_for_mass(replace(lamp, weighed_kg=2.0), shipped_figures()) == ()


@pytest.mark.parametrize("material", sorted(set(Material.values) - {"unknown", "other"}))
def test_every_metal_of_the_register_has_a_density(material):
    assert mass_of(replace(PLATE, material=material), shipped_figures()).kg > 0


@pytest.mark.published("3rd CGPM (1901): standard acceleration of free fall 9.80665 m/s²")
def test_the_demand_is_the_weight_and_beside_it_weight_and_pull():
    figures = shipped_figures()
    demand = demand_of(mass_of(replace(PLATE, weighed_kg=1.0), figures), figures)
    assert GRAVITY_M_S2 == demand.weight_n == 9.80665
    assert demand.pulled_n == pytest.approx(9.80665 + figures.number("fixing.pull"))
