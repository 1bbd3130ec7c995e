"""The dangers of a building as they stand, worked out from what is recorded of each."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Final
from uuid import UUID

from condition.compute.danger.facts import (
    Act,
    ActFacts,
    DangerFacts,
    DangerRow,
    EndKind,
    Falls,
    FixedTo,
    MeasureKind,
    Trade,
    Under,
    sides_of,
)
from condition.compute.danger.state import DangerState, state_of
from condition.models import Area, AreaClosure, Danger, DangerAct
from condition.models.choices import Side
from sites.compute.fixings.item_mass import mass_of
from sites.models import Building
from sites.services.figures import figures_of
from sites.services.fixings import item_facts
from sites.services.numbers import today_at

OTHER: Final = "other"


def dangers_at(building: Building) -> list[tuple[Danger, DangerState]]:
    """Return every danger of a building that nobody ended, with its state today; worst first."""
    return with_states(Danger.objects.filter(building=building).not_ended().with_facts())


def with_states(
    dangers: Iterable[Danger], on: date | None = None
) -> list[tuple[Danger, DangerState]]:
    """Return dangers with their states, each on `on` or today at its building; worst first."""
    pairs = [(danger, state_of_danger(danger, on)) for danger in dangers]
    return sorted(pairs, key=_pressing)


def state_of_danger(danger: Danger, on: date | None = None) -> DangerState:
    """Return how a danger stands on a day, today at its building unless given."""
    return state_of(facts_of(danger), on or today_at(danger.building))


def facts_of(danger: Danger) -> DangerFacts:
    """Return what is recorded of a danger. Reads its acts: `with_facts` for a list."""
    opening = danger.opening
    place = opening or danger.building
    under = tuple(
        Under(opening.who_is_under(side) if opening else getattr(place, f"under_{side}"))
        for side in sides_of(danger.side)
    )
    return DangerFacts(
        row=row_of(danger),
        under=under,
        acts=tuple(_act(act) for act in danger.acts.all()),
        light_and_low=_is_light_and_low(danger),
    )


def _is_light_and_low(danger: Danger) -> bool:
    """Whether it is a light plate near the floor. What is not known, or at the limit, is not."""
    item = danger.attached_item
    if item is None or item.lower_edge_mm is None or danger.side != Side.INSIDE:
        return False
    figures = figures_of(danger.building.studio)
    mass = mass_of(item_facts(item), figures)
    low_mm = Decimal(str(figures.number("danger.low_edge"))) * 1000
    return (
        mass is not None
        and mass.kg < figures.number("danger.light_kg")
        and item.lower_edge_mm < low_mm
    )


def row_of(danger: Danger) -> DangerRow:
    """Return the row of the studio's table that a danger is judged by."""
    rows = {row.code: row for row in danger.building.studio.danger_rows.all()}
    item = danger.attached_item
    of_item = [row for row in rows.values() if item and item.kind in row.item_kinds]
    row = of_item[0] if of_item else danger.kind.danger_row or rows[OTHER]
    return DangerRow(
        code=row.code,
        holds_on=frozenset(FixedTo(each) for each in row.holds_on),
        judges=frozenset(Trade(each) for each in row.judges),
        covering_counts=row.covering_counts,
        takers_end=row.takers_end,
        falls=row.falls,
    )


def shut_areas(dangers: Iterable[Danger]) -> dict[UUID, list[Area]]:
    """Return the areas that stand closed for each danger, by the danger's key."""
    closed: dict[UUID, list[Area]] = {}
    rows = AreaClosure.objects.standing().filter(danger__in=[each.pk for each in dangers])
    for closure in rows.select_related("area"):
        closed.setdefault(closure.danger_id, []).append(closure.area)
    return closed


def _pressing(pair: tuple[Danger, DangerState]) -> tuple[object, ...]:
    """What comes first: by standing, of these what nothing holds, then what can come down now."""
    danger, state = pair
    return (
        list(type(state.standing)).index(state.standing),
        state.is_held,
        -state.urgency_at_least,
        danger.opened_on,
        danger.pk,
    )


def _act(act: DangerAct) -> ActFacts:
    return ActFacts(
        key=act.pk,
        act=Act(act.act),
        day=act.day,
        at=act.received_at,
        answer=Falls(act.answer),
        because=act.because,
        knew_until=act.knew_until,
        measure=MeasureKind(act.measure) if act.measure else None,
        fixed_to=FixedTo(act.fixed_to),
        look_by=act.look_by,
        cures_on=act.cures_on,
        parts_carry=act.parts_carry,
        of=act.of_id,
        holds=act.holds is not False,
        end=EndKind(act.end) if act.end else None,
    )
