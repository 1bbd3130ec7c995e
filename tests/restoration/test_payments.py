"""Schedules of payments that sum to the total to the last coin."""

from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from restoration.compute.money import CurrencyError, MoneyError, from_minor, minor_digits
from restoration.compute.payments import PaymentError, split_payments
from tests.properties import examples

PROPERTY = examples(300)


def shares(*percents):
    return [(f"Payment {place}", Decimal(percent)) for place, percent in enumerate(percents, 1)]


def amounts(total, currency, *percents):
    return [
        str(amount) for _, amount in split_payments(Decimal(total), currency, shares(*percents))
    ]


def test_a_usual_schedule():
    schedule = [
        ("On acceptance", Decimal(30)),
        ("When the panels are back", Decimal(60)),
        ("After six months", Decimal(10)),
    ]
    assert split_payments(Decimal("1288.19"), "GBP", schedule) == [
        # 386.457, 772.914 and 128.819: two coins are left, for .9 and .7 of a penny.
        ("On acceptance", Decimal("386.46")),
        ("When the panels are back", Decimal("772.91")),
        ("After six months", Decimal("128.82")),
    ]


@pytest.mark.published(
    "Largest remainder with the Hare quota, the usual textbook example: votes of 47000, 16000, "
    "15900, 12000, 6000 and 3100 for 10 seats give 5, 2, 1, 1, 1, 0. From memory"
)
def test_the_textbook_example_of_largest_remainders():
    found = amounts("10", "JPY", "47", "16", "15.9", "12", "6", "3.1")
    assert found == ["5", "2", "1", "1", "1", "0"]


def test_equal_remainders_go_to_the_earlier_payment():
    assert amounts("0.01", "USD", "50", "50") == ["0.01", "0.00"]
    assert amounts("100.01", "USD", "25", "25", "25", "25") == ["25.01", "25.00", "25.00", "25.00"]
    assert amounts("1.000", "KWD", "33.33", "33.33", "33.34") == ["0.333", "0.333", "0.334"]


@pytest.mark.parametrize(
    ("percents", "says"),
    [
        ([], "one payment at least"),
        (["50", "40"], "come to 90 %"),
        (["33.3333333", "33.3333333", "33.3333333"], "come to 99.9999999 %"),
        (["60", "50"], "come to 110 %"),
        (["110", "-10"], "no share"),
        (["100", "0"], "no share"),
        (["NaN", "50"], "no share"),
    ],
)
def test_shares_that_are_not_a_whole_are_refused(percents, says):
    with pytest.raises(PaymentError) as refusal:
        split_payments(Decimal(100), "USD", shares(*percents))
    assert says in str(refusal.value)


def test_a_payment_without_a_name_is_refused():
    with pytest.raises(PaymentError, match="needs a name"):
        split_payments(Decimal(100), "USD", [(" ", Decimal(100))])


def test_a_total_that_cannot_be_paid_is_refused():
    with pytest.raises(MoneyError, match="Round it first"):
        amounts("1.005", "USD", "100")
    with pytest.raises(PaymentError, match="below zero"):
        amounts("-1.00", "USD", "100")
    with pytest.raises(CurrencyError):
        amounts("1.00", "ECU", "100")


@st.composite
def schedules(draw):
    """Percentages of up to four places that sum to 100."""
    cuts = draw(st.sets(st.integers(1, 999_999), max_size=8))
    edges = [0, *sorted(cuts), 1_000_000]
    return shares(*(str(Decimal(end - start).scaleb(-4)) for start, end in pairwise(edges)))


@PROPERTY
@given(
    st.integers(0, 10**10),
    st.sampled_from(["JPY", "USD", "KWD", "CLF"]),
    schedules(),
)
def test_payments_sum_to_the_total_and_none_is_a_coin_away(minor, currency, schedule):
    total = from_minor(minor, currency)
    paid = split_payments(total, currency, schedule)
    assert sum(amount for _, amount in paid) == total
    assert [label for label, _ in paid] == [label for label, _ in schedule]
    coin = Fraction(1, 10 ** minor_digits(currency))
    for (_, amount), (_, percent) in zip(paid, schedule, strict=True):
        assert abs(Fraction(amount) - Fraction(total) * Fraction(percent) / 100) < coin
        assert amount >= 0
