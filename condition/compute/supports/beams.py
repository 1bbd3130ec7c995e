"""Bars as beams under an even load: deflection, bending moment, and how far they may reach.

Lengths in mm, loads in N/mm, E in N/mm², so that deflections are mm and moments N·mm. The
formulas are those of every beam handbook, for small deflections of a straight elastic bar.
"""

from typing import Final, Literal

Ends = Literal["supported", "fixed"]

# Deflection at the middle is w·L⁴ ÷ (this · E·I).
DEFLECTION: Final[dict[Ends, float]] = {"supported": 384 / 5, "fixed": 384.0}
# The greatest moment is w·L² ÷ this: at the middle of a supported bar, at the ends of a fixed one.
MOMENT: Final[dict[Ends, float]] = {"supported": 8.0, "fixed": 12.0}


def deflection_mm(
    line_load: float, span_mm: float, modulus: float, inertia_mm4: float, ends: Ends = "supported"
) -> float:
    """Return the deflection at the middle: 5wL⁴ ÷ 384EI with free ends, wL⁴ ÷ 384EI with fixed.

    line_load: in N/mm. modulus: E in N/mm². Source: beam handbooks.
    """
    return line_load * span_mm**4 / (DEFLECTION[ends] * modulus * inertia_mm4)


def moment_n_mm(line_load: float, span_mm: float, ends: Ends = "supported") -> float:
    """Return the greatest moment: wL² ÷ 8 with free ends, wL² ÷ 12 with fixed ones."""
    return line_load * span_mm**2 / MOMENT[ends]


def reaction_n(line_load: float, span_mm: float) -> float:
    """Return what each end carries, wL ÷ 2."""
    return line_load * span_mm / 2


def point_deflection_mm(load_n: float, span_mm: float, modulus: float, inertia_mm4: float) -> float:
    """Return the deflection under a load at the middle of a supported bar, PL³ ÷ 48EI."""
    return load_n * span_mm**3 / (48 * modulus * inertia_mm4)


def limit_mm(span_mm: float, ratio: float, cap_mm: float) -> float:
    """Return the deflection a span is judged by: its `ratio`th part, and never over `cap_mm`.

    Source of the form: IBC 2403.3, L/175 or 3/4 in, whichever is less.
    """
    return min(span_mm / ratio, cap_mm)


def span_by_deflection_mm(
    line_load: float, modulus: float, inertia_mm4: float, ratio: float, cap_mm: float
) -> float:
    """Return the greatest span of a supported bar whose deflection is within its limit.

    From w·L⁴ ÷ (k·E·I) = L ÷ ratio, and from the same set to the cap; the lesser of the two.
    """
    stiffness = DEFLECTION["supported"] * modulus * inertia_mm4 / line_load
    by_ratio: float = (stiffness / ratio) ** (1 / 3)
    by_cap: float = (stiffness * cap_mm) ** (1 / 4)
    return min(by_ratio, by_cap)


def span_by_stress_mm(line_load: float, modulus_mm3: float, stress: float) -> float:
    """Return the greatest span of a supported bar at so much bending stress, √(8·σ·Z ÷ w)."""
    span: float = (MOMENT["supported"] * stress * modulus_mm3 / line_load) ** 0.5
    return span
