"""The came schedule of a panel: how much of which profile, measured or estimated."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sites.compute.figures import Figures
from sites.compute.quantities.came import Profile, inner_length_mm, profile_kg_m
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.mass import LeadInPanel
from sites.compute.quantities.net import PATTERNS, Outline, PanelNet, Run
from sites.compute.quantities.sticks import CutList, cut_list, sticks_with_waste
from sites.compute.working import Input, Origin, Working

MM_IN_M: Final = 1e3
INNER_FORMULA: Final = (
    "(pieces × c × √(area ÷ pieces) − edge of the panel) ÷ 2, less what was measured"
)
INNER_SOURCE: Final = "plane geometry, with every piece taken as of the mean size"
INNER_CAUTION: Final = "Estimated. Measure the leads on a rubbing before came is cut."
NO_OUTLINE: Final = (
    "The outline is not known: enter the sizes of the opening and its bars, or the panel's own "
    "width and height."
)
NO_PATTERN: Final = (
    "The leads inside are not known: measure them, or enter the pieces and the pattern of the leads"
)


@dataclass(frozen=True)
class CameLength:
    """One line of the schedule."""

    profile: Profile
    border: bool
    length_mm: float
    cuts: tuple[Decimal, ...]
    origin: Origin
    working: Working
    kg_m: float
    weight_working: Working

    @property
    def length_m(self) -> float:
        return self.length_mm / MM_IN_M

    @property
    def mass_kg(self) -> float:
        return self.length_m * self.kg_m

    def in_panel(self, figures: Figures) -> LeadInPanel:
        """Return the line as the mass takes it, with the glass that its heart takes up."""
        heart = self.profile.part("heart_thickness", figures)[0]
        covers = heart
        if self.border and self.profile.shape == "H":
            covers = (self.profile.part("leaf_width", figures)[0] + heart) / 2
        name = self.profile.name + (", border" if self.border else "")
        return LeadInPanel(name, self.length_mm, self.kg_m, covers)


@dataclass(frozen=True)
class Schedule:
    """The lines, and in words what could not be told."""

    lines: tuple[CameLength, ...]
    missing: tuple[str, ...]


@dataclass(frozen=True)
class SticksToBuy:
    """Sticks of one profile: as packed from a cut list, or with waste where there is none."""

    profile: Profile
    length_mm: float
    count: int
    cuts: CutList | None
    estimated: bool
    working: Working


def schedule_of(net: PanelNet, figures: Figures) -> Schedule:
    """Return the came of a panel by profile, the border first, measured before estimated.

    Raises QuantityError for a section of came that cannot be.
    """
    if net.outline is None:
        known = [run for run in net.runs if run.measured_mm is not None]
        return Schedule(tuple(_filled(known, 0.0, None, figures)), (NO_OUTLINE,))
    border = [run for run in net.runs if run.border] or [Run(Profile(), border=True)]
    inner = [run for run in net.runs if not run.border]
    missing: list[str] = []
    lines = _filled(border, net.outline.perimeter_mm, _border_working(net.outline), figures)
    if all(run.measured_mm is not None for run in inner) and inner:
        lines += _filled(inner, 0.0, None, figures)
        return Schedule(tuple(lines), ())
    if net.pieces == 1 and not inner:
        return Schedule(tuple(lines), ())
    try:
        total, working = _estimated_inner(net, net.outline, figures)
    except QuantityError as error:
        missing.append(str(error))
        measured = [run for run in inner if run.measured_mm is not None]
        lines += _filled(measured, 0.0, None, figures)
    else:
        lines += _filled(inner or [Run(Profile())], total, working, figures)
    return Schedule(tuple(lines), tuple(missing))


def edge_factor(pattern: str, figures: Figures) -> float | None:
    """Return c of a pattern, or None for one that has none."""
    return figures.number(f"pattern.{pattern}") if pattern in PATTERNS else None


def sticks_to_buy(lines: Iterable[CameLength], figures: Figures) -> list[SticksToBuy]:
    """Return the sticks of each profile over all the lines, of one panel or of many.

    Came nobody has described is no profile, and cannot be bought.

    Packed from the cut lists where every line of a profile has one; else the length with waste.

    Raises QuantityError naming a cut that is longer than its stick.
    """
    by_profile: dict[Profile, list[CameLength]] = {}
    for line in lines:
        if line.profile.key:
            by_profile.setdefault(line.profile, []).append(line)
    return [_sticks_of(profile, members, figures) for profile, members in by_profile.items()]


def _estimated_inner(net: PanelNet, outline: Outline, figures: Figures) -> tuple[float, Working]:
    factor = edge_factor(net.pattern, figures)
    if net.pieces is None or factor is None:
        raise QuantityError("pattern", f"{NO_PATTERN}.")
    total = inner_length_mm(net.pieces, outline.area_mm2, outline.perimeter_mm, factor)
    inputs = (
        Input("pieces", f"{net.pieces}", "entered"),
        figures.input(f"pattern.{net.pattern}", f"c, {net.pattern}"),
        Input("area", f"{outline.area_mm2 / 1e6:.4f} m²", outline.origin, outline.source),
        Input("edge of the panel", f"{outline.perimeter_mm / 1e3:.3f} m", outline.origin),
    )
    working = Working(
        INNER_FORMULA, inputs, f"{total / MM_IN_M:.2f} m inside", INNER_SOURCE, INNER_CAUTION
    )
    return total, working


def _border_working(outline: Outline) -> Working:
    edge = Input("edge", f"{outline.perimeter_mm / MM_IN_M:.3f} m", outline.origin, outline.source)
    return Working("edge of the panel's outline", (edge,), edge.value)


def _filled(
    runs: Sequence[Run], total_mm: float, estimate: Working | None, figures: Figures
) -> list[CameLength]:
    """The runs with those of no length sharing evenly what is left of the total."""
    known = sum(run.measured_mm or 0.0 for run in runs)
    open_runs = sum(run.measured_mm is None for run in runs)
    share = max(total_mm - known, 0.0) / open_runs if open_runs else 0.0
    return [_line(run, share, estimate, figures) for run in runs]


def _line(run: Run, share_mm: float, estimate: Working | None, figures: Figures) -> CameLength:
    kg_m, weight = profile_kg_m(run.profile, figures)
    measured = run.measured_mm
    if measured is None and estimate is not None:
        # A border follows the outline and is computed; the net inside is no more than estimated.
        origin: Origin = "computed" if run.border else "estimated"
        return CameLength(run.profile, run.border, share_mm, (), origin, estimate, kg_m, weight)
    length = measured or 0.0
    how = "length measured" if run.length_mm is not None else "sum of the pieces to cut"
    given = Input(run.profile.name, f"{length:.0f} mm", "measured")
    working = Working(how, (given,), f"{length / MM_IN_M:.2f} m")
    return CameLength(run.profile, run.border, length, run.cuts, "measured", working, kg_m, weight)


def _sticks_of(profile: Profile, lines: Sequence[CameLength], figures: Figures) -> SticksToBuy:
    stick = figures.value("sticks.length") if profile.stick_mm is None else _mm(profile.stick_mm)
    length = sum(line.length_mm for line in lines)
    sticks = (
        figures.input("sticks.length")
        if profile.stick_mm is None
        else Input("stick", f"{profile.stick_mm:g} mm", "entered")
    )
    needed = Input("came needed", f"{length / MM_IN_M:.2f} m", lines[0].origin)
    if all(line.cuts for line in lines):
        kerf = figures.value("sticks.kerf")
        packed = cut_list([cut for line in lines for cut in line.cuts], stick, kerf)
        count = len(packed.sticks)
        working = Working(
            "the longest cut first, each into the first stick that has room",
            (needed, sticks, figures.input("sticks.kerf")),
            _sticks_in_words(count),
            "first-fit decreasing, at most 11/9 of the fewest possible and one more",
        )
        return SticksToBuy(profile, length, count, packed, False, working)
    count = sticks_with_waste(_mm(length), stick, figures.value("sticks.waste"))
    working = Working(
        "(came needed + waste) ÷ stick, rounded up",
        (needed, figures.input("sticks.waste"), sticks),
        _sticks_in_words(count),
        "common practice, no source",
    )
    estimated = any(line.origin == "estimated" for line in lines)
    return SticksToBuy(profile, length, count, None, estimated, working)


def _sticks_in_words(count: int) -> str:
    return "1 stick" if count == 1 else f"{count} sticks"


def _mm(length: float) -> Decimal:
    return Decimal(str(round(length, 6)))
