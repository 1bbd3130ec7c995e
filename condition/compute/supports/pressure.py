"""Wind on the panels of a building for its site: the code's pressure times the net coefficient."""

import math
from dataclasses import dataclass
from typing import Final

from condition.compute.supports import wind_asce, wind_en
from condition.compute.supports.errors import SupportError
from condition.compute.supports.words import SCREENING
from sites.compute.figures import Figures
from sites.compute.working import Input, Working

EN: Final = "EN 1991-1-4"
ASCE: Final = "ASCE 7-16"


@dataclass(frozen=True)
class WindFacts:
    """The wind at a building as it was typed.

    speed: in m/s after EN 1991-1-4, in mph after ASCE 7-16; `speed_source` says from where.
    hills: orography co or topographic factor Kzt; direction: cdir or Kd.
    coefficient: net, outside and inside together; only its size counts, a bar bends both ways.
    """

    code: str
    speed: float
    speed_source: str
    terrain: str
    terrain_name: str
    height_m: float | None
    hills: float
    direction: float
    coefficient: float


@dataclass(frozen=True)
class WindPressure:
    """Pressures in Pa: as the code gives it, brought down to service, and net on the glass."""

    velocity_pa: float
    service_pa: float
    net_pa: float
    working: Working
    cautions: tuple[str, ...] = ()


def net_coefficient(external: float, internal: float) -> float:
    """Return outside less inside, both with their signs: −0.7 outside, 0.18 inside is −0.88.

    Source: EN 1991-1-4 (5.3) and ASCE 7-16 (30.3-1), in which external is the product G·Cp or GCp.
    """
    return external - internal


def pressure_of(facts: WindFacts, figures: Figures) -> WindPressure:
    """Return the pressure on the panels, with its working.

    Raises SupportError where something needed is missing, is not above zero, or is beyond what
    the code gives.
    """
    if facts.height_m is None:
        raise SupportError("The height to reckon the wind at is not recorded.")
    for name, value in (
        ("wind speed", facts.speed),
        ("height to reckon the wind at", facts.height_m),
        ("factor for hills", facts.hills),
        ("factor for direction", facts.direction),
        ("net pressure coefficient", abs(facts.coefficient)),
    ):
        if not (math.isfinite(value) and value > 0):
            raise SupportError(f"The {name} must be above zero: without it there is no load.")
    if facts.code == EN:
        return _by_en(facts, facts.height_m)
    if facts.code == ASCE:
        return _by_asce(facts, facts.height_m, figures)
    raise SupportError(f"Wind is reckoned after {EN} or {ASCE}, not {facts.code}.")


def _by_en(facts: WindFacts, height_m: float) -> WindPressure:
    speed = facts.speed * facts.direction
    height = wind_en.reckoned_height_m(facts.terrain, height_m)
    peak = wind_en.peak_pressure(speed, facts.terrain, height, facts.hills)
    net = peak * abs(facts.coefficient)
    cautions = []
    if height > height_m:
        cautions.append(
            f"Below {height:g} m this terrain is reckoned as at {height:g} m (EN 1991-1-4, 4.3.2)."
        )
    mean = wind_en.mean_speed(speed, facts.terrain, height, facts.hills)
    working = Working(
        "vm = cr × co × vb; qp = (1 + 7 × Iv) × ½ρ × vm²; net pressure = qp × net coefficient",
        (
            *_site_inputs(facts, "m/s", height_m),
            Input("height reckoned with", f"{height:g} m", "computed"),
            Input("roughness cr", f"{wind_en.roughness(facts.terrain, height):.3f}", "computed"),
            Input("mean speed vm", f"{mean:.2f} m/s", "computed"),
            Input(
                "turbulence Iv",
                f"{wind_en.turbulence(facts.terrain, height, facts.hills):.3f}",
                "computed",
            ),
            Input("density of air ρ", "1.25 kg/m³", "default", "EN 1991-1-4, 4.5"),
        ),
        f"qp = {peak:.0f} Pa; net {net:.0f} Pa ({net / wind_asce.PA_PER_PSF:.1f} lb/ft²)",
        "EN 1991-1-4, 4.2 to 4.5, recommended values; the national annex may differ",
        SCREENING,
    )
    return WindPressure(peak, peak, net, working, tuple(cautions))


def _by_asce(facts: WindFacts, height_m: float, figures: Figures) -> WindPressure:
    height_ft = height_m * wind_asce.FT_PER_M
    factor = wind_asce.component_factor(facts.terrain, height_ft)
    psf = wind_asce.velocity_pressure_psf(facts.speed, factor, facts.hills, facts.direction)
    velocity = psf * wind_asce.PA_PER_PSF
    service = velocity * figures.number("supports.service_share")
    net = service * abs(facts.coefficient)
    cautions = []
    if height_ft > wind_asce.LOW_BUILDING_FT:
        cautions.append(
            "The usual coefficients are for buildings up to 60 ft high (ASCE 7-16, figure 30.3-1); "
            "this one is higher."
        )
    working = Working(
        "q = 0.00256 × Kz × Kzt × Kd × Ke × V², with Ke = 1; net pressure = q × share for service "
        "× net coefficient",
        (
            *_site_inputs(facts, "mph", height_m, f" ({height_ft:.0f} ft)"),
            Input("Kz of that height", f"{factor:.3f}", "computed", "ASCE 7-16, table 26.10-1"),
            figures.input("supports.service_share"),
        ),
        f"q = {psf:.2f} lb/ft² ({velocity:.0f} Pa) ultimate, {service:.0f} Pa in service; net "
        f"{net:.0f} Pa ({net / wind_asce.PA_PER_PSF:.1f} lb/ft²)",
        "ASCE 7-16, (26.10-1)",
        SCREENING,
    )
    return WindPressure(velocity, service, net, working, tuple(cautions))


def _site_inputs(
    facts: WindFacts, unit: str, height_m: float, height_more: str = ""
) -> tuple[Input, ...]:
    european = facts.code == EN
    return (
        Input("basic wind speed", f"{facts.speed:g} {unit}", "entered", facts.speed_source),
        Input("terrain", facts.terrain_name or facts.terrain, "entered"),
        Input("height", f"{height_m:.2f} m{height_more}", "entered"),
        Input("hills, co" if european else "hills, Kzt", f"{facts.hills:g}", "entered"),
        Input(
            "direction, cdir" if european else "direction, Kd", f"{facts.direction:g}", "entered"
        ),
        Input("net coefficient", f"{facts.coefficient:g}", "entered"),
    )
