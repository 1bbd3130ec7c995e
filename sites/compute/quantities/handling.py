"""How many people it takes to carry a panel, and what to heed."""

import math
from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.working import Input, Working

CARRYING: Final = (
    "Carry a leaded panel on edge and never flat, on its strong side, with its leads upright. "
    "Never carry one on a ladder: lower it from a tower or a lift. Lead and its dust are poisonous "
    "and old edges cut: gloves, and wash before eating. This screens; the rules of the place of "
    "work and a competent person decide."
)
BOWED: Final = (
    "A bowed panel folds along its leads when it is taken out: brace it first, slide a stiff board "
    "behind it and lift board and panel together, never in wind."
)


@dataclass(frozen=True)
class Handling:
    """People to carry a panel, and the cautions that go with it."""

    people: int
    working: Working
    cautions: tuple[str, ...]


def people_for(
    mass_kg: float, longest_side_mm: float, kg_each: float, two_people_side_mm: float
) -> int:
    """Return how many people carry a panel: by its mass, and two at least for a long one."""
    by_mass = max(math.ceil(mass_kg / kg_each - 1e-9), 1)
    return max(by_mass, 2) if longest_side_mm > two_people_side_mm else by_mass


def handling_of(mass_kg: float, longest_side_mm: float, figures: Figures) -> Handling:
    """Return the people needed for a panel with the working and the cautions.

    Source: the settings' own; rounding up, and two for a long panel, are common practice.
    """
    people = people_for(
        mass_kg,
        longest_side_mm,
        figures.number("handling.kg_per_person"),
        figures.number("handling.two_people_side"),
    )
    inputs = (
        Input("mass", f"{mass_kg:.1f} kg", "computed"),
        Input("longest side", f"{longest_side_mm:.0f} mm", "computed"),
        figures.input("handling.kg_per_person"),
        figures.input("handling.two_people_side"),
    )
    working = Working(
        "mass ÷ mass one person takes, rounded up; two at least above the longest side",
        inputs,
        "1 person" if people == 1 else f"{people} people",
        "common practice, no source, on the settings named",
    )
    return Handling(people, working, (CARRYING, BOWED))
