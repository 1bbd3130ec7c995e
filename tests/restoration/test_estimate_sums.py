"""Estimates add up to the last coin, whatever goes in."""

from dataclasses import asdict, replace
from decimal import Decimal
from fractions import Fraction
from math import floor

import pytest
from hypothesis import HealthCheck, given
from hypothesis import strategies as st

from restoration.compute.estimate import price_estimate
from restoration.compute.estimate_inputs import (
    OPTIONS,
    SHARED_KINDS,
    ActionInput,
    LabourUse,
    MaterialUse,
    Percentages,
    SharedLine,
)
from restoration.compute.estimate_views import client_lines
from restoration.compute.money import minor_digits
from tests.properties import examples

# Each quote is a whole estimate; a thousand of them are drawn for the rule that matters most.
THOUSAND = examples(1000, suppress_health_check=[HealthCheck.too_slow])
PROPERTY = examples(100, suppress_health_check=[HealthCheck.too_slow])
CURRENCIES = st.sampled_from(["JPY", "USD", "KWD"])


def decimals(low, high, places):
    scale = 10**places
    return st.integers(low * scale, high * scale).map(lambda count: Decimal(count).scaleb(-places))


LABOUR = st.builds(
    LabourUse,
    trade=st.sampled_from(["Glazier", "Conservator", "Labourer"]),
    hours_per_unit=decimals(0, 20, 3),
    setup_hours=decimals(0, 10, 2),
    hourly_rate=decimals(0, 200, 3),
)
MATERIALS = st.builds(
    MaterialUse,
    code=st.just("M1"),
    name=st.sampled_from(["Came", "Solder", "Cement"]),
    unit=st.just("kg"),
    quantity_per_unit=decimals(0, 5, 4),
    waste_percent=decimals(0, 30, 1),
    price_per_unit=decimals(0, 300, 3),
)


@st.composite
def actions(draw):
    number = draw(st.integers(0, 5))
    labour = draw(st.lists(LABOUR, min_size=1, max_size=2))
    lump_sum = draw(st.none() | decimals(0, 9000, 4))
    return ActionInput(
        key="",
        opening=f"n{number}",
        opening_order=number,
        subject="panel 1a",
        description="Work",
        plain="Work",
        unit="piece",
        quantity=draw(decimals(0, 400, 3)),
        labour=tuple(labour),
        materials=tuple(draw(st.lists(MATERIALS, max_size=2))),
        difficulty=draw(decimals(1, 3, 2)),
        lump_sum=lump_sum,
        lump_sum_reason="Agreed",
        option=draw(st.sampled_from(OPTIONS)),
        phase=draw(st.integers(1, 3)),
    )


SHARED = st.builds(
    SharedLine,
    key=st.just(""),
    kind=st.sampled_from(SHARED_KINDS),
    description=st.just("Shared"),
    amount=decimals(0, 9000, 4),
    phase=st.integers(1, 4),
)
PERCENT = st.builds(
    Percentages,
    overhead=decimals(0, 60, 2),
    profit=decimals(0, 40, 2),
    contingency=decimals(0, 30, 2),
    tax=decimals(0, 30, 3),
    tax_name=st.just("VAT"),
    contingency_reason=st.just("Seen from the floor"),
)


def numbered(lines):
    return [replace(line, key=f"{place:02}") for place, line in enumerate(lines)]


QUOTES = st.tuples(
    st.lists(actions(), max_size=6).map(numbered),
    st.lists(SHARED, max_size=3).map(numbered),
    PERCENT,
    CURRENCIES,
)


def half_up(exact, currency):
    """Round by whole numbers alone: another way than the code's."""
    scale = 10 ** minor_digits(currency)
    return Fraction(floor(exact * scale + Fraction(1, 2)), scale)


