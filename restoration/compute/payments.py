"""A schedule of payments that adds up to the total to the last coin."""

from collections.abc import Sequence
from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Final

from restoration.compute.money import EXACT, from_minor, minor_digits, to_minor
from sites.compute.plain_numbers import plain_number

HUNDRED: Final = 100


class PaymentError(ValueError):
    """A schedule that cannot be worked out; the message says why."""


def split_payments(
    total: Decimal, currency: str, shares: Sequence[tuple[str, Decimal]]
) -> list[tuple[str, Decimal]]:
    """Return each label with its part of `total`, in the order given; the parts sum to it.

    total: an amount already rounded to the currency's minor unit, not below zero.
    shares: labels with their percentages, which sum to 100 exactly.

    Every part is its exact share rounded down or up to the minor unit: the units left over
    by rounding down go to the largest remainders, the earlier share first among equals.

    Raises PaymentError for shares that do not sum to 100, MoneyError for a total with a
    part of a minor unit, CurrencyError for an unknown currency.

    Source: the largest-remainder method (Hamilton's, 1792). From memory.
    """
    minor_digits(currency)
    _check_shares(shares)
    if total < 0:
        raise PaymentError(f"{total} {currency} is below zero. A schedule divides what is owed.")
    minor = to_minor(total, currency)
    exact = [Fraction(percent) * minor / HUNDRED for _, percent in shares]
    parts = [part.numerator // part.denominator for part in exact]
    left_over = minor - sum(parts)
    by_remainder = sorted(range(len(parts)), key=lambda place: (parts[place] - exact[place], place))
    for place in by_remainder[:left_over]:
        parts[place] += 1
    return [
        (label, from_minor(part, currency)) for (label, _), part in zip(shares, parts, strict=True)
    ]


def _check_shares(shares: Sequence[tuple[str, Decimal]]) -> None:
    if not shares:
        raise PaymentError("A schedule needs one payment at least.")
    for label, percent in shares:
        if not label.strip():
            raise PaymentError("Every payment needs a name, such as On acceptance.")
        if not percent.is_finite() or not 0 < percent <= HUNDRED:
            raise PaymentError(f"{label}: {percent} % is no share. It must be over 0, to 100.")
    with localcontext(EXACT):
        together = sum((percent for _, percent in shares), Decimal(0))
    if together != HUNDRED:
        raise PaymentError(
            f"The shares come to {plain_number(together)} %. They must come to 100 % exactly."
        )
