"""Typed text brought to one spelling: plain quotes, dashes, fractions and spaces."""

import re
import unicodedata
from typing import Final

_SINGLE: Final = (
    "\N{PRIME}\N{RIGHT SINGLE QUOTATION MARK}\N{LEFT SINGLE QUOTATION MARK}"
    "\N{MODIFIER LETTER PRIME}\N{MODIFIER LETTER APOSTROPHE}\N{ACUTE ACCENT}`"
)
_DOUBLE: Final = (
    "\N{DOUBLE PRIME}\N{RIGHT DOUBLE QUOTATION MARK}\N{LEFT DOUBLE QUOTATION MARK}"
    "\N{MODIFIER LETTER DOUBLE PRIME}\N{DOUBLE LOW-9 QUOTATION MARK}"
)
_HYPHENS: Final = "\N{MINUS SIGN}\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{FIGURE DASH}"
_DASHES: Final = "\N{EN DASH}\N{EM DASH}\N{HORIZONTAL BAR}"
_BETWEEN: Final = re.compile(r";|\n|,\s")
_INVISIBLE: Final = "\N{ZERO WIDTH SPACE}\N{ZERO WIDTH NO-BREAK SPACE}\N{SOFT HYPHEN}"


def plain_text(text: str, dash: str = "-") -> str:
    """Return `text` in lower case, with ASCII quotes and hyphens and single spaces.

    A sign such as three-eighths becomes ` 3/8`, apart from a number before it.
    dash: what a long dash becomes; a hyphen or minus sign is always `-`.
    """
    table = _table(dash)
    # Fractions first: NFKC alone would join 34 and a three-eighths sign into 343/8.
    apart = "".join(_fraction_apart(character) for character in text)
    # Twice, as NFKC brings some full-width marks to quotes and takes some quotes apart.
    marked = unicodedata.normalize("NFKC", apart.translate(table)).translate(table)
    return " ".join(marked.replace("''", '"').casefold().split())


def parts_of(text: str) -> list[str]:
    """Return the parts of a list: apart by a semicolon, a new line, or a comma and a space."""
    return [part for each in _BETWEEN.split(text) if (part := each.strip().rstrip(","))]


def _table(dash: str) -> dict[int, str | None]:
    return str.maketrans(
        {
            **dict.fromkeys(_SINGLE, "'"),
            **dict.fromkeys(_DOUBLE, '"'),
            **dict.fromkeys(_HYPHENS, "-"),
            **dict.fromkeys(_DASHES, dash),
            **dict.fromkeys("\N{FRACTION SLASH}\N{DIVISION SLASH}", "/"),
            **dict.fromkeys(_INVISIBLE, None),
        }
    )


def is_fraction(character: str) -> bool:
    """Whether a character is a fraction in one sign, such as three-eighths."""
    return unicodedata.decomposition(character).startswith("<fraction>")


def _fraction_apart(character: str) -> str:
    if not is_fraction(character):
        return character
    return " " + unicodedata.normalize("NFKC", character)
