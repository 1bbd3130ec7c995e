"""Peak velocity pressure of EN 1991-1-4, sections 4.2 to 4.5.

National annexes change some of this: kr and cr in some countries, the density of air in others.
"""

import math
from dataclasses import dataclass
from typing import Final

from condition.compute.supports.errors import SupportError

AIR_DENSITY: Final = 1.25  # kg/m³, recommended in 4.5
TURBULENCE: Final = 1.0  # kI, recommended in 4.4
HIGHEST_M: Final = 200.0  # 4.3.2 reaches no higher
Z0_II: Final = 0.05


@dataclass(frozen=True)
class Terrain:
    """Roughness length and the least height of a category, in m (table 4.1)."""

    z0_m: float
    least_m: float


TERRAINS: Final = {
    "0": Terrain(0.003, 1.0),
    "I": Terrain(0.01, 1.0),
    "II": Terrain(0.05, 2.0),
    "III": Terrain(0.3, 5.0),
    "IV": Terrain(1.0, 10.0),
}


def basic_pressure(speed_m_s: float) -> float:
    """Return the basic velocity pressure ½ρ·vb² in N/m² (4.10)."""
    return AIR_DENSITY * speed_m_s**2 / 2


def reckoned_height_m(terrain: str, height_m: float) -> float:
    """Return the height to reckon with: zmin of the terrain below it (4.3.2).

    Raises SupportError above 200 m, for which the code gives nothing.
    """
    if height_m > HIGHEST_M:
        raise SupportError(
            f"EN 1991-1-4 reaches up to {HIGHEST_M:.0f} m, and the height is {height_m:.0f} m."
        )
    return max(height_m, terrain_of(terrain).least_m)


def terrain_of(name: str) -> Terrain:
    """Return the category of that name. Raises SupportError for one that is not of this code."""
    if name not in TERRAINS:
        raise SupportError(f"EN 1991-1-4 has the terrains {', '.join(TERRAINS)}, not {name}.")
    return TERRAINS[name]


def roughness(terrain: str, height_m: float) -> float:
    """Return cr = kr·ln(z ÷ z0), with kr = 0.19·(z0 ÷ 0.05)^0.07 (4.4, 4.5)."""
    z0 = terrain_of(terrain).z0_m
    terrain_factor: float = 0.19 * (z0 / Z0_II) ** 0.07
    return terrain_factor * math.log(reckoned_height_m(terrain, height_m) / z0)


def mean_speed(speed_m_s: float, terrain: str, height_m: float, orography: float = 1.0) -> float:
    """Return vm = cr·co·vb in m/s (4.3)."""
    return roughness(terrain, height_m) * orography * speed_m_s


def turbulence(terrain: str, height_m: float, orography: float = 1.0) -> float:
    """Return Iv = kI ÷ (co·ln(z ÷ z0)) (4.7)."""
    z0 = terrain_of(terrain).z0_m
    return TURBULENCE / (orography * math.log(reckoned_height_m(terrain, height_m) / z0))


def peak_pressure(speed_m_s: float, terrain: str, height_m: float, orography: float = 1.0) -> float:
    """Return qp = (1 + 7·Iv)·½ρ·vm² in N/m² (4.8).

    speed_m_s: the basic speed vb, the factor for direction and season in it already.

    Raises SupportError for a terrain of another code and above 200 m.
    """
    gusts = 1 + 7 * turbulence(terrain, height_m, orography)
    return gusts * basic_pressure(mean_speed(speed_m_s, terrain, height_m, orography))
