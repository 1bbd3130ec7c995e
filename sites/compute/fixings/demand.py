"""What the fixings of an item have to carry: its weight for ever, and a pull now and then."""

from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.fixings.item_mass import ItemMass

# Standard acceleration of free fall, 3rd General Conference on Weights and Measures (1901).
GRAVITY_M_S2: Final = 9.80665


@dataclass(frozen=True)
class Demand:
    """Two loads in newtons: one that never lets up, and one of a moment."""

    mass_kg: float
    weight_n: float
    pulled_n: float


def demand_of(mass: ItemMass, figures: Figures) -> Demand:
    """Return the lasting weight, and weight and pull together, in N.

    The pull (a cloth, a hand that steadies itself) is a setting. It is added to the weight as if
    both went one way, which asks more of the fixings than any other direction.
    """
    weight = mass.kg * GRAVITY_M_S2
    return Demand(mass.kg, weight, weight + figures.number("fixing.pull"))
