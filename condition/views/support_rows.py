"""Bars and what stands on them as a page shows them: each figure as text in the reader's units."""

from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from condition.compute.supports.checks import Need
from condition.compute.supports.spacing import Gap, judged
from condition.compute.supports.standing import LedgeLoad
from condition.compute.supports.wind_asce import PA_PER_PSF
from condition.services.supports import BarTold, Supports
from sites.compute.plain_numbers import plain_number
from sites.compute.working import Working
from sites.models import Bar
from sites.models.choices import Units
from sites.templatetags.quantities import mass, side

MM_PER_INCH: Final = 25.4
N_PER_LBF: Final = 4.4482216152605  # exactly, from the definitions of pound and standard gravity
MM_PER_FOOT: Final = 304.8
MPA_PER_KSI: Final = 6.894757


@dataclass(frozen=True)
class BarRow:
    """One bar of the table. What cannot be reckoned is empty, and `missing` says why.

    bends_beyond, stress_beyond: whether it is past what it is compared with.
    """

    number: int
    name: str
    made_of: str
    span: str
    spacing: str
    wide_spacing: str
    load: str
    deflection: str
    fixed: str
    ratio: str
    bends_beyond: bool
    stress: str
    allowed: str
    stress_beyond: bool
    enough: str
    workings: tuple[tuple[str, Working], ...]
    missing: tuple[str, ...]
    at_the_opening: bool
    at_the_bar: bool
    at_the_wind: bool
    trouble: str


@dataclass(frozen=True)
class LoadRow:
    """What stands on one ledge, as text."""

    light: int
    name: str
    panels: str
    stacked: bool
    mass: str
    line: str
    sag: str
    unknown: str
    working: Working | None


def bar_row(told: BarTold, supports: Supports, units: str) -> BarRow:
    check, facts = told.check, told.check.facts
    bending, missing = check.bending, frozenset(check.missing)
    carried = facts.carried_mm
    return BarRow(
        number=told.number,
        name=_bar_name(told, units),
        made_of=made_of(told.bar),
        span=side(facts.span_mm, units) if facts.span_mm else "",
        spacing=side(carried, units) if carried else "",
        wide_spacing=_wide(told, supports, units),
        load=force_text(check.load.total_n, units) if check.load else "",
        deflection=fine_text(bending.deflection_mm, units) if bending else "",
        fixed=fine_text(bending.fixed_deflection_mm, units) if bending else "",
        ratio=f"L/{bending.span_over_deflection:.0f}" if bending else "",
        bends_beyond=bending is not None and bending.share_of_limit > 1,
        stress=stress_text(bending.stress, units) if bending else "",
        allowed=stress_text(bending.allowed_stress, units) if bending else "",
        stress_beyond=bending is not None and bending.share_of_stress > 1,
        enough=_enough(told, rule_text(supports), units),
        workings=_workings(told),
        missing=tuple(_need_words(need) for need in check.missing),
        at_the_opening="opening" in missing,
        at_the_bar=bool(missing & {"section", "width", "depth", "material"}),
        at_the_wind="wind" in missing,
        trouble=check.trouble,
    )


def load_row(load: LedgeLoad, supports: Supports, units: str) -> LoadRow:
    return LoadRow(
        light=load.ledge.light,
        name=_ledge_name(load, supports, units),
        panels=", ".join(load.panels),
        stacked=load.stacked,
        mass=mass(load.mass_kg, units) if load.mass_kg is not None else "",
        line=line_text(load.line_n_m, units) if load.line_n_m is not None else "",
        sag=fine_text(load.sag_mm, units) if load.sag_mm is not None else "",
        unknown=", ".join(load.unknown),
        working=load.working,
    )


def standing_text(load: LedgeLoad, supports: Supports, units: str) -> str:
    """One sentence for a panel's page: what it stands on, and what that carries."""
    names = {"ledge": _ledge_name(load, supports, units), "panels": ", ".join(load.panels)}
    if load.mass_kg is None:
        names["unknown"] = ", ".join(load.unknown)
        return _("Stands on: %(ledge)s. The mass of %(unknown)s is not known.") % names
    names["mass"] = mass(load.mass_kg, units)
    if load.stacked:
        return (
            _(
                "Stands on: %(ledge)s, which carries %(mass)s: panels %(panels)s on each other, "
                "for no bar between them is recorded."
            )
            % names
        )
    return _("Stands on: %(ledge)s, which carries %(mass)s.") % names


