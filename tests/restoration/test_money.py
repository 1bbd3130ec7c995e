"""Money: minor units of ISO 4217, one half-up rounding, amounts as text."""

from datetime import date
from decimal import ROUND_HALF_EVEN, Decimal, getcontext, localcontext
from fractions import Fraction
from math import floor

import pytest
from babel.core import get_global
from babel.numbers import get_territory_currencies
from hypothesis import given
from hypothesis import strategies as st

from restoration.compute.money import (
    CURRENCIES,
    CurrencyError,
    MoneyError,
    format_money,
    from_minor,
    minor_digits,
    round_money,
    to_minor,
)
from tests.properties import examples

PROPERTY = examples(200)
AMOUNTS = st.decimals(-(10**12), 10**12, allow_nan=False, places=7)
CODES = st.sampled_from(sorted(CURRENCIES))


@pytest.mark.published("ISO 4217, list one; from memory")
@pytest.mark.parametrize(
    ("digits", "codes"),
    [
        (0, "JPY KRW CLP ISK VND XAF XOF XPF PYG RWF UGX VUV BIF DJF GNF KMF UYI"),
        (2, "USD GBP EUR CHF CAD AUD NZD SEK DKK NOK PLN CZK HUF INR ZAR MXN XCG SLE"),
        (3, "KWD BHD OMR JOD TND IQD LYD"),
        (4, "CLF UYW"),
    ],
)
def test_currencies_have_the_minor_units_of_the_standard(digits, codes):
    assert {minor_digits(code) for code in codes.split()} == {digits}


@pytest.mark.published("ISO 4217 gives two digits where CLDR prints none; from memory")
@pytest.mark.parametrize("code", ["IRR", "LAK", "LBP", "RSD", "SYP", "YER", "MGA", "ALL", "AFN"])
def test_minor_units_are_those_of_iso_not_of_local_habit(code):
    assert minor_digits(code) == 2
    assert format_money(Decimal("5"), code, "en_GB").endswith("5.00")


@pytest.mark.published("CLDR: currencies in use as tender on 1 June 2025, as Babel has them")
def test_every_currency_in_use_is_known():
    in_use = {
        code
        for territory in get_global("territory_currencies")
        for code in get_territory_currencies(territory, date(2025, 6, 1))
    }
    # Withdrawn since from ISO 4217: the Netherlands Antillean guilder and the Bulgarian lev.
    assert in_use - {"ANG", "BGN"} <= CURRENCIES


@pytest.mark.parametrize("code", ["", "usd", "DEM", "XAU", "XTS", "US$", "ANG", "HRK"])
def test_a_code_that_is_no_current_currency_is_refused(code):
    for use in (minor_digits, lambda code: round_money(Decimal(1), code)):
        with pytest.raises(CurrencyError, match="three capital letters"):
            use(code)


@pytest.mark.published("ISO 4217, minor unit 2: 2.665 is 2.67 half up (half even gives 2.66)")
def test_half_a_cent_goes_up():
    assert round_money(Decimal("2.665"), "USD") == Decimal("2.67")
    assert Decimal("2.665").quantize(Decimal("0.01"), ROUND_HALF_EVEN) == Decimal("2.66")


@pytest.mark.parametrize(
    ("amount", "currency", "rounded"),
    [
        ("0.5", "JPY", "1"),
        ("1.4999", "JPY", "1"),
        ("2.6645", "KWD", "2.665"),
        ("2.664499", "KWD", "2.664"),
        ("-2.665", "USD", "-2.67"),
        ("-2.664", "USD", "-2.66"),
        ("7", "EUR", "7.00"),
        ("1E+3", "EUR", "1000.00"),
        (
            "12345678901234567890123456789012345.675",
            "USD",
            "12345678901234567890123456789012345.68",
        ),
    ],
)
def test_amounts_round_half_away_from_zero(amount, currency, rounded):
    assert str(round_money(Decimal(amount), currency)) == rounded


def test_no_amount_is_minus_nothing():
    assert str(round_money(Decimal("-0.004"), "USD")) == "0.00"


@pytest.mark.parametrize("amount", ["NaN", "sNaN", "Infinity", "-Infinity", "1E+2000"])
def test_what_is_no_amount_is_refused(amount):
    with pytest.raises(MoneyError):
        round_money(Decimal(amount), "USD")


def test_the_rounding_does_not_depend_on_the_context_of_the_thread():
    with localcontext() as context:
        context.prec = 5
        context.rounding = ROUND_HALF_EVEN
        assert round_money(Decimal("123456789.125"), "USD") == Decimal("123456789.13")
        assert format_money(Decimal("123456789.125"), "USD", "en_US") == "$123,456,789.13"
    assert getcontext().prec != 5


def test_minor_units_are_whole_coins():
    assert to_minor(Decimal("2.67"), "USD") == 267
    assert to_minor(Decimal("2.67"), "KWD") == 2670
    assert to_minor(Decimal("267"), "JPY") == 267
    assert str(from_minor(267, "USD")) == "2.67"
    assert str(from_minor(-5, "KWD")) == "-0.005"
    assert str(from_minor(267, "JPY")) == "267"
    with pytest.raises(MoneyError, match="Round it first"):
        to_minor(Decimal("2.665"), "USD")
    with pytest.raises(MoneyError, match="not an amount"):
        to_minor(Decimal("NaN"), "USD")


@pytest.mark.parametrize(
    ("amount", "currency", "locale", "text"),
    [
        ("1234.5", "USD", "en_US", "$1,234.50"),
        ("1234.5", "GBP", "en-gb", "\N{POUND SIGN}1,234.50"),
        ("-1234.565", "GBP", "en_GB", "-\N{POUND SIGN}1,234.57"),
        ("1234.5", "EUR", "de_DE", "1.234,50\N{NO-BREAK SPACE}\N{EURO SIGN}"),
        ("1234.5", "JPY", "en_US", "\N{YEN SIGN}1,235"),
        ("1234.5", "KWD", "en_US", "KWD\N{NO-BREAK SPACE}1,234.500"),
        ("0", "USD", "en_US", "$0.00"),
    ],
)
def test_amounts_are_written_as_the_locale_writes_them(amount, currency, locale, text):
    assert format_money(Decimal(amount), currency, locale) == text


@pytest.mark.parametrize("locale", ["", "xx", "nowhere"])
def test_an_unknown_locale_is_refused(locale):
    with pytest.raises(MoneyError, match="not a locale"):
        format_money(Decimal(1), "USD", locale)


@PROPERTY
@given(AMOUNTS, CODES)
def test_rounding_agrees_with_exact_fractions(amount, code):
    scale = 10 ** minor_digits(code)
    size = floor(abs(Fraction(amount)) * scale + Fraction(1, 2))
    expected = Fraction(size if amount >= 0 else -size, scale)
    assert Fraction(round_money(amount, code)) == expected


@PROPERTY
@given(AMOUNTS, CODES)
def test_rounding_twice_changes_nothing_and_minor_units_lead_back(amount, code):
    rounded = round_money(amount, code)
    assert str(round_money(rounded, code)) == str(rounded)
    assert str(from_minor(to_minor(rounded, code), code)) == str(rounded)
    assert -rounded.as_tuple().exponent == minor_digits(code)
