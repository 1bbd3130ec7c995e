"""One bar screened: the load on it, how far it bends, its stress, and what would be enough."""

from dataclasses import dataclass
from typing import Final, Literal

from condition.compute.supports import beams
from condition.compute.supports.errors import SupportError
from condition.compute.supports.pressure import WindPressure
from condition.compute.supports.sections import FORMULAS, Section, section_of
from condition.compute.supports.words import HISTORIC_BAR, SCREENING
from sites.compute.figures import Figures
from sites.compute.working import Input, Origin, Working

MPA_IN_GPA: Final = 1000.0
N_MM2_IN_PA: Final = 1e-6

NOTHING_BEARS: Final = (
    "As it is drawn nothing bears on this bar: look at its height and at the bars beside it."
)

# The formulas are for small deflections; past this ratio they are a sign and no measure.
LEAST_RATIO: Final = 30.0
TOO_FAR: Final = (
    "It would bend by more than a thirtieth of its span. The formula holds for small deflections "
    "only: take this as a sign that the bar is slender, not as a measure."
)

# What may be missing: what a page names, with the place to type it.
Need = Literal["wind", "opening", "section", "width", "depth", "material"]


@dataclass(frozen=True)
class BarFacts:
    """A bar as it is recorded and drawn, where it crosses one light.

    span_mm: clear between the stones; below_mm, above_mm: to the supports next to it. All three
        are None where the opening is not measured. span_source says how the span is known.
    width_mm: across the window; depth_mm: in the direction of the wind.
    """

    span_mm: float | None
    below_mm: float | None
    above_mm: float | None
    shape: str
    width_mm: float | None
    depth_mm: float | None
    material: str
    material_name: str = ""
    span_source: str = ""
    span_origin: Origin = "computed"

    @property
    def carried_mm(self) -> float | None:
        """The height of window that bears on the bar: half way to each of its neighbours."""
        if self.below_mm is None or self.above_mm is None:
            return None
        return (self.below_mm + self.above_mm) / 2


@dataclass(frozen=True)
class BarLoad:
    """Wind on a bar, in N for each mm and in N altogether."""

    line_n_mm: float
    total_n: float
    working: Working


@dataclass(frozen=True)
class BarBending:
    """How a bar bends: with its ends resting free, and with both held fast, the other bound.

    share_of_limit, share_of_stress: 1 is just at it, more is beyond.
    greatest_span_mm: at the bars' spacing; greatest_carried_mm: at the bar's span. Both keep the
    deflection and the stress within their limits.
    """

    deflection_mm: float
    fixed_deflection_mm: float
    limit_mm: float
    span_over_deflection: float
    stress: float
    allowed_stress: float
    greatest_span_mm: float
    greatest_carried_mm: float
    deflection_working: Working
    stress_working: Working
    reach_working: Working

    @property
    def share_of_limit(self) -> float:
        return self.deflection_mm / self.limit_mm

    @property
    def share_of_stress(self) -> float:
        return self.stress / self.allowed_stress

    @property
    def is_small(self) -> bool:
        """Whether the deflection is small enough for the formula to hold."""
        return self.span_over_deflection >= LEAST_RATIO

    @property
    def worst_share(self) -> float:
        return max(self.share_of_limit, self.share_of_stress)


@dataclass(frozen=True)
class BarCheck:
    """What can be told of a bar; `missing` names what would be needed for the rest."""

    facts: BarFacts
    load: BarLoad | None
    bending: BarBending | None
    missing: tuple[Need, ...]
    trouble: str = ""


def material_key(material: str) -> str:
    """Return how a material is called in the keys of figures: `wrought_iron`."""
    return material.replace(" ", "_")


