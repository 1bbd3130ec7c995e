"""What is recorded of a danger, as the rules of its state take it."""

from collections.abc import Iterable
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
    TakersEnd,
    Trade,
    Under,
    sides_of,
)
from condition.models.choices import Extent, Side
from sites.compute.fixings.item_mass import mass_of
from sites.models import Studio
from sites.services.figures import figures_of
from sites.services.fixings import item_facts

if TYPE_CHECKING:
    from condition.models.danger import Danger, DangerAct
    from condition.models.finding import Finding
    from condition.models.vocabulary import DangerRow as StudioRow

LIGHT: Final = "danger.light_kg"
PLATE: Final = "plaque"
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
        is_single=_is_single(danger),
        is_away=danger.attached_item is not None and not danger.attached_item.is_in_place,
    )


def _is_light_and_low(danger: "Danger") -> bool:
    """Whether it is a light plate near the floor. What is not known, or at the limit, is not."""
    item = danger.attached_item
    if item is None or item.lower_edge_mm is None or danger.side != Side.INSIDE:
        return False
    if item.has_sharp_edges is not False or row_of(danger).code != PLATE:
        return False
    figures = figures_of(danger.building.studio)
    mass = mass_of(item_facts(item), figures)
    low_mm = Decimal(str(figures.number(LOW))) * 1000
    return mass is not None and mass.kg < figures.number(LIGHT) and item.lower_edge_mm < low_mm


def latest_of(sightings: Iterable["Finding"]) -> "Finding | None":
    """Return the latest sighting: by the day of its survey, then its number; None for none."""
    return max(sightings, key=lambda each: (each.survey.day, each.number), default=None)


def _is_single(danger: "Danger") -> bool:
    """Whether one thing alone was found there, as far as its latest sighting says."""
    latest = latest_of(danger.findings.all())
    if latest is None:
        return True
    return latest.extent == Extent.ISOLATED and (latest.amount is None or latest.amount <= 1)


def row_of(danger: "Danger") -> DangerRow:
    """Return the row of the studio's table that a danger is judged by."""
    row = studio_row_of(danger)
    return rules_of_row(row) if row else ANYTHING_ELSE


def studio_row_of(danger: "Danger") -> "StudioRow | None":
    """Return the row by what kind of item it is, else by the kind of finding; None for neither."""
    item = danger.attached_item
    of_item = row_of_item(item.kind, danger.building.studio) if item else None
    return of_item or danger.kind.danger_row


def row_of_item(kind: str, studio: Studio) -> "StudioRow | None":
    """Return the row that stands for a kind of attached item, whatever was found on it."""
    rows = studio.danger_rows.all()
    return next((row for row in rows if kind in row.item_kinds), None)


def rules_of_row(row: "StudioRow") -> DangerRow:
    """Return a row of the studio's table as the rules take it."""
    return DangerRow(
        code=row.code,
        held_by=frozenset(MeasureKind(each) for each in row.held_by),
        holds_on=frozenset(FixedTo(each) for each in row.holds_on),
        judges=frozenset(Trade(each) for each in row.judges),
        takers_end=TakersEnd(row.takers_end),
        floor_ends=frozenset(EndKind(each) for each in row.floor_ends),
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
