"""Mass of a leaded panel: its glass, its came and the cement in it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from sites.compute.figures import Figures
from sites.compute.quantities.errors import QuantityError
from sites.compute.working import Input, Working

MM_IN_M: Final = 1e3
MM2_IN_M2: Final = 1e6
FORMULA: Final = (
    "glass (area less the hearts of the leads) × thickness × density + came by the metre × its "
    "length + cement by the metre × all leads"
)
LEFT_OUT: Final = (
    "Solder, ties, bars and dirt are not in it, and old glass is of no even thickness: an estimate "
    "for planning. Weigh the panel before lifting gear is chosen."
)


@dataclass(frozen=True)
class LeadInPanel:
    """Came of one profile in a panel: how long, what a metre weighs, what its heart takes up.

    covers_mm: width of glass the came stands in place of: the heart of an inner lead; from the
        outer edge to the inner face of the heart round the border.
    """

    name: str
    length_mm: float
    kg_m: float
    covers_mm: float


@dataclass(frozen=True)
class PanelMass:
    """Masses in kg, with the working of their sum."""

    glass_kg: float
    came_kg: float
    cement_kg: float
    working: Working

    @property
    def total_kg(self) -> float:
        return self.glass_kg + self.came_kg + self.cement_kg


def sheet_kg(area_mm2: float, thickness_mm: float, density_kg_m3: float) -> float:
    """Return the mass of a sheet or plate in kg. Source: volume × density."""
    return area_mm2 / MM2_IN_M2 * thickness_mm / MM_IN_M * density_kg_m3


def glass_area_mm2(area_mm2: float, leads: Sequence[LeadInPanel]) -> float:
    """Return the area of glass between the hearts of the leads, in mm².

    Where hearts meet, and at the corners of the border, they are taken off twice: less than a
    thousandth of a panel.

    Raises QuantityError where the leads leave no glass.
    """
    glass = area_mm2 - sum(lead.length_mm * lead.covers_mm for lead in leads)
    if glass <= 0:
        raise QuantityError(
            "length", "So much came leaves no room for glass: look at the lengths of the leads."
        )
    return glass


def panel_mass(
    area_mm2: float,
    leads: Sequence[LeadInPanel],
    figures: Figures,
    thickness_mm: float | None = None,
    plated_share: float = 0.0,
) -> PanelMass:
    """Return the mass of a panel with the working.

    thickness_mm: of the glass, None where it was not measured.
    plated_share: of the pieces that carry a second layer of glass, 0 to 1.

    Raises QuantityError for leads that leave no glass.
    """
    thickness = thickness_mm or figures.number("glass.thickness")
    glass = glass_area_mm2(area_mm2, leads)
    layer_kg = sheet_kg(glass, thickness, figures.number("glass.density"))
    glass_kg = (1 + plated_share) * layer_kg
    came_kg = sum(lead.length_mm / MM_IN_M * lead.kg_m for lead in leads)
    all_leads_m = sum(lead.length_mm for lead in leads) / MM_IN_M
    cement_kg = all_leads_m * figures.number("came.cement")
    result = (
        f"{glass_kg:.2f} kg glass + {came_kg:.2f} kg came + {cement_kg:.2f} kg cement "
        f"= {glass_kg + came_kg + cement_kg:.1f} kg"
    )
    inputs = (
        Input("area of the outline", f"{area_mm2 / MM2_IN_M2:.4f} m²", "computed"),
        Input("glass between the hearts", f"{glass / MM2_IN_M2:.4f} m²", "computed"),
        *_glass_inputs(figures, thickness_mm, plated_share),
        *(_lead_input(lead) for lead in leads),
        figures.input("came.cement"),
    )
    working = Working(FORMULA, inputs, result, "volume × density", LEFT_OUT)
    return PanelMass(glass_kg, came_kg, cement_kg, working)


def _glass_inputs(figures: Figures, thickness_mm: float | None, plated_share: float) -> list[Input]:
    inputs = [figures.input("glass.thickness"), figures.input("glass.density")]
    if thickness_mm:
        inputs[0] = Input("thickness of the glass", f"{thickness_mm:g} mm", "measured")
    if plated_share:
        inputs.append(Input("pieces plated", f"{100 * plated_share:.0f} %", "entered"))
    return inputs


def _lead_input(lead: LeadInPanel) -> Input:
    told = f"{lead.length_mm / MM_IN_M:.2f} m × {lead.kg_m:.4f} kg/m"
    return Input(lead.name, told, "computed")
