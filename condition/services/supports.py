"""The supports of an opening, from what is recorded of it to what the screening says."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from django.utils.translation import gettext as _

from condition.compute.supports.checks import BarCheck, BarFacts, check_bar
from condition.compute.supports.errors import SupportError
from condition.compute.supports.pressure import WindFacts, WindPressure, pressure_of
from condition.compute.supports.spacing import Gap, around, gaps_of
from condition.compute.supports.standing import Ledge, LedgeLoad, StandingPanel, stand
from condition.models import WindSite
from sites.compute.division import Bar as Crossing
from sites.compute.division import Division, Light
from sites.compute.figures import Figures
from sites.models import Bar, Building, Opening, Panel
from sites.models.choices import BarKind
from sites.services.figures import figures_of
from sites.services.quantities import quantities_of
from sites.services.shapes import division_of, is_measured

MM_IN_M: Final = 1000


@dataclass(frozen=True)
class BarTold:
    """A bar, its number from the sill up, and its check where it fares worst.

    light: from the left, where that is; None in a window of one light. crossings: how many lights
    it crosses.
    """

    bar: Bar
    number: int
    check: BarCheck
    below: Gap | None = None
    above: Gap | None = None
    light: int | None = None
    crossings: int = 0


@dataclass(frozen=True)
class Supports:
    """All that is told of an opening's supports.

    wind_trouble: why the recorded wind cannot be reckoned with. gaps: stretches without a bar.
    """

    opening: Opening
    division: Division
    wind_site: WindSite | None
    wind: WindPressure | None
    wind_trouble: str
    bars: tuple[BarTold, ...]
    gaps: tuple[Gap, ...]
    loads: tuple[LedgeLoad, ...]
    figures: Figures

    @property
    def reckoned(self) -> list[BarTold]:
        return [told for told in self.bars if told.check.bending]

    @property
    def worst(self) -> BarTold | None:
        """The bar that takes the greatest share of a limit; None where none can be reckoned."""
        return max(self.reckoned, key=_share, default=None)

    @property
    def beyond(self) -> list[BarTold]:
        """Bars that bend or are stressed beyond what they are compared with."""
        return [told for told in self.reckoned if _share(told) > 1]


def wind_site_of(building: Building) -> WindSite | None:
    """Return the wind that is in force at a building, or None."""
    return WindSite.objects.in_force(building).first()


def wind_facts(site: WindSite) -> WindFacts:
    """Return a recorded wind as the computation takes it."""
    height = site.reference_height_mm
    return WindFacts(
        code=site.code,
        speed=float(site.basic_speed),
        speed_source=site.speed_source,
        terrain=site.terrain,
        terrain_name=str(site.get_terrain_display()),
        height_m=None if height is None else float(height) / MM_IN_M,
        hills=float(site.ground_factor),
        direction=float(site.direction_factor),
        coefficient=float(site.pressure_coefficient),
    )


def pressure_at(site: WindSite | None, figures: Figures) -> tuple[WindPressure | None, str]:
    """Return the wind's pressure, or None and in words why it cannot be reckoned."""
    if site is None:
        return None, ""
    try:
        return pressure_of(wind_facts(site), figures), ""
    except SupportError as error:
        return None, str(error)


def supports_of(opening: Opening, with_weights: bool = True) -> Supports:
    """Return the screening of an opening's bars and of what its panels stand on. Never raises.

    opening: with its building and studio. with_weights: whether what panels stand on is wanted
    too, for which their came is read. Queries: wind, bars, panels, their came, own figures.
    """
    figures = figures_of(opening.building.studio)
    bars = list(opening.bars.all())
    rows = opening.panels.all()
    panels = list(rows.prefetch_related("came_runs__profile") if with_weights else rows)
    division = division_of(opening, panels, bars)
    site = wind_site_of(opening.building)
    wind, trouble = pressure_at(site, figures)
    measured = is_measured(opening)
    by_light = {light.place: _gaps_in(light, division) for light in division.lights}
    return Supports(
        opening=opening,
        division=division,
        wind_site=site,
        wind=wind,
        wind_trouble=trouble,
        bars=tuple(
            _told(bar, number, division, by_light, wind, figures, opening)
            for number, bar in enumerate(bars, start=1)
        ),
        gaps=tuple(gap for gaps in by_light.values() for gap in gaps) if measured else (),
        loads=_loads(division, bars, panels, figures) if measured and with_weights else (),
        figures=figures,
    )


def _share(told: BarTold) -> float:
    return told.check.bending.worst_share if told.check.bending else 0.0


