"""Decimal numbers as plain text: no exponent, no needless zeros."""

from decimal import Decimal


def plain_number(number: Decimal) -> str:
    """Return a number in full: `900`, not `9E+2`; `0.5`, not `0.500`."""
    text = format(number, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
