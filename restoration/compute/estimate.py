"""Pricing an estimate: full precision inside, printed lines rounded once, totals that add up."""

from collections.abc import Iterable, Sequence
from decimal import Decimal, Inexact, localcontext
from typing import Final

from restoration.compute.estimate_inputs import (
    OPTIONS,
    ActionInput,
    EstimateError,
    Percentages,
    SharedLine,
    check_inputs,
    line_order,
    shared_order,
)
from restoration.compute.estimate_lines import (
    Addition,
    LineCost,
    OpeningSubtotal,
    OptionSubtotal,
    PhaseSubtotal,
    PricedEstimate,
    PricedLine,
    PricedSharedLine,
    Totals,
    TradeHours,
)
from restoration.compute.estimate_working import action_working, addition_working, shared_working
from restoration.compute.money import EXACT, minor_digits, round_money

HUNDRED: Final = Decimal(100)


def price_estimate(
    actions: Sequence[ActionInput],
    shared: Sequence[SharedLine],
    percentages: Percentages,
    currency: str,
) -> PricedEstimate:
    """Return the estimate priced in `currency`, the same whatever the order of the inputs.

    Line: cost = (set-up hours + quantity x hours per unit) x difficulty x hourly rate
    + quantity x quantity per unit x (1 + waste) x price per unit;
    price = cost x (1 + overhead) x (1 + profit), rounded half-up to the minor unit, once.
    A lump sum is the price, without mark-up. A shared line is marked up like cost.
    Contingency is a percentage of the sum of printed lines, tax of lines and contingency;
    each is rounded once. Every total is a sum of printed amounts.

    Raises EstimateError for an action with neither quantity nor lump sum, or a figure out of
    its bounds; CurrencyError for an unknown currency.

    Source: common practice of estimating, no published source; ISO 4217 for minor units.
    """
    minor_digits(currency)
    check_inputs(actions, shared, percentages)
    with localcontext(EXACT) as context:
        # The bounds of the inputs keep every product exact; should one not be, stop.
        context.traps[Inexact] = True
        lines = tuple(
            _price_action(action, percentages, currency)
            for action in sorted(actions, key=line_order)
        )
        shared_lines = tuple(
            _price_shared(line, percentages, currency) for line in sorted(shared, key=shared_order)
        )
        return _total_up(lines, shared_lines, percentages, currency)


def _price_action(action: ActionInput, percentages: Percentages, currency: str) -> PricedLine:
    cost = _line_cost(action)
    price = round_money(_unrounded_price(action, cost, percentages), currency)
    return PricedLine(
        key=action.key,
        opening=action.opening,
        opening_order=action.opening_order,
        subject=action.subject,
        description=action.description,
        plain=action.plain,
        unit=action.unit,
        quantity=action.quantity,
        option=action.option,
        phase=action.phase,
        is_lump_sum=action.lump_sum is not None,
        lump_sum_reason=action.lump_sum_reason if action.lump_sum is not None else "",
        cost=cost,
        price=price,
        working=action_working(action, percentages, f"{price} {currency}"),
    )


def _line_cost(action: ActionInput) -> LineCost | None:
    """Cost of an action, or None where there is nothing to reckon it from."""
    quantity = action.quantity
    if quantity is None or not (action.labour or action.materials):
        return None
    trade_hours = tuple(
        TradeHours(
            labour.trade,
            (labour.setup_hours + quantity * labour.hours_per_unit) * action.difficulty,
        )
        for labour in action.labour
    )
    labour_cost = _sum(
        each.hours * labour.hourly_rate
        for each, labour in zip(trade_hours, action.labour, strict=True)
    )
    material_cost = _sum(
        quantity
        * material.quantity_per_unit
        * _with_percent(material.price_per_unit, material.waste_percent)
        for material in action.materials
    )
    return LineCost(
        trade_hours=trade_hours,
        hours=_sum(each.hours for each in trade_hours),
        labour=labour_cost,
        material=material_cost,
        total=labour_cost + material_cost,
    )


def _unrounded_price(
    action: ActionInput, cost: LineCost | None, percentages: Percentages
) -> Decimal:
    if action.lump_sum is not None:
        return action.lump_sum
    if cost is None:
        raise EstimateError(f"{action.label} has nothing to be priced from.")
    return _marked_up(cost.total, percentages)


