"""An estimate seen from two sides: what the client is shown, and what the studio reckons."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal, localcontext
from typing import Literal

from restoration.compute.estimate_inputs import Option, SharedKind
from restoration.compute.estimate_lines import (
    Addition,
    OpeningSubtotal,
    OptionSubtotal,
    PhaseSubtotal,
    PricedEstimate,
    PricedLine,
    PricedSharedLine,
    Totals,
)
from restoration.compute.money import EXACT


@dataclass(frozen=True)
class ClientLine:
    """A line as the client sees it: work and price, no cost, hours, overhead or profit.

    kind is "action", or the kind of a shared line, which has no opening and no option.
    """

    key: str
    kind: Literal["action"] | SharedKind
    opening: str
    subject: str
    description: str
    plain: str
    unit: str
    quantity: Decimal | None
    option: Option | None
    phase: int
    price: Decimal


@dataclass(frozen=True)
class ClientEstimate:
    """The whole estimate as the client sees it; nothing in it tells a cost or a margin."""

    currency: str
    lines: tuple[ClientLine, ...]
    contingency: Addition
    tax: Addition
    totals: Totals
    openings: tuple[OpeningSubtotal, ...]
    phases: tuple[PhaseSubtotal, ...]
    options: tuple[OptionSubtotal, ...]


@dataclass(frozen=True)
class StudioView:
    """What the studio reckons with. Sums leave out the lines named in `uncosted`."""

    hours: Decimal
    labour_cost: Decimal
    material_cost: Decimal
    shared_cost: Decimal
    cost: Decimal
    price: Decimal
    margin: Decimal
    uncosted: tuple[str, ...]


def client_lines(estimate: PricedEstimate) -> tuple[ClientLine, ...]:
    """Return the printed lines for the client: actions in their order, then shared lines."""
    actions = (_client_action(line) for line in estimate.lines)
    shared = (_client_shared(line) for line in estimate.shared)
    return (*actions, *shared)


def client_view(estimate: PricedEstimate) -> ClientEstimate:
    """Return the estimate without costs, hours, overhead and profit."""
    return ClientEstimate(
        currency=estimate.currency,
        lines=client_lines(estimate),
        contingency=estimate.contingency,
        tax=estimate.tax,
        totals=estimate.totals,
        openings=estimate.openings,
        phases=estimate.phases,
        options=estimate.options,
    )


def studio_view(estimate: PricedEstimate) -> StudioView:
    """Return hours, costs and margin over the lines whose cost is known.

    Margin is the printed price of those lines less their cost, before contingency and tax.
    """
    costed = [(line.cost, line.price) for line in estimate.lines if line.cost is not None]
    with localcontext(EXACT):
        shared_cost = _sum(line.cost for line in estimate.shared)
        shared_price = _sum(line.price for line in estimate.shared)
        cost = shared_cost + _sum(cost.total for cost, _ in costed)
        price = shared_price + _sum(price for _, price in costed)
        return StudioView(
            hours=_sum(cost.hours for cost, _ in costed),
            labour_cost=_sum(cost.labour for cost, _ in costed),
            material_cost=_sum(cost.material for cost, _ in costed),
            shared_cost=shared_cost,
            cost=cost,
            price=price,
            margin=price - cost,
            uncosted=tuple(line.key for line in estimate.lines if line.cost is None),
        )


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))


def _client_action(line: PricedLine) -> ClientLine:
    return ClientLine(
        key=line.key,
        kind="action",
        opening=line.opening,
        subject=line.subject,
        description=line.description,
        plain=line.plain,
        unit=line.unit,
        quantity=line.quantity,
        option=line.option,
        phase=line.phase,
        price=line.price,
    )


def _client_shared(line: PricedSharedLine) -> ClientLine:
    return ClientLine(
        key=line.key,
        kind=line.kind,
        opening="",
        subject="",
        description=line.description,
        plain="",
        unit="",
        quantity=None,
        option=None,
        phase=line.phase,
        price=line.price,
    )