def check_bar(facts: BarFacts, wind: WindPressure | None, figures: Figures) -> BarCheck:
    """Return the bar as far as it can be reckoned. Never raises: what is missing is told."""
    missing = list(_missing(facts, wind))
    load = _load(facts, wind) if wind else None
    section, trouble = _section(facts)
    if wind and load is None and "opening" not in missing:
        trouble = NOTHING_BEARS
    if load is None or section is None or facts.span_mm is None or not facts.material:
        return BarCheck(facts, load, None, tuple(missing), trouble)
    bending = _bending(facts, facts.span_mm, section, load, figures)
    return BarCheck(facts, load, bending, tuple(missing), "" if bending.is_small else TOO_FAR)


def _missing(facts: BarFacts, wind: WindPressure | None) -> list[Need]:
    found: list[Need] = []
    if wind is None:
        found.append("wind")
    if facts.span_mm is None or facts.carried_mm is None:
        found.append("opening")
    if not facts.shape:
        found.append("section")
    if facts.width_mm is None and (facts.depth_mm is None or facts.shape in ("flat", "")):
        found.append("width")
    if facts.depth_mm is None and facts.shape in ("flat", ""):
        found.append("depth")
    if not facts.material:
        found.append("material")
    return found


def _section(facts: BarFacts) -> tuple[Section | None, str]:
    if not facts.shape or (facts.width_mm is None and facts.depth_mm is None):
        return None, ""
    if facts.shape == "flat" and (facts.width_mm is None or facts.depth_mm is None):
        return None, ""
    try:
        return section_of(facts.shape, facts.width_mm, facts.depth_mm), ""
    except SupportError as error:
        return None, str(error)


def _load(facts: BarFacts, wind: WindPressure) -> BarLoad | None:
    carried = facts.carried_mm
    if facts.span_mm is None or carried is None or facts.span_mm <= 0 or carried <= 0:
        return None
    line = wind.net_pa * N_MM2_IN_PA * carried
    total = line * facts.span_mm
    working = Working(
        "load on each mm = net pressure × half the height to the next support below and above; "
        "load on the bar = that × its span",
        (
            Input("net pressure", f"{wind.net_pa:.0f} Pa", "computed", "the building's wind"),
            Input("to the support below", f"{facts.below_mm:.0f} mm", "computed", "the drawing"),
            Input("to the support above", f"{facts.above_mm:.0f} mm", "computed", "the drawing"),
            _span_input(facts),
        ),
        f"{carried:.0f} mm of window bear on the bar: {line:.4f} N/mm, {total:.0f} N altogether, "
        f"{total / 2:.0f} N at each end",
        "statics; the sides are taken to carry nothing, which is the safe side",
        SCREENING,
    )
    return BarLoad(line, total, working)


def _bending(
    facts: BarFacts, span_mm: float, section: Section, load: BarLoad, figures: Figures
) -> BarBending:
    rules = _Rules(figures, material_key(facts.material))
    elastic, line = rules.elastic, load.line_n_mm
    inertia, modulus = section.second_moment_mm4, section.modulus_mm3
    free = beams.deflection_mm(line, span_mm, elastic, inertia)
    fixed = beams.deflection_mm(line, span_mm, elastic, inertia, "fixed")
    limit = beams.limit_mm(span_mm, rules.ratio, rules.cap_mm)
    stress = beams.moment_n_mm(line, span_mm) / modulus
    reach = min(
        beams.span_by_deflection_mm(line, elastic, inertia, rules.ratio, rules.cap_mm),
        beams.span_by_stress_mm(line, modulus, rules.stress),
    )
    # Deflection and stress both grow evenly with the load, and the load with the height carried.
    carried = (facts.carried_mm or 0.0) / max(free / limit, stress / rules.stress)
    deflections = (
        f"{free:.2f} mm free, {fixed:.2f} mm fixed; limit {limit:.2f} mm; span ÷ deflection = "
        f"{span_mm / free:.0f}"
    )
    stresses = f"{stress:.0f} MPa, against {rules.stress:.0f} MPa"
    enough = (
        f"span up to {reach:.0f} mm at this spacing; {carried:.0f} mm of window on the bar at "
        "this span"
    )
    shared = _bar_inputs(facts, section, load)
    return BarBending(
        deflection_mm=free,
        fixed_deflection_mm=fixed,
        limit_mm=limit,
        span_over_deflection=span_mm / free,
        stress=stress,
        allowed_stress=rules.stress,
        greatest_span_mm=reach,
        greatest_carried_mm=carried,
        deflection_working=_deflection_working(section, shared, rules, deflections),
        stress_working=_stress_working(section, shared, rules, stresses),
        reach_working=_reach_working(shared, rules, enough),
    )


