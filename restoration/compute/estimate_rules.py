"""What must hold of a repair action and of an estimate's sums: values in, problems out."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Final
from uuid import UUID

from restoration.compute.estimate_inputs import (
    MAX_DIFFICULTY,
    MAX_QUANTITY,
    MIN_DIFFICULTY,
    OPTIONS,
)
from restoration.compute.money import minor_digits
from restoration.compute.quantities import WHOLE
from sites.compute.plain_numbers import plain_number
from sites.compute.problems import Problem
from sites.compute.record_fields import (
    Choice,
    Key,
    Keys,
    Number,
    Whole,
    Words,
    field_problems,
    without,
)

LAST_PHASE: Final = 99
MOST_MONEY: Final = Decimal(10_000_000_000)
SMALLEST_QUANTITY: Final = Decimal("0.001")
ANOTHER_SUBJECT: Final = "Name a panel or an attached item, not both."

Another = Annotated[UUID | None, Key()]


@dataclass(frozen=True, kw_only=True)
class ActionData:
    """One kind of work on one thing, because of the findings named.

    quantity: in the unit of the kind; None until it is known. lump_sum: in the currency of the
    estimate's rate book, instead of hours and materials.
    """

    estimate: Another = None
    kind: Another = None
    opening: Another = None
    panel: Another = None
    attached_item: Another = None
    findings: Annotated[tuple[UUID, ...], Keys()] = ()
    quantity: Annotated[Decimal | None, Number(SMALLEST_QUANTITY, Decimal(MAX_QUANTITY), 3)] = None
    scope: Annotated[str, Words()] = ""
    difficulty: Annotated[
        Decimal | None, Number(MIN_DIFFICULTY, MAX_DIFFICULTY, 2, required=True)
    ] = Decimal(1)
    option: Annotated[str, Choice(tuple(OPTIONS), required=True)] = "advised"
    phase: Annotated[int | None, Whole(1, LAST_PHASE, required=True)] = 1
    lump_sum: Annotated[Decimal | None, Number(Decimal(0), MOST_MONEY, 3)] = None
    lump_sum_reason: Annotated[str, Words(240)] = ""


def action_problems(data: ActionData, unit: str, currency: str) -> Iterator[Problem]:
    """Yield what is wrong with an action.

    unit: the one its kind is counted in. currency: the estimate's; "" where either is not known.
    """
    yield from (found := list(field_problems(data)))
    data = without(data, found)
    yield from quantity_problems(data.quantity, unit)
    if data.lump_sum is not None and not data.lump_sum_reason:
        yield Problem("lump_sum_reason", "Say why a lump sum stands instead of the rates.")
    elif data.lump_sum is None and data.lump_sum_reason:
        yield Problem("lump_sum", "Enter the lump sum, or empty the reason.")
    yield from money_problems(data.lump_sum, currency, "lump_sum")
    if data.panel and data.attached_item:
        yield Problem("attached_item", ANOTHER_SUBJECT)


def quantity_problems(
    quantity: Decimal | None, unit: str, field: str = "quantity"
) -> Iterator[Problem]:
    """Yield why there cannot be so much of a work: joints, ties and the like are not halved."""
    if quantity is not None and unit in WHOLE and quantity % 1:
        shown = plain_number(quantity)
        yield Problem(field, f"{shown} is no whole number of {unit}s. Give a whole number.")


def place_problems(findings: Iterable[tuple[int, UUID]], opening: UUID | None) -> Iterator[Problem]:
    """Yield that a finding is not where the work is. findings: the number and opening of each."""
    for number, place in findings:
        if place != opening:
            yield Problem(
                "findings",
                f"{number} is at another opening than the work. Untick it, or move the work.",
            )


def subject_problems(subjects: Mapping[str, str]) -> Iterator[Problem]:
    """Yield that the findings of one action are not about one thing.

    subjects: in words, by the keys of the findings.
    """
    first, about = next(iter(subjects.items()), ("", ""))
    for other, place in subjects.items():
        if place != about:
            yield Problem(
                "findings",
                f"{first} is about {about}, {other} about {place}. Make an action for each of the "
                "two.",
            )


def money_problems(amount: Decimal | None, currency: str, field: str) -> Iterator[Problem]:
    """Yield that an amount has a part of the currency's smallest coin."""
    if amount is None or not currency:
        return
    digits = minor_digits(currency)
    if amount != round(amount, digits):
        places = "place" if digits == 1 else "places"
        yield Problem(field, f"An amount in {currency} has {digits} decimal {places} at the most.")


def contingency_problems(contingency: Decimal | None, reason: str) -> Iterator[Problem]:
    """Yield that a contingency stands without its reason."""
    if contingency and not reason.strip():
        yield Problem(
            "contingency_reason",
            "Say why: a client asks what a contingency is for. Or set it to 0.",
        )
