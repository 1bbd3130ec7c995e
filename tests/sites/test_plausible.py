"""What sizes and sums usually are, and what is asked about beyond."""

from decimal import Decimal

import pytest

from sites.compute.plausible import USUAL, implausible


@pytest.mark.parametrize("quantity", USUAL)
def test_a_range_takes_its_own_ends_and_asks_just_beyond_them(quantity):
    usual = USUAL[quantity]
    assert implausible(quantity, usual.least, "EUR") is None
    assert implausible(quantity, usual.most, "EUR") is None
    for beyond in (usual.least * Decimal("0.99"), usual.most + Decimal("0.01")):
        assert "is that right?" in str(implausible(quantity, beyond, "EUR"))


@pytest.mark.parametrize(
    ("quantity", "value", "currency", "asked"),
    [
        ("opening width", "99.9", "", True),
        ("opening width", "100", "", False),
        ("opening height", "20000", "", False),
        ("opening height", "20001", "", True),
        ("sum", "1.61", "EUR", True),
        ("sum", "1.61", "KWD", True),
        ("sum", "161000000", "JPY", False),
        ("sum", "161", "JPY", True),
        ("sum", "0", "EUR", False),
        ("sum", "-1", "EUR", False),
    ],
)
def test_what_is_asked_about(quantity, value, currency, asked):
    assert (implausible(quantity, Decimal(value), currency) is not None) is asked


def test_a_yes_is_to_one_value_alone():
    keys = {implausible("opening width", Decimal(mm)).key for mm in ("12", "13", "1.2", "0.12")}
    assert len(keys) == 4
    assert implausible("opening width", Decimal("12.00")).key == "12"
