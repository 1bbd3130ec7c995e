"""A priced estimate: its lines, additions, subtotals and totals, for the studio's eyes."""

from dataclasses import dataclass
from decimal import Decimal

from restoration.compute.estimate_inputs import Option, SharedKind
from sites.compute.working import Working


@dataclass(frozen=True)
class TradeHours:
    """The hours of one trade in one line, set-up and difficulty included."""

    trade: str
    hours: Decimal


@dataclass(frozen=True)
class LineCost:
    """What an action costs the studio, in full precision: the studio's own knowledge."""

    trade_hours: tuple[TradeHours, ...]
    hours: Decimal
    labour: Decimal
    material: Decimal
    total: Decimal


@dataclass(frozen=True)
class PricedLine:
    """One action priced. `price` is what is printed, in the currency of the estimate.

    cost: None where a lump sum stands without a quantity or without rates.
    """

    key: str
    opening: str
    opening_order: int
    subject: str
    description: str
    plain: str
    unit: str
    quantity: Decimal | None
    option: Option
    phase: int
    is_lump_sum: bool
    lump_sum_reason: str
    cost: LineCost | None
    price: Decimal
    working: Working


@dataclass(frozen=True)
class PricedSharedLine:
    """One shared cost priced: counted once, marked up like any cost."""

    key: str
    kind: SharedKind
    description: str
    phase: int
    cost: Decimal
    price: Decimal
    working: Working


@dataclass(frozen=True)
class Addition:
    """Contingency or tax: a percentage of a printed sum, itself a printed line."""

    label: str
    percent: Decimal
    base: Decimal
    amount: Decimal
    reason: str
    working: Working


@dataclass(frozen=True)
class OpeningSubtotal:
    """The printed actions of one opening; shared lines belong to none."""

    opening: str
    amount: Decimal


@dataclass(frozen=True)
class PhaseSubtotal:
    """The printed lines of one phase, its shared lines apart."""

    phase: int
    actions: Decimal
    shared: Decimal
    total: Decimal


@dataclass(frozen=True)
class OptionSubtotal:
    """The printed actions of one option; the shared lines stand apart in `shared_total`."""

    option: Option
    amount: Decimal


@dataclass(frozen=True)
class Totals:
    """The sums of printed lines: net = actions + shared + contingency; total = net + tax."""

    actions: Decimal
    shared: Decimal
    lines: Decimal
    contingency: Decimal
    net: Decimal
    tax: Decimal
    total: Decimal


@dataclass(frozen=True)
class PricedEstimate:
    """Everything an estimate comes to, for the studio's eyes."""

    currency: str
    lines: tuple[PricedLine, ...]
    shared: tuple[PricedSharedLine, ...]
    contingency: Addition
    tax: Addition
    totals: Totals
    openings: tuple[OpeningSubtotal, ...]
    phases: tuple[PhaseSubtotal, ...]
    options: tuple[OptionSubtotal, ...]
