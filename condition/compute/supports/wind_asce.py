"""Velocity pressure of ASCE 7-16, section 26.10, in its own pounds and feet.

Speeds of its maps are ultimate: pressures come down by 0.6 before a bar is judged in service.
The factor for the height of the ground above the sea (Ke) is taken as 1, which is never less.
"""

from dataclasses import dataclass
from typing import Final

from condition.compute.supports.errors import SupportError

LOWEST_FT: Final = 15.0
HIGHEST_FT: Final = 500.0  # table 26.10-1 reaches no higher
# Low buildings: the coefficients of figure 30.3-1 are for a mean roof height up to this.
LOW_BUILDING_FT: Final = 60.0
# Exposure B may not go below this for components and cladding (table 26.10-1, its note).
LEAST_B: Final = 0.70
VELOCITY_FACTOR: Final = 0.00256  # psf for mph (26.10-1)
PA_PER_PSF: Final = 47.880259
FT_PER_M: Final = 1 / 0.3048


@dataclass(frozen=True)
class Exposure:
    """The gradient of an exposure: its power α and the height zg it reaches, in ft."""

    alpha: float
    gradient_ft: float


EXPOSURES: Final = {
    "B": Exposure(7.0, 1200.0),
    "C": Exposure(9.5, 900.0),
    "D": Exposure(11.5, 700.0),
}


def exposure_factor(exposure: str, height_ft: float) -> float:
    """Return Kz = 2.01·(z ÷ zg)^(2 ÷ α), z at least 15 ft (table 26.10-1).

    Raises SupportError for an exposure of another code and above 500 ft.
    """
    if exposure not in EXPOSURES:
        raise SupportError(f"ASCE 7-16 has the exposures {', '.join(EXPOSURES)}, not {exposure}.")
    if height_ft > HIGHEST_FT:
        raise SupportError(
            f"ASCE 7-16 is read up to {HIGHEST_FT:.0f} ft here, and the height is "
            f"{height_ft:.0f} ft."
        )
    known = EXPOSURES[exposure]
    share = max(height_ft, LOWEST_FT) / known.gradient_ft
    factor: float = 2.01 * share ** (2 / known.alpha)
    return factor


def component_factor(exposure: str, height_ft: float) -> float:
    """Return Kz for glazing and its bars: in exposure B never below 0.70."""
    factor = exposure_factor(exposure, height_ft)
    return max(factor, LEAST_B) if exposure == "B" else factor


def velocity_pressure_psf(
    speed_mph: float, exposure_kz: float, hills: float = 1.0, direction: float = 1.0
) -> float:
    """Return q = 0.00256·Kz·Kzt·Kd·Ke·V² in psf, with Ke = 1 (26.10-1)."""
    return VELOCITY_FACTOR * exposure_kz * hills * direction * speed_mph**2
