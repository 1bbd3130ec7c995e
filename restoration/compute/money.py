"""Money: the minor unit of each currency, one rounding, and amounts as text."""

import re
from copy import copy
from decimal import (
    MAX_EMAX,
    MIN_EMIN,
    ROUND_HALF_UP,
    Context,
    Decimal,
    InvalidOperation,
    localcontext,
)
from functools import cache
from typing import Final

from babel import Locale, UnknownLocaleError
from babel.numbers import NumberPattern

# Figures enough for any product of the inputs of an estimate, so that nothing is rounded but
# where we say so.
EXACT: Final = Context(prec=1000, rounding=ROUND_HALF_UP, Emax=MAX_EMAX, Emin=MIN_EMIN)

# ISO 4217, list one (current currencies and funds), from memory. Codes without a minor unit
# (metals, bond units, testing, "no currency") are left out: no quote can be written in them.
# CLDR's table of digits differs from ISO's (IQD, LAK, RSD ...), so it is not used.
_CODES_BY_DIGITS: Final[dict[int, str]] = {
    0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
    2: """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BMD BND BOB BOV BRL BSD BTN BWP BYN BZD
    CAD CDF CHE CHF CHW CNY COP COU CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL
    GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR
    LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD
    PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC
    SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD USN UYU UZS VED VES WST XAD XCD XCG YER ZAR
    ZMW ZWG
    """,
    3: "BHD IQD JOD KWD LYD OMR TND",
    4: "CLF UYW",
}
_DIGITS: Final[dict[str, int]] = {
    code: digits for digits, codes in _CODES_BY_DIGITS.items() for code in codes.split()
}
CURRENCIES: Final[frozenset[str]] = frozenset(_DIGITS)


# A currency shown by its letters stands apart from the figures (Unicode UTS 35, part 3,
# currency spacing), which Babel leaves to its caller: KWD 1.500, not KWD1.500.
_LETTER_BESIDE_FIGURE: Final = re.compile(r"(?<=[^\W\d_])(?=\d)|(?<=\d)(?=[^\W\d_])")


class MoneyError(ValueError):
    """An amount that cannot stand on a quote; the message says why."""


class CurrencyError(MoneyError):
    """A code that is no current currency of ISO 4217."""


def minor_digits(currency: str) -> int:
    """Return how many decimal places the currency's minor unit has: 2 for USD, 0 for JPY.

    Raises CurrencyError for a code that is not in ISO 4217's list of current currencies.
    """
    if currency not in _DIGITS:
        raise CurrencyError(
            f'"{currency}" is not a currency code. Use three capital letters, such as USD or EUR.'
        )
    return _DIGITS[currency]


def round_money(amount: Decimal, currency: str) -> Decimal:
    """Return the amount rounded half-up to the currency's minor unit: 2.665 USD is 2.67.

    Half of a unit goes away from zero, also below zero. This is the one place where
    money is rounded.

    Raises CurrencyError for an unknown currency, MoneyError for what is no amount.
    """
    unit = Decimal(1).scaleb(-minor_digits(currency))
    try:
        rounded = _finite(amount).quantize(unit, context=EXACT)
    except InvalidOperation as error:
        raise MoneyError(f"{amount} {currency} is too large to be an amount of money.") from error
    return rounded if rounded else abs(rounded)


def to_minor(amount: Decimal, currency: str) -> int:
    """Return the amount in minor units, exactly: 2.67 USD is 267.

    Raises MoneyError for an amount with a part of a minor unit: round it first.
    """
    minor = _finite(amount).scaleb(minor_digits(currency), context=EXACT)
    if minor != int(minor):
        raise MoneyError(f"{amount} {currency} has a part of the smallest coin. Round it first.")
    return int(minor)


def from_minor(minor: int, currency: str) -> Decimal:
    """Return minor units as an amount with all its places: 267 is 2.67 USD."""
    return Decimal(minor).scaleb(-minor_digits(currency), context=EXACT)


def format_money(amount: Decimal, currency: str, locale: str = "en_GB") -> str:
    """Return the amount as people of the locale write it, with every ISO minor digit.

    locale: `en_GB`, or `en-gb` as Django writes it.

    Raises CurrencyError and MoneyError as round_money does, and MoneyError for a locale
    that is not known.
    """
    rounded = round_money(amount, currency)
    found = _locale(locale)
    pattern = _pattern(found, minor_digits(currency))
    # Babel rounds in the context of the thread, which may hold too few figures.
    with localcontext(EXACT):
        text = str(pattern.apply(rounded, found, currency=currency, currency_digits=False))
    return _LETTER_BESIDE_FIGURE.sub("\N{NO-BREAK SPACE}", text)


@cache
def _pattern(locale: Locale, digits: int) -> NumberPattern:
    pattern: NumberPattern = copy(locale.currency_formats["standard"])
    pattern.frac_prec = (digits, digits)
    return pattern


@cache
def _locale(name: str) -> Locale:
    try:
        return Locale.parse(name.replace("-", "_"))
    except (UnknownLocaleError, ValueError, TypeError) as error:
        raise MoneyError(f'"{name}" is not a locale known here, such as en_GB.') from error


def _finite(amount: Decimal) -> Decimal:
    if not amount.is_finite():
        raise MoneyError(f"{amount} is not an amount of money.")
    return amount