def _price_shared(line: SharedLine, percentages: Percentages, currency: str) -> PricedSharedLine:
    price = round_money(_marked_up(line.amount, percentages), currency)
    return PricedSharedLine(
        key=line.key,
        kind=line.kind,
        description=line.description,
        phase=line.phase,
        cost=line.amount,
        price=price,
        working=shared_working(line, percentages, f"{price} {currency}"),
    )


def _total_up(
    lines: tuple[PricedLine, ...],
    shared: tuple[PricedSharedLine, ...],
    percentages: Percentages,
    currency: str,
) -> PricedEstimate:
    nothing = round_money(Decimal(0), currency)
    actions_total = _sum((line.price for line in lines), nothing)
    shared_total = _sum((line.price for line in shared), nothing)
    lines_total = actions_total + shared_total
    contingency = _addition(
        "Contingency",
        percentages.contingency,
        lines_total,
        percentages.contingency_reason,
        currency,
    )
    net = lines_total + contingency.amount
    tax = _addition(percentages.tax_name or "Tax", percentages.tax, net, "", currency)
    return PricedEstimate(
        currency=currency,
        lines=lines,
        shared=shared,
        contingency=contingency,
        tax=tax,
        totals=Totals(
            actions=actions_total,
            shared=shared_total,
            lines=lines_total,
            contingency=contingency.amount,
            net=net,
            tax=tax.amount,
            total=net + tax.amount,
        ),
        openings=_by_opening(lines, nothing),
        phases=_by_phase(lines, shared, nothing),
        options=_by_option(lines, nothing),
    )


def _addition(label: str, percent: Decimal, base: Decimal, reason: str, currency: str) -> Addition:
    amount = round_money(base * percent / HUNDRED, currency)
    working = addition_working(label, percent, f"{base} {currency}", reason, f"{amount} {currency}")
    return Addition(label, percent, base, amount, reason, working)


def _by_opening(lines: Sequence[PricedLine], nothing: Decimal) -> tuple[OpeningSubtotal, ...]:
    amounts: dict[str, Decimal] = {}
    order: dict[str, int] = {}
    for line in lines:
        amounts[line.opening] = amounts.get(line.opening, nothing) + line.price
        order[line.opening] = min(order.get(line.opening, line.opening_order), line.opening_order)
    openings = sorted(amounts, key=lambda opening: (order[opening], opening))
    return tuple(OpeningSubtotal(opening, amounts[opening]) for opening in openings)


def _by_phase(
    lines: Sequence[PricedLine], shared: Sequence[PricedSharedLine], nothing: Decimal
) -> tuple[PhaseSubtotal, ...]:
    of_actions: dict[int, Decimal] = {}
    of_shared: dict[int, Decimal] = {}
    for line in lines:
        of_actions[line.phase] = of_actions.get(line.phase, nothing) + line.price
    for each in shared:
        of_shared[each.phase] = of_shared.get(each.phase, nothing) + each.price
    return tuple(
        PhaseSubtotal(
            phase=phase,
            actions=of_actions.get(phase, nothing),
            shared=of_shared.get(phase, nothing),
            total=of_actions.get(phase, nothing) + of_shared.get(phase, nothing),
        )
        for phase in sorted(of_actions.keys() | of_shared.keys())
    )


def _by_option(lines: Sequence[PricedLine], nothing: Decimal) -> tuple[OptionSubtotal, ...]:
    amounts = dict.fromkeys(OPTIONS, nothing)
    present = set()
    for line in lines:
        amounts[line.option] += line.price
        present.add(line.option)
    return tuple(OptionSubtotal(option, amounts[option]) for option in OPTIONS if option in present)


def _marked_up(cost: Decimal, percentages: Percentages) -> Decimal:
    return _with_percent(_with_percent(cost, percentages.overhead), percentages.profit)


def _with_percent(amount: Decimal, percent: Decimal) -> Decimal:
    return amount * (HUNDRED + percent) / HUNDRED


def _sum(amounts: Iterable[Decimal], start: Decimal = Decimal(0)) -> Decimal:
    return sum(amounts, start)