def exact_price(action, percentages):
    if action.lump_sum is not None:
        return Fraction(action.lump_sum)
    quantity = Fraction(action.quantity)
    cost = Fraction(0)
    for labour in action.labour:
        hours = Fraction(labour.setup_hours) + quantity * Fraction(labour.hours_per_unit)
        cost += hours * Fraction(action.difficulty) * Fraction(labour.hourly_rate)
    for material in action.materials:
        bought = quantity * Fraction(material.quantity_per_unit)
        bought *= 1 + Fraction(material.waste_percent) / 100
        cost += bought * Fraction(material.price_per_unit)
    return marked_up(cost, percentages)


def marked_up(cost, percentages):
    overhead, profit = Fraction(percentages.overhead), Fraction(percentages.profit)
    return Fraction(cost) * (100 + overhead) / 100 * (100 + profit) / 100


@pytest.mark.published("ISO 4217: 0, 2 and 3 digits of JPY, USD and KWD; from memory")
@THOUSAND
@given(QUOTES)
def test_a_thousand_quotes_add_up_to_the_last_coin(quote):
    actions, shared, percentages, currency = quote
    estimate = price_estimate(actions, shared, percentages, currency)
    printed = [line.price for line in (*estimate.lines, *estimate.shared)]
    printed += [estimate.contingency.amount, estimate.tax.amount]
    assert sum(printed) == estimate.totals.total
    for amount in (*printed, *asdict(estimate.totals).values()):
        assert -amount.as_tuple().exponent == minor_digits(currency)

    by_key = {action.key: action for action in actions}
    for line in estimate.lines:
        assert line.price == half_up(exact_price(by_key[line.key], percentages), currency)
    for line in estimate.shared:
        assert line.price == half_up(marked_up(line.cost, percentages), currency)
    lines = sum(Fraction(amount) for amount in printed[:-2])
    contingency = half_up(lines * Fraction(percentages.contingency) / 100, currency)
    tax = half_up((lines + contingency) * Fraction(percentages.tax) / 100, currency)
    assert (estimate.totals.contingency, estimate.totals.tax) == (contingency, tax)


@PROPERTY
@given(QUOTES)
def test_every_kind_of_subtotal_adds_up(quote):
    estimate = price_estimate(*quote)
    totals = estimate.totals
    assert sum(opening.amount for opening in estimate.openings) == totals.actions
    assert sum(option.amount for option in estimate.options) == totals.actions
    assert sum(phase.actions for phase in estimate.phases) == totals.actions
    assert sum(phase.shared for phase in estimate.phases) == totals.shared
    assert sum(phase.total for phase in estimate.phases) == totals.lines
    assert totals.lines == totals.actions + totals.shared
    assert totals.net == totals.lines + totals.contingency
    assert totals.total == totals.net + totals.tax
    assert sum(line.price for line in client_lines(estimate)) == totals.lines


@PROPERTY
@given(QUOTES, st.randoms(use_true_random=False))
def test_the_order_of_the_inputs_does_not_matter(quote, random):
    actions, shared, percentages, currency = quote
    shuffled_actions, shuffled_shared = list(actions), list(shared)
    random.shuffle(shuffled_actions)
    random.shuffle(shuffled_shared)
    shuffled = price_estimate(shuffled_actions, shuffled_shared, percentages, currency)
    assert shuffled == price_estimate(actions, shared, percentages, currency)


def test_figures_at_the_bounds_are_still_exact():
    nines = "9" * 60
    action = ActionInput(
        key="a1",
        opening="nII",
        opening_order=2,
        subject="panel 1a",
        description="Work",
        plain="Work",
        unit="piece",
        quantity=Decimal(f"999999.{nines}"),
        labour=(
            LabourUse("Glazier", Decimal(f"99999.{nines}"), Decimal(0), Decimal(f"999999.{nines}")),
        ),
        materials=(),
        difficulty=Decimal(f"9.{nines}"),
        lump_sum=None,
        lump_sum_reason="",
        option="must",
        phase=1,
    )
    percent = Decimal(f"99.{nines}")
    percentages = Percentages(percent, percent, Decimal(0), Decimal(0), "", "")
    estimate = price_estimate([action], [], percentages, "USD")
    assert estimate.lines[0].price == half_up(exact_price(action, percentages), "USD")
