"""The silicone bead that carries a plate alone."""

import pytest

from sites.compute.fixings.bead import bite_mm, bond_area_mm2, least_bead, round_up_bite
from sites.compute.fixings.capacity import capacity_of
from sites.compute.fixings.demand import demand_of
from sites.compute.fixings.item_mass import ItemFacts, mass_of
from sites.services.figures import shipped_figures
from tests.sites.fixings.plates import PLATE, line

PSI_KPA = 6.894757293
LBF_N = 4.4482216152605
MM_IN_INCH = 25.4


@pytest.mark.published("ASTM C1401-02, published calculation: 1.5 m, 4.44 kPa, 138 kPa: 24.13 mm")
def test_bite_of_a_published_calculation():
    assert bite_mm(1500, 4.44, 138) == pytest.approx(24.13, abs=0.01)


@pytest.mark.published("ASTM C1401, handbook example: 8 ft short side, 60 psf, 20 psi: 1 in")
def test_bite_of_a_handbook_example():
    bite = bite_mm(96 * MM_IN_INCH, 60 / 144 * PSI_KPA, 20 * PSI_KPA)
    assert bite == pytest.approx(MM_IN_INCH, abs=1e-9)
    assert round_up_bite(bite) == pytest.approx(MM_IN_INCH)


@pytest.mark.published("ASTM C1401 practice, dead load at 1 psi (from memory): 66.96 lb, 66.96 in²")
def test_bond_area_of_a_dead_load_bead():
    area = bond_area_mm2(66.96 * LBF_N, PSI_KPA)
    assert area / MM_IN_INCH**2 == pytest.approx(66.96, abs=1e-6)


@pytest.mark.published("NIST SP 811: 1 lbf/in² is 6.894 757 kPa, by definition of the pound-force")
def test_twenty_pounds_on_the_square_inch_in_kilopascals():
    pressure_kpa = 20 * PSI_KPA
    assert pressure_kpa == pytest.approx(137.895, abs=0.001)


@pytest.mark.published("ASTM C1401: 20 psi is 138 kPa; practice for dead load: 1 psi, 7 kPa")
def test_the_shipped_stresses_are_those_of_the_practice():
    figures = shipped_figures()
    assert figures.number("fixing.bead_short") == pytest.approx(20 * PSI_KPA, abs=0.2)
    assert figures.number("fixing.bead_dead_load") == pytest.approx(PSI_KPA, abs=0.2)
    assert {figures[f"fixing.{name}"].unit for name in ("bead_short", "bead_dead_load")} == {"kPa"}


@pytest.mark.parametrize("mm", [0.01, 3.175, 3.2, 24.13])
def test_a_bite_goes_up_to_the_next_eighth_of_an_inch(mm):
    eighths = round_up_bite(mm) / MM_IN_INCH * 8
    assert eighths == pytest.approx(round(eighths))
    assert 0 <= round_up_bite(mm) - mm <= MM_IN_INCH / 8


# Of the brass plate the weight decides, of the light one the pull.
@pytest.mark.parametrize("plate", [PLATE, ItemFacts("aluminium", 150, 75, 3)])
def test_the_least_bead_carries_the_item_and_a_shorter_one_does_not(plate):
    figures = shipped_figures()
    demand = demand_of(mass_of(plate, figures), figures)
    least = least_bead(demand, 75, figures)

    def margin(length_mm):
        bead = line("silicone bead", width_mm=least.bite_mm, length_mm=length_mm)
        each = capacity_of(bead, figures)
        return min(each.lasting_n / demand.weight_n, each.moment_n / demand.pulled_n)

    assert margin(least.length_mm) >= 1
    assert margin(least.length_mm - 1) < 1
    assert least.working.caution.startswith("A screening figure, not a design")
