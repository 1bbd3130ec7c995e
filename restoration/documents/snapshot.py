"""What a repair quote says, as plain data: amounts as texts, each figure worked out once.

Nothing in it tells what the work costs the studio: no hours, rates, overhead or profit.
"""

from dataclasses import dataclass
from typing import Final

from sites.documents.parties import BuildingBlock, Heading, StudioBlock

SCHEMA: Final = "saddlebar/repair-quote/1"


@dataclass(frozen=True)
class Money:
    """An amount of the quote's currency: exact, and as it is printed."""

    amount: str
    words: str


@dataclass(frozen=True)
class WorkLine:
    """One piece of work with its price. `because_of` names the findings that call for it."""

    id: str
    number: int
    subject: str
    description: str
    scope: str
    quantity: str
    lump_sum_reason: str
    option: str
    option_words: str
    because_of: str
    price: Money


@dataclass(frozen=True)
class OpeningWork:
    """The work at one opening in one phase, with its subtotal."""

    number: str
    title: str
    lines: list[WorkLine]
    subtotal: Money


@dataclass(frozen=True)
class SharedWork:
    """A cost that several openings share, counted once."""

    id: str
    kind: str
    kind_words: str
    description: str
    price: Money


@dataclass(frozen=True)
class Phase:
    """One phase of the work: its openings, what they share, and its subtotals."""

    phase: int
    title: str
    openings: list[OpeningWork]
    shared: list[SharedWork]
    work: Money
    shared_total: Money
    subtotal: Money


@dataclass(frozen=True)
class OptionSum:
    """What the work of one option comes to, over all phases."""

    option: str
    words: str
    meaning: str
    lines: int
    amount: Money


@dataclass(frozen=True)
class SumLine:
    """One line of the reckoning from the work to the total."""

    key: str
    name: str
    amount: Money


@dataclass(frozen=True)
class Payment:
    """One stage of payment: its share of the total, and the amount due."""

    name: str
    share: str
    amount: Money


@dataclass(frozen=True)
class QuoteSnapshot:
    """The whole quote."""

    schema: str
    document: Heading
    studio: StudioBlock
    building: BuildingBlock
    title: str
    client: str
    based_on: str
    stands_until: str
    stands_until_words: str
    currency: str
    total: Money
    phases: list[Phase]
    options: list[OptionSum]
    reckoning: list[SumLine]
    payments: list[Payment]
    containing: str
    assumptions: list[str]
    exclusions: list[str]
    consents: list[str]
    conditions: list[str]
    cautions: list[dict[str, str]]
    glossary: list[dict[str, str]]
    sources: list[str]
