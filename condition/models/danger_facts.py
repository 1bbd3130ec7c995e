"""What is recorded of a danger, as the rules of its state take it."""

from decimal import Decimal
from typing import TYPE_CHECKING, Final

from condition.compute.danger.facts import (
    ANYTHING_ELSE,
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
from condition.models.choices import Side
from sites.compute.fixings.item_mass import mass_of
from sites.services.figures import figures_of
from sites.services.fixings import item_facts

if TYPE_CHECKING:
    from condition.models.danger import Danger, DangerAct
    from condition.models.vocabulary import DangerRow as StudioRow

LIGHT: Final = "danger.light_kg"
LOW: Final = "danger.low_edge"


def facts_of(danger: "Danger") -> DangerFacts:
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


def _is_light_and_low(danger: "Danger") -> bool:
    """Whether it is a light plate near the floor. What is not known, or at the limit, is not."""
    item = danger.attached_item
    if item is None or item.lower_edge_mm is None or danger.side != Side.INSIDE:
        return False
    figures = figures_of(danger.building.studio)
    mass = mass_of(item_facts(item), figures)
    low_mm = Decimal(str(figures.number(LOW))) * 1000
    return mass is not None and mass.kg < figures.number(LIGHT) and item.lower_edge_mm < low_mm


def row_of(danger: "Danger") -> DangerRow:
    """Return the row of the studio's table that a danger is judged by."""
    row = studio_row_of(danger)
    return rules_of_row(row) if row else ANYTHING_ELSE


def studio_row_of(danger: "Danger") -> "StudioRow | None":
    """Return the row by what kind of item it is, else by the kind of finding; None for neither."""
    item = danger.attached_item
    rows = danger.building.studio.danger_rows.all() if item else ()
    of_item = [row for row in rows if item and item.kind in row.item_kinds]
    return of_item[0] if of_item else danger.kind.danger_row


def rules_of_row(row: "StudioRow") -> DangerRow:
    """Return a row of the studio's table as the rules take it."""
    return DangerRow(
        code=row.code,
        holds_on=frozenset(FixedTo(each) for each in row.holds_on),
        judges=frozenset(Trade(each) for each in row.judges),
        covering_counts=row.covering_counts,
        takers_end=row.takers_end,
        falls=row.falls,
    )


def _act(act: "DangerAct") -> ActFacts:
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
