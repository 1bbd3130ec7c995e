"""The silicone bead that would carry a plate alone: its bite and its least length."""

import math
from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.fixings.demand import Demand
from sites.compute.fixings.margins import SCREENS
from sites.compute.working import Input, Working

BITE_STEP_MM: Final = 25.4 / 8
MM2_KPA: Final = 1e3


@dataclass(frozen=True)
class LeastBead:
    """Bite and total length in mm, over all sides together, with the working."""

    bite_mm: float
    length_mm: float
    working: Working


def bite_mm(short_side_mm: float, pressure_kpa: float, stress_kpa: float) -> float:
    """Return the bite that a wind or pull pressure asks for, in mm, not rounded.

    Source: ASTM C1401: half the shorter side × pressure ÷ allowable stress.
    """
    return 0.5 * short_side_mm * pressure_kpa / stress_kpa


def round_up_bite(mm: float) -> float:
    """Return the bite rounded up to the next eighth of an inch, in mm. Source: ASTM C1401."""
    return max(math.ceil(mm / BITE_STEP_MM - 1e-9), 1) * BITE_STEP_MM


def bond_area_mm2(weight_n: float, stress_kpa: float) -> float:
    """Return the bonded area that a weight asks for, in mm². Source: ASTM C1401 practice."""
    return weight_n / stress_kpa * MM2_KPA


def least_bead(demand: Demand, short_side_mm: float, figures: Figures) -> LeastBead:
    """Return the least bead that carries the item alone, with its working.

    short_side_mm: the shorter side of the plate; the bite is what its pressure asks, and no less
        than the figure.
    """
    dead_load = figures.number("fixing.bead_dead_load")
    pressure = figures.number("fixing.plate_pressure")
    asked = round_up_bite(bite_mm(short_side_mm, pressure, figures.number("fixing.bead_short")))
    bite = max(asked, figures.number("fixing.bead_bite"))
    # Two areas have to be met: the weight that lasts, and weight and pull for a moment.
    for_weight = bond_area_mm2(demand.weight_n, dead_load)
    for_pull = bond_area_mm2(demand.pulled_n, figures.number("fixing.bead_short"))
    length = float(math.ceil(max(for_weight, for_pull) / bite))
    inputs = (
        Input("weight", f"{demand.weight_n:.3g} N", "computed"),
        Input("weight and pull", f"{demand.pulled_n:.3g} N", "computed"),
        Input("shorter side", f"{short_side_mm:g} mm", "measured"),
        figures.input("fixing.plate_pressure"),
        figures.input("fixing.bead_short"),
        figures.input("fixing.bead_dead_load"),
        figures.input("fixing.bead_bite"),
    )
    working = Working(
        "bite = ½ × shorter side × pressure ÷ short stress, up to the next 1/8 in, no less than "
        "the least bite; length = the greater of weight ÷ dead-load stress and "
        "(weight + pull) ÷ short stress, ÷ bite",
        inputs,
        f"bite {bite:.3g} mm, length {length:.0f} mm in all",
        "ASTM C1401 (bite; the dead-load stress from memory)",
        SCREENS,
    )
    return LeastBead(bite, length, working)