def _gaps_in(light: Light, division: Division) -> tuple[Gap, ...]:
    box = light.ring.box
    heights = [bar.y for bar in division.bars if _is_across(bar, light)]
    return gaps_of(light.place, box.bottom, box.top, heights)


def _is_across(bar: Crossing, light: Light) -> bool:
    return light.left <= (bar.x1 + bar.x2) / 2 <= light.right


def _told(
    bar: Bar,
    number: int,
    division: Division,
    by_light: dict[int, tuple[Gap, ...]],
    wind: WindPressure | None,
    figures: Figures,
    opening: Opening,
) -> BarTold:
    """The bar in that of its lights where it fares worst."""
    candidates = []
    crossings = [each for each in division.bars if each.key == str(bar.pk)]
    for crossing in crossings if is_measured(opening) else ():
        light = next((one for one in division.lights if _is_across(crossing, one)), None)
        if light is None:
            continue
        gaps = by_light[light.place]
        below, above = around(gaps, crossing.y)
        span = crossing.x2 - crossing.x1 + _share_of_mullions(opening, division)
        facts = _facts(bar, opening, span, below, above)
        candidates.append(
            BarTold(
                bar,
                number,
                check_bar(facts, wind, figures),
                below=next((gap for gap in gaps if gap.top_mm == crossing.y), None),
                above=next((gap for gap in gaps if gap.foot_mm == crossing.y), None),
                light=light.place if len(division.lights) > 1 else None,
                crossings=len(crossings),
            )
        )
    if not candidates:
        return BarTold(bar, number, check_bar(_facts(bar, opening), wind, figures))
    return max(candidates, key=lambda told: (_share(told), told.check.facts.span_mm or 0.0))


def _facts(
    bar: Bar,
    opening: Opening,
    span: float | None = None,
    below: float | None = None,
    above: float | None = None,
) -> BarFacts:
    return BarFacts(
        span_mm=span,
        below_mm=below,
        above_mm=above,
        shape=bar.section,
        width_mm=None if bar.width_mm is None else float(bar.width_mm),
        depth_mm=None if bar.depth_mm is None else float(bar.depth_mm),
        material=bar.material,
        material_name=str(bar.get_material_display()),
        span_source=_span_source(opening),
        span_origin="estimated" if _mullions_unknown(opening) else "computed",
    )


def _mullions_unknown(opening: Opening) -> bool:
    return opening.lights > 1 and opening.mullion_mm is None and not opening.light_widths_mm


def _share_of_mullions(opening: Opening, division: Division) -> float:
    """What a light gains where mullions nobody measured are taken as nothing: the safe side."""
    if not _mullions_unknown(opening) or len(division.lights) < 2:
        return 0.0
    first, second = division.lights[:2]
    lights = len(division.lights)
    return max(second.left - first.right, 0.0) * (lights - 1) / lights


def _span_source(opening: Opening) -> str:
    """How the clear width of a light is known."""
    if _mullions_unknown(opening):
        return _("no mullion is recorded: reckoned as if there were none, the safe side")
    return _("clear between the stones, from the drawing")


def _loads(
    division: Division, bars: Sequence[Bar], panels: Sequence[Panel], figures: Figures
) -> tuple[LedgeLoad, ...]:
    by_number = {panel.number: panel for panel in panels}
    masses: dict[str, float | None] = {}
    standing = []
    for cell in division.cells:
        panel = by_number.get(cell.number)
        if cell.kind != "panel" or panel is None:
            continue
        if cell.number not in masses:
            mass = quantities_of(panel, division, figures, panel.came_runs.all()).mass
            masses[cell.number] = mass.total_kg if mass else None
            standing.append(
                StandingPanel(cell.number, cell.light, cell.ring.box.bottom, masses[cell.number])
            )
    return stand(standing, _ledges(division, bars), figures)


def _ledges(division: Division, bars: Sequence[Bar]) -> list[Ledge]:
    """The foot of each light, and each bar that parts panels where it crosses one."""
    parting = {str(bar.pk): bar for bar in bars if bar.kind != BarKind.SADDLE_BAR}
    ledges = [
        Ledge("", light.place, light.ring.box.bottom, light.right - light.left)
        for light in division.lights
    ]
    for crossing in division.bars:
        bar = parting.get(crossing.key)
        light = next((one for one in division.lights if _is_across(crossing, one)), None)
        if bar is None or light is None:
            continue
        facts = _facts(bar, bar.opening)
        ledges.append(
            Ledge(
                crossing.key,
                light.place,
                crossing.y,
                crossing.x2 - crossing.x1,
                facts.shape,
                facts.width_mm,
                facts.depth_mm,
                facts.material,
            )
        )
    return ledges
