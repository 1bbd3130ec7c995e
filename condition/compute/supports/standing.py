"""Panels standing on what is below them: how much each sill and each parting bar carries."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from condition.compute.supports import beams
from condition.compute.supports.checks import MPA_IN_GPA, material_key
from condition.compute.supports.errors import SupportError
from condition.compute.supports.sections import FORMULAS, Section, section_of
from condition.compute.supports.words import WEIGHT_ALONE
from sites.compute.figures import Figures
from sites.compute.working import Input, Working

GRAVITY: Final = 9.80665  # m/s², standard acceleration of gravity
SAME_PLACE_MM: Final = 1.0


@dataclass(frozen=True)
class StandingPanel:
    """A panel in a light: its foot above the sill of the opening, its mass, None if not known."""

    number: str
    light: int
    foot_mm: float
    mass_kg: float | None


@dataclass(frozen=True)
class Ledge:
    """What panels stand on in one light: the sill, key "", or a bar that parts panels."""

    key: str
    light: int
    height_mm: float
    span_mm: float
    shape: str = ""
    width_mm: float | None = None
    depth_mm: float | None = None
    material: str = ""


@dataclass(frozen=True)
class LedgeLoad:
    """The weight on a ledge. mass_kg is None where a panel on it has no mass: `unknown` says which.

    sag_mm: how far a bar of known section bends down under it; None for a sill, or not known.
    """

    ledge: Ledge
    panels: tuple[str, ...]
    unknown: tuple[str, ...]
    mass_kg: float | None
    line_n_m: float | None
    sag_mm: float | None
    working: Working | None

    @property
    def stacked(self) -> bool:
        """Whether panels stand on each other, for no bar between them is recorded."""
        return len(self.panels) > 1


def stand(
    panels: Sequence[StandingPanel], ledges: Sequence[Ledge], figures: Figures
) -> tuple[LedgeLoad, ...]:
    """Return what each ledge carries that has panels on it, from the left, from the sill up.

    A panel stands on the highest ledge of its light that is not above its foot.
    """
    told = []
    for ledge in sorted(ledges, key=lambda each: (each.light, each.height_mm)):
        on_it = [panel for panel in panels if _ledge_under(panel, ledges) == ledge]
        if on_it:
            told.append(_load_on(ledge, on_it, figures))
    return tuple(told)


def _ledge_under(panel: StandingPanel, ledges: Sequence[Ledge]) -> Ledge | None:
    below = [
        ledge
        for ledge in ledges
        if ledge.light == panel.light and ledge.height_mm <= panel.foot_mm + SAME_PLACE_MM
    ]
    return max(below, key=lambda each: each.height_mm, default=None)


def _load_on(ledge: Ledge, panels: Sequence[StandingPanel], figures: Figures) -> LedgeLoad:
    ordered = sorted(panels, key=lambda each: each.foot_mm)
    numbers = tuple(panel.number for panel in ordered)
    unknown = tuple(panel.number for panel in ordered if panel.mass_kg is None)
    masses = [panel.mass_kg for panel in ordered if panel.mass_kg is not None]
    if unknown:
        return LedgeLoad(ledge, numbers, unknown, None, None, None, None)
    mass = sum(masses)
    line_n_mm = mass * GRAVITY / ledge.span_mm
    section = _bar_section(ledge)
    sag = None
    if section is not None:
        sag = beams.deflection_mm(
            line_n_mm, ledge.span_mm, _elastic(ledge, figures), section.second_moment_mm4
        )
    result = f"{mass:.1f} kg, {mass * GRAVITY:.0f} N, {line_n_mm * 1000:.0f} N on each metre"
    if sag is not None:
        result += f"; the bar bends down {sag:.2f} mm"
    working = Working(
        _formula(section),
        (
            *(
                Input(f"panel {panel.number}", f"{panel.mass_kg:.1f} kg", "computed")
                for panel in ordered
            ),
            Input("length it bears on", f"{ledge.span_mm:.0f} mm", "computed", "the drawing"),
            Input("gravity g", f"{GRAVITY} m/s²", "default", "standard value"),
            *_bar_inputs(ledge, section, figures),
        ),
        result,
        "statics; beam handbooks",
        WEIGHT_ALONE,
    )
    return LedgeLoad(ledge, numbers, unknown, mass, line_n_mm * 1000, sag, working)


def _formula(section: Section | None) -> str:
    formula = "mass of the panels × g ÷ the length they stand on"
    if section is None:
        return formula
    return f"{formula}; bends down 5 × w × L⁴ ÷ (384 × E × I), {FORMULAS[section.shape]}"


def _bar_inputs(ledge: Ledge, section: Section | None, figures: Figures) -> tuple[Input, ...]:
    if section is None:
        return ()
    size = f"{section.width_mm:g} mm wide, {section.depth_mm:g} mm high"
    return (
        Input(f"{section.shape} bar", size, "measured"),
        figures.input(f"supports.e_{material_key(ledge.material)}"),
    )


def _bar_section(ledge: Ledge) -> Section | None:
    """The bar as weight bends it; None for a sill, and for a bar that is not described."""
    if not ledge.key or not ledge.material:
        return None
    try:
        return section_of(ledge.shape, ledge.width_mm, ledge.depth_mm).on_its_side
    except SupportError:
        return None


def _elastic(ledge: Ledge, figures: Figures) -> float:
    return figures.number(f"supports.e_{material_key(ledge.material)}") * MPA_IN_GPA
