"""Numbers as people type them: one reading is read, two readings are asked about, the rest refused.

No habit of a place is asked for. A text is read where every habit that can read it at all reads
the same; where two habits read it differently nobody can tell which was meant: the same studio
has a German parish, an American order form and a British keyboard.

| typed | English | German | French | Swiss | Indian | here |
| --- | --- | --- | --- | --- | --- | --- |
| `1250`, `1250.5`, `1250,5` | one reading | | | | | read |
| `1.250`, `1,250`, `-12.500` | 1.25 or 1250 | | | | | asked about |
| `0.438`, `0,438`, `.438`, `1250,500` | one reading: no thousands begin so | | | | | read |
| `1,052.50` | 1052.5 | – | – | – | 1052.5 | read |
| `1.052,50` | – | 1052.5 | – | – | – | read |
| `1 052,50`, `1 052.50` (any kind of blank) | – | – | 1052.5 | – | – | read |
| `1'052.50`, `1'052,50` | – | – | – | 1052.5 | – | read |
| `1.250.000`, `1,250,000`, `1 250`, `1'250` | thousands alone | | | | | read |
| `12,34,567` | – | – | – | – | 1234567 | read |
| `1.25.0`, `1,2,3`, `12.`, `1e5`, `1` tab `250` | – | – | – | – | – | refused |
"""

import re
import unicodedata
from decimal import Decimal
from typing import Final

from sites.compute.plain_numbers import plain_number

LONGEST_SHOWN: Final = 40
LONGEST_TEXT: Final = 60

_APOSTROPHES: Final = "\N{RIGHT SINGLE QUOTATION MARK}\N{MODIFIER LETTER APOSTROPHE}\N{PRIME}"
_MINUSES: Final = "\N{MINUS SIGN}\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{FIGURE DASH}\N{EN DASH}"
_PLAIN: Final = str.maketrans(
    {
        **dict.fromkeys(_APOSTROPHES, "'"),
        **dict.fromkeys(_MINUSES, "-"),
        "\N{FULLWIDTH COMMA}": ",",
        "\N{FULLWIDTH FULL STOP}": ".",
    }
)
_SIGNED: Final = re.compile(r"(?P<sign>[-+]?) ?(?P<size>.*)")
_ONE_MARK: Final = re.compile(r"(?P<whole>[0-9]*)(?P<mark>[.,])(?P<part>[0-9]+)")
_THOUSANDS: Final = re.compile(r"[1-9][0-9]{0,2}")
_GROUPED: Final = re.compile(
    r"(?P<whole>[1-9][0-9]{0,2}(?P<group>[., '])[0-9]{3}(?:(?P=group)[0-9]{3})*"
    r"|[1-9][0-9]?(?P<indian>,)(?:[0-9]{2},)+[0-9]{3})"
    r"(?:(?P<mark>[.,])(?P<part>[0-9]+))?"
)
_FIGURES_AND_MARKS: Final = re.compile(r"[0-9., ']+")


class NumberError(ValueError):
    """What was typed is not a number we can be sure of: what is wrong, and what is possible."""

    def __init__(self, what: str, possible: str) -> None:
        super().__init__(f"{what} {possible}")
        self.what, self.possible = what, possible


class TwoReadingsError(NumberError):
    """What was typed can be read as two numbers."""

    def __init__(self, what: str, possible: str) -> None:
        ValueError.__init__(self, f"{what}: {possible[0].lower()}{possible[1:]}")
        self.what, self.possible = f"{what}.", possible


def read_number(text: str) -> Decimal:
    """Return the number that `text` states, without needless zeros: `1.052,50` is 1052.5.

    Which texts are read, asked about and refused is the table at the top of this module.

    Raises TwoReadingsError for what can be read two ways and NumberError for what is no number,
    both in words for the person who typed it.
    """
    typed = _short(text)
    if len(text) > LONGEST_TEXT:
        raise NumberError("That is too long for a number.", "Type figures alone, such as 12.5.")
    if is_parted(text):
        raise NumberError(f"There is a tab or a new line in “{typed}”.", "Type one number.")
    signed = _SIGNED.fullmatch(_plain(text))
    sign, size = (signed["sign"], signed["size"]) if signed else ("", "")
    if size.isdecimal():
        return _number(sign, size)
    if one := _ONE_MARK.fullmatch(size):
        if len(one["part"]) == 3 and _THOUSANDS.fullmatch(one["whole"]):
            raise _two_readings(typed, sign.replace("+", ""), one)
        return _number(sign, one["whole"], one["part"])
    grouped = _GROUPED.fullmatch(size)
    if grouped is None or grouped["mark"] in (grouped["group"] or grouped["indian"],):
        raise _refusal(typed, size)
    return _number(sign, re.sub("[^0-9]", "", grouped["whole"]), grouped["part"] or "")


def is_parted(text: str) -> bool:
    """Whether something else than a blank, as a tab or a new line, stands inside: two values?"""
    return any(
        character.isspace() and unicodedata.category(character) != "Zs"
        for character in text.strip()
    )


def number_for_box(number: Decimal) -> str:
    """Return a number as a box shows it, so that posted back it is read as that number.

    A third decimal that could be read as thousands is followed by a zero: 1.125 is `1.1250`.
    """
    text = plain_number(number)
    one = _ONE_MARK.fullmatch(text.removeprefix("-"))
    return f"{text}0" if one and len(one["part"]) == 3 and one["whole"] != "0" else text


def _plain(text: str) -> str:
    """With one kind of space, apostrophe and minus sign, and the figures of any script as 0 to 9.

    Other signs stay what they are: a raised ² is no figure.
    """
    figures = (
        character if (figure := unicodedata.decimal(character, None)) is None else str(figure)
        for character in text.translate(_PLAIN)
        if unicodedata.category(character) != "Cf"
    )
    return " ".join("".join(figures).split())


def _number(sign: str, whole: str, part: str = "") -> Decimal:
    text = plain_number(Decimal(f"{whole or 0}.{part or 0}"))
    return Decimal(text if text == "0" or sign != "-" else f"-{text}")


def _two_readings(typed: str, sign: str, one: re.Match[str]) -> TwoReadingsError:
    whole, mark, part = one.group("whole", "mark", "part")
    shown = part.rstrip("0")
    decimals = f"{sign}{whole}{mark}{shown}" if shown else f"{sign}{whole}"
    # With three decimals the text itself is the one nobody can be sure of.
    type_decimals = f"{decimals}0" if len(shown) == 3 else decimals
    joined = f"{sign}{whole}{part}"
    return TwoReadingsError(
        f"{typed} can be read as {decimals} or as {joined}", f"Type {type_decimals} or {joined}."
    )


def _refusal(typed: str, size: str) -> NumberError:
    if _FIGURES_AND_MARKS.fullmatch(size) and re.search("[0-9]", size):
        return NumberError(
            f"{typed} is not a number: it is not clear where its decimals begin.",
            "Thousands come in groups of three figures. Type it without groups, such as 1250.5.",
        )
    return NumberError(
        f"“{typed}” is not a number.", "Type figures alone, without a unit, such as 12.5."
    )


def _short(text: str) -> str:
    typed = " ".join(text.split())
    return typed if len(typed) <= LONGEST_SHOWN else f"{typed[:LONGEST_SHOWN]}…"
