"""A first quantity for an action, from what the finding measured: offered, never taken as read."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal
from typing import Final, Literal

Subject = Literal["opening", "panel", "item"]

# Units of which there is one for each thing worked on, however often it was found wanting.
ONCE_A_SUBJECT: Final = frozenset({"panel", "item", "visit"})
COUNTED: Final = frozenset({"joint", "piece", "tie", "bar", "item", "panel"})
# Things one does not do half of: metres and square metres alone may be a fraction.
WHOLE: Final = frozenset({"joint", "piece", "panel", "item", "tie", "bar", "visit"})
PLACES: Final = Decimal("0.001")
MM_IN_M: Final = 1000
MM2_IN_M2: Final = 1_000_000
HUNDRED: Final = 100


@dataclass(frozen=True)
class Seen:
    """What a finding tells of its own size.

    amount_unit: one of the units of a finding, or "" where nothing was measured.
    area_mm2, pieces: of the panel, where the subject is one and they are known.
    """

    subject: Subject
    amount: Decimal | None
    amount_unit: str
    area_mm2: Decimal | None = None
    pieces: int | None = None


def suggested_quantity(action_unit: str, seen: Seen) -> Decimal | None:
    """Return a quantity in `action_unit`, to three places, or None where nothing tells it.

    One panel or item for a finding on it, one visit for anything; a count for what is counted;
    a length in mm as metres; a share of a panel's area or pieces where the panel's own are known.

    Source: common practice, no source.
    """
    if action_unit == "visit" or action_unit == seen.subject:
        return Decimal(1)
    found = _from_amount(action_unit, seen)
    return None if found is None else found.quantize(PLACES, rounding=ROUND_HALF_UP).normalize()


def _from_amount(action_unit: str, seen: Seen) -> Decimal | None:
    amount, unit = seen.amount, seen.amount_unit
    if not amount:
        return None
    if unit == "count" and action_unit in COUNTED:
        return amount
    if unit == "mm" and action_unit == "m":
        return amount / MM_IN_M
    if unit == "percent of area" and action_unit == "m2" and seen.area_mm2:
        return seen.area_mm2 / MM2_IN_M2 * amount / HUNDRED
    if unit == "percent of pieces" and action_unit == "piece" and seen.pieces:
        return (seen.pieces * amount / HUNDRED).to_integral_value(ROUND_CEILING)
    return None


def together(action_unit: str, quantities: list[Decimal | None]) -> Decimal | None:
    """Return the quantity of one action that answers several findings on one subject.

    What stands once for a subject is not added up; a quantity not yet known leaves the whole
    unknown.
    """
    known = [quantity for quantity in quantities if quantity is not None]
    if len(known) < len(quantities):
        return None
    return max(known) if action_unit in ONCE_A_SUBJECT else sum(known, Decimal(0))
