"""What is recorded of an item's fixings, reckoned with the studio's figures."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Final

from sites.compute.figures import Figures
from sites.compute.fixings.bead import LeastBead, least_bead
from sites.compute.fixings.capacity import FixingLine
from sites.compute.fixings.item_mass import ItemFacts
from sites.compute.fixings.remedy import Circumstances, LeadState, Remedy, remedy_for
from sites.compute.fixings.verdict import Verdict, verdict_of
from sites.models import AttachedItem, Fixing
from sites.models.choices import FixingKind, Host, HostState, ItemKind
from sites.services.figures import figures_of
from sites.services.numbers import today_at

TIRED: Final = frozenset({HostState.WEAK, HostState.FAILED})
WALLS: Final = frozenset({Host.STONE, Host.TIMBER, Host.FRAME})


@dataclass(frozen=True)
class FixingsTold:
    """All that an item's page says of what holds it. bead and remedy are for plates alone."""

    verdict: Verdict
    bead: LeastBead | None
    remedy: Remedy | None


def fixing_verdict(
    item: AttachedItem, today: date | None = None, figures: Figures | None = None
) -> Verdict:
    """Return the verdict on what holds an item.

    today: as of which day; the date it is now at the building unless given.
    figures: the studio's, read anew unless given. Reads the item's fixings: prefetch for a list.
    """
    building = item.opening.building
    return verdict_of(
        item_facts(item),
        [_line(fixing) for fixing in item.fixings.all()],
        figures or figures_of(building.studio),
        today or today_at(building),
        item.opening.people_under("inside"),
    )


def fixings_told(item: AttachedItem, today: date) -> FixingsTold:
    """Return the verdict of the day, the least bead and the remedy for an item."""
    figures = figures_of(item.opening.building.studio)
    verdict = fixing_verdict(item, today, figures)
    if item.kind != ItemKind.PLAQUE:
        return FixingsTold(verdict, None, None)
    sides = [float(side) for side in (item.width_mm, item.height_mm) if side is not None]
    bead = None
    if verdict.demand and len(sides) == 2:
        bead = least_bead(verdict.demand, min(sides), figures)
    return FixingsTold(verdict, bead, remedy_of(item, figures, verdict))


def lead_state(fixings: Sequence[Fixing]) -> LeadState:
    """Return the state of the lead that the fixings hold on to; the worst of it counts."""
    states = {fixing.host_state for fixing in fixings if fixing.holds_on_to == Host.LEAD}
    if states & TIRED:
        return "tired"
    return "sound" if states == {HostState.SOUND} else "not known"


def screwed_to(fixings: Sequence[Fixing]) -> str:
    """Return what all the fixings are screwed into, lower case; empty where others hold it too."""
    hosts = {fixing.holds_on_to for fixing in fixings}
    screws = all(fixing.kind == FixingKind.SCREW for fixing in fixings)
    return str(Host(hosts.pop()).value) if screws and len(hosts) == 1 and hosts <= WALLS else ""


def remedy_of(item: AttachedItem, figures: Figures, verdict: Verdict | None = None) -> Remedy:
    """Return how a plaque would be fixed anew, by what is recorded of it. Reads its fixings."""
    verdict = verdict or fixing_verdict(item, figures=figures)
    return remedy_for(_circumstances(item, verdict), figures)


def _circumstances(item: AttachedItem, verdict: Verdict) -> Circumstances:
    building = item.opening.building
    return Circumstances(
        material=item.material,
        mass_kg=verdict.mass.kg if verdict.mass else None,
        lead=lead_state(list(item.fixings.all())),
        screwed_to=screwed_to(list(item.fixings.all())),
        memorial_of=item.memorial_of,
        protection=building.protection,
        consent_body=building.consent_body,
    )


def item_facts(item: AttachedItem) -> ItemFacts:
    return ItemFacts(
        material=item.material,
        width_mm=_number(item.width_mm),
        height_mm=_number(item.height_mm),
        thickness_mm=_number(item.thickness_mm),
        weighed_kg=_number(item.weighed_kg),
        is_plate=item.kind == ItemKind.PLAQUE,
    )


def _line(fixing: Fixing) -> FixingLine:
    return FixingLine(
        kind=fixing.kind,
        count=fixing.count,
        state=fixing.state,
        host=fixing.holds_on_to,
        host_state=fixing.host_state,
        width_mm=_number(fixing.width_mm),
        length_mm=_number(fixing.length_mm),
        cures_on=fixing.cures_on,
        product=fixing.product,
    )


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