@dataclass(frozen=True)
class _Rules:
    """What a bar of a material is held to, from the studio's figures."""

    figures: Figures
    key: str

    @property
    def elastic(self) -> float:
        """E in N/mm²."""
        return self.figures.number(f"supports.e_{self.key}") * MPA_IN_GPA

    @property
    def stress(self) -> float:
        """In N/mm²."""
        return self.figures.number(f"supports.stress_{self.key}")

    @property
    def ratio(self) -> float:
        return self.figures.number("supports.deflection_ratio")

    @property
    def cap_mm(self) -> float:
        return self.figures.number("supports.deflection_cap")

    def inputs(self, *names: str) -> tuple[Input, ...]:
        return tuple(self.figures.input(f"supports.{name}") for name in names)


def _deflection_working(
    section: Section, shared: tuple[Input, ...], rules: _Rules, result: str
) -> Working:
    inertia = Input("I", f"{section.second_moment_mm4:.1f} mm⁴", "computed")
    return Working(
        "ends resting free: 5 × w × L⁴ ÷ (384 × E × I); ends held fast, the other bound: "
        f"w × L⁴ ÷ (384 × E × I); {FORMULAS[section.shape]}; limit: the lesser of span ÷ ratio "
        "and cap",
        (*shared, inertia, *rules.inputs(f"e_{rules.key}", "deflection_ratio", "deflection_cap")),
        result,
        "beam handbooks; limit IBC 2403.3",
        HISTORIC_BAR,
    )


def _stress_working(
    section: Section, shared: tuple[Input, ...], rules: _Rules, result: str
) -> Working:
    modulus = Input("Z", f"{section.modulus_mm3:.1f} mm³", "computed")
    return Working(
        f"w × L² ÷ 8 ÷ Z; {FORMULAS[section.shape]}",
        (*shared, modulus, *rules.inputs(f"stress_{rules.key}")),
        result,
        "beam handbooks",
        SCREENING,
    )


def _reach_working(shared: tuple[Input, ...], rules: _Rules, result: str) -> Working:
    key = rules.key
    return Working(
        "span: the lesser of ∛(384·E·I ÷ (5·w·ratio)), ⁴√(384·E·I·cap ÷ (5·w)) and "
        "√(8·stress·Z ÷ w); height carried: as it is ÷ the greater share of a limit",
        (
            *shared,
            *rules.inputs(f"e_{key}", f"stress_{key}", "deflection_ratio", "deflection_cap"),
        ),
        result,
        "the same formulas turned round",
        SCREENING,
    )


def _bar_inputs(facts: BarFacts, section: Section, load: BarLoad) -> tuple[Input, ...]:
    size = f"{section.depth_mm:g} mm"
    if section.shape == "flat":
        size = f"{section.width_mm:g} mm wide, {section.depth_mm:g} mm deep"
    return (
        Input("load w", f"{load.line_n_mm:.4f} N/mm", "computed"),
        _span_input(facts),
        Input(f"{section.shape} bar", size, "measured"),
        Input("material", facts.material_name or facts.material, "entered"),
    )


def _span_input(facts: BarFacts) -> Input:
    return Input("span L", f"{facts.span_mm:.0f} mm", facts.span_origin, facts.span_source)