def made_of(bar: Bar) -> str:
    """What is recorded of a bar itself, in a few words; empty where nothing is."""
    sizes = dict.fromkeys(size for size in (bar.width_typed, bar.depth_typed) if size)
    section, material = bar.get_section_display(), bar.get_material_display()
    told = (section, " × ".join(sizes), material)
    return ", ".join(str(each) for each in told if each)


def rule_text(supports: Supports) -> str:
    """The ratio new glazing is held to: `L/175`."""
    return f"L/{plain_number(supports.figures.value('supports.deflection_ratio'))}"


def pressure_text(pascal: float) -> str:
    return f"{pascal:.0f} Pa ({pascal / PA_PER_PSF:.1f} lb/ft²)"


def force_text(newton: float, units: str) -> str:
    if units == Units.INCH:
        return f"{newton / N_PER_LBF:.0f} lbf ({newton:.0f} N)"
    return f"{newton:.0f} N"


def line_text(newton_per_m: float, units: str) -> str:
    if units == Units.INCH:
        pounds = newton_per_m / N_PER_LBF * MM_PER_FOOT / 1000
        return f"{pounds:.1f} lbf/ft ({newton_per_m:.0f} N/m)"
    return f"{newton_per_m:.0f} N/m"


def fine_text(mm: float, units: str) -> str:
    """A deflection: finer than a tape."""
    if units == Units.INCH:
        return f"{mm / MM_PER_INCH:.2f} in ({mm:.1f} mm)"
    return f"{mm:.1f} mm"


def stress_text(mpa: float, units: str) -> str:
    if units == Units.INCH:
        return f"{mpa / MPA_PER_KSI:.1f} ksi ({mpa:.0f} MPa)"
    return f"{mpa:.0f} MPa"


def _bar_name(told: BarTold, units: str) -> str:
    name = _("%(kind)s, %(height)s above the sill") % {
        "kind": told.bar.get_kind_display(),
        "height": _height(told.bar, units),
    }
    if told.light is None:
        return name
    if told.crossings > 1:
        return _("%(bar)s; worst of its %(count)d lights: light %(light)d") % {
            "bar": name,
            "count": told.crossings,
            "light": told.light,
        }
    return _("%(bar)s; light %(light)d") % {"bar": name, "light": told.light}


def _wide(told: BarTold, supports: Supports, units: str) -> str:
    """The stretches beside a bar that are wider than the trade's spacing."""
    gaps: list[Gap] = [gap for gap in (told.below, told.above) if gap]
    wide = [gap for gap in gaps if judged(gap, supports.figures) == "wider"]
    if not wide:
        return ""
    least, most = (
        side(supports.figures.number(f"supports.spacing_{name}"), units)
        for name in ("least", "greatest")
    )
    return _("%(gaps)s without a bar; %(least)s to %(most)s is common practice") % {
        "gaps": _(" and ").join(side(gap.height_mm, units) for gap in wide),
        "least": least,
        "most": most,
    }


def _enough(told: BarTold, rule: str, units: str) -> str:
    bending = told.check.bending
    if bending is None:
        return ""
    return _(
        "Within %(rule)s and the stress set: a span up to %(span)s as the bars are spaced, or "
        "%(carried)s of window on the bar at this span."
    ) % {
        "rule": rule,
        "span": side(bending.greatest_span_mm, units),
        "carried": side(bending.greatest_carried_mm, units),
    }


def _workings(told: BarTold) -> tuple[tuple[str, Working], ...]:
    load, bending = told.check.load, told.check.bending
    found: list[tuple[str, Working]] = []
    if load:
        found.append((_("Load"), load.working))
    if bending:
        found += [
            (_("Deflection"), bending.deflection_working),
            (_("Stress"), bending.stress_working),
            (_("What would be enough"), bending.reach_working),
        ]
    return tuple(found)


def _need_words(need: Need) -> str:
    words: dict[Need, str] = {
        "wind": _("the wind at the building"),
        "opening": _("the width and the height of the opening"),
        "section": _("its section"),
        "width": _("its seen width or diameter"),
        "depth": _("its depth, front to back"),
        "material": _("its material"),
    }
    return words[need]


def _ledge_name(load: LedgeLoad, supports: Supports, units: str) -> str:
    if not load.ledge.key:
        return _("the sill")
    for told in supports.bars:
        if str(told.bar.pk) == load.ledge.key:
            kind, height = told.bar.get_kind_display(), _height(told.bar, units)
            return f"{told.number}: {kind}, {height}"
    return side(load.ledge.height_mm, units)


def _height(bar: Bar, units: str) -> str:
    return side(float(bar.height_mm), units)
