"""Bars and winds for the tests of supports."""

from dataclasses import replace

from condition.compute.supports.checks import BarFacts
from condition.compute.supports.pressure import WindFacts, WindPressure
from sites.compute.figures import Figures
from sites.compute.working import Working
from sites.services.figures import shipped_figures

# A bar of 3/8 in, as the specifying guide of the American trade has it.
ROUND_MM = 9.525

STEEL_BAR = BarFacts(
    span_mm=600.0,
    below_mm=380.0,
    above_mm=380.0,
    shape="round",
    width_mm=ROUND_MM,
    depth_mm=None,
    material="steel",
    material_name="Mild steel",
    span_source="the opening as measured",
)
TOWN = WindFacts(
    code="EN 1991-1-4",
    speed=26.0,
    speed_source="national annex",
    terrain="III",
    terrain_name="III: villages, suburbs, forest",
    height_m=12.0,
    hills=1.0,
    direction=1.0,
    coefficient=1.3,
)
SUBURB = replace(
    TOWN,
    code="ASCE 7-16",
    speed=115.0,
    terrain="B",
    terrain_name="B: towns, suburbs, woods",
    direction=0.85,
    coefficient=-1.28,
)


def pressing(pascal: float) -> WindPressure:
    """A wind of so much net pressure, wherever it comes from."""
    return WindPressure(pascal, pascal, pascal, Working("", (), ""))


def figures() -> Figures:
    return shipped_figures()
