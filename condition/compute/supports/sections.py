"""Sections of bars: area, second moment and section modulus, about the axis that wind bends."""

import math
from dataclasses import dataclass
from typing import Final, Literal, get_args

from condition.compute.supports.errors import SupportError

Shape = Literal["round", "flat", "square"]
SHAPES: Final[tuple[Shape, ...]] = get_args(Shape)

FORMULAS: Final[dict[Shape, str]] = {
    "round": "I = π × d⁴ ÷ 64 and Z = π × d³ ÷ 32",
    "flat": "I = b × h³ ÷ 12 and Z = b × h² ÷ 6, h in the direction of the load",
    "square": "I = a⁴ ÷ 12 and Z = a³ ÷ 6",
}


@dataclass(frozen=True)
class Section:
    """A bar cut through; both sides of a round or square bar are its one size.

    width_mm: across the window, at right angles to the wind.
    depth_mm: in the direction of the wind.
    """

    shape: Shape
    width_mm: float
    depth_mm: float

    @property
    def area_mm2(self) -> float:
        if self.shape == "round":
            return math.pi * self.depth_mm**2 / 4
        return self.width_mm * self.depth_mm

    @property
    def second_moment_mm4(self) -> float:
        """Return I, which resists deflection. Source: geometry."""
        if self.shape == "round":
            return math.pi * self.depth_mm**4 / 64
        return self.width_mm * self.depth_mm**3 / 12

    @property
    def modulus_mm3(self) -> float:
        """Return Z = I ÷ half the depth, which resists bending."""
        return self.second_moment_mm4 / (self.depth_mm / 2)

    @property
    def on_its_side(self) -> "Section":
        """Return the same bar as weight bends it: loaded from above."""
        return Section(self.shape, self.depth_mm, self.width_mm)


def section_of(shape: str, width_mm: float | None, depth_mm: float | None) -> Section:
    """Return the section of a bar from what is recorded of it, in mm.

    A round or square bar has one size: either box will do, and two that differ are refused.

    Raises SupportError for a shape not known, a size missing or not above zero.
    """
    if shape not in SHAPES:
        raise SupportError(f"A bar is {', '.join(SHAPES)}; {shape!r} cannot be reckoned.")
    known: Shape = "round" if shape == "round" else "flat" if shape == "flat" else "square"
    sizes = [size for size in (width_mm, depth_mm) if size is not None]
    if not sizes or (known == "flat" and len(sizes) < 2):
        raise SupportError("The size of the bar is not recorded.")
    if any(not math.isfinite(size) or size <= 0 for size in sizes):
        raise SupportError("A size of a bar is above zero.")
    if known != "flat" and not math.isclose(sizes[0], sizes[-1], abs_tol=0.05):
        raise SupportError(
            f"A {known} bar has one size, but {sizes[0]:g} and {sizes[-1]:g} mm are recorded: "
            "put one of them right, or make it a flat bar."
        )
    return Section(known, sizes[0], sizes[-1])
