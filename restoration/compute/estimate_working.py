"""The working printed beside each price: formula in words, inputs and where they came from."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from restoration.compute.estimate_inputs import (
    ActionInput,
    LabourUse,
    MaterialUse,
    Percentages,
    SharedLine,
)
from sites.compute.plain_numbers import plain_number
from sites.compute.working import Input, Working

TIMES: Final = "\N{MULTIPLICATION SIGN}"
PRICE_FORMULA: Final = (
    f"labour = (set-up hours + quantity {TIMES} hours per unit) {TIMES} difficulty {TIMES} "
    f"hourly rate; material = quantity {TIMES} quantity per unit {TIMES} (1 + waste) {TIMES} "
    f"price per unit; price = (labour + material) {TIMES} (1 + overhead) {TIMES} (1 + profit), "
    "rounded once, half up"
)
LUMP_SUM_FORMULA: Final = "price = lump sum, without mark-up, rounded once, half up"
SHARED_FORMULA: Final = (
    f"price = amount {TIMES} (1 + overhead) {TIMES} (1 + profit), counted once, rounded once, "
    "half up"
)
ADDITION_FORMULA: Final = f"amount = sum of printed lines {TIMES} percentage, rounded once, half up"
PRACTICE: Final = "common practice, no source"
RATE_BOOK: Final = "rate book"


def action_working(action: ActionInput, percentages: Percentages, result: str) -> Working:
    """Return the working of an action's price: of its rates, or of its lump sum."""
    if action.lump_sum is not None:
        reason = action.lump_sum_reason
        inputs = (Input("lump sum", plain_number(action.lump_sum), "entered", reason),)
        return Working(LUMP_SUM_FORMULA, inputs, result, PRACTICE)
    return Working(PRICE_FORMULA, tuple(_inputs(action, percentages)), result, PRACTICE)


def shared_working(line: SharedLine, percentages: Percentages, result: str) -> Working:
    """Return the working of a shared line's price."""
    amount = Input("amount", plain_number(line.amount), "entered")
    return Working(SHARED_FORMULA, (amount, *_mark_up(percentages)), result, PRACTICE)


def addition_working(label: str, percent: Decimal, base: str, reason: str, result: str) -> Working:
    """Return the working of contingency or tax; it holds nothing the client may not see."""
    inputs = (
        Input("sum of printed lines", base, "computed"),
        Input(f"{label} percentage", f"{plain_number(percent)} %", "entered", reason),
    )
    return Working(ADDITION_FORMULA, inputs, result, PRACTICE)


def _inputs(action: ActionInput, percentages: Percentages) -> Iterator[Input]:
    if action.quantity is not None:
        quantity = f"{plain_number(action.quantity)} {action.unit}"
        yield Input("quantity", quantity, action.quantity_origin, action.quantity_source)
    yield Input("difficulty", plain_number(action.difficulty), "entered")
    for labour in action.labour:
        yield from _labour(labour, action.unit)
    for material in action.materials:
        yield from _material(material, action.unit)
    yield from _mark_up(percentages)


def _labour(labour: LabourUse, unit: str) -> Iterator[Input]:
    trade = labour.trade
    yield _from_book(f"{trade}: set-up hours", f"{plain_number(labour.setup_hours)} h")
    yield _from_book(f"{trade}: hours per {unit}", f"{plain_number(labour.hours_per_unit)} h")
    yield _from_book(f"{trade}: hourly rate", plain_number(labour.hourly_rate))


def _material(material: MaterialUse, unit: str) -> Iterator[Input]:
    name = material.name
    amount = f"{plain_number(material.quantity_per_unit)} {material.unit}"
    yield _from_book(f"{name}: quantity per {unit}", amount)
    yield _from_book(f"{name}: waste", f"{plain_number(material.waste_percent)} %")
    yield _from_book(f"{name}: price per {material.unit}", plain_number(material.price_per_unit))


def _mark_up(percentages: Percentages) -> tuple[Input, Input]:
    return (
        _from_book("overhead", f"{plain_number(percentages.overhead)} %"),
        _from_book("profit", f"{plain_number(percentages.profit)} %"),
    )


def _from_book(name: str, value: str) -> Input:
    return Input(name, value, "entered", RATE_BOOK)
