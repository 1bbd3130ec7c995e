"""The proper names and dates of an inscription, listed so that each is read letter by letter."""

import re
import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Final, Literal

from sites.compute.inscription.name_words import DEDICATION, JOINING, MONTHS, MONTHS_SHORT

Kind = Literal["name", "date", "year"]

_MONTH: Final = rf"(?:{'|'.join([*MONTHS, *MONTHS_SHORT])})\.?"
_YEAR: Final = r"1[0-9]{3}|20[0-9]{2}"
_DAY: Final = r"(?:3[01]|[12][0-9]|0?[1-9])(?:st|nd|rd|th)?\.?"
_ROMAN: Final = (
    r"(?=M[CDM][MDCLXVI]+(?![^\W_]))M{1,3}(?:CM|CD|D?C{0,4})(?:XC|XL|L?X{0,4})(?:IX|IV|V?I{0,4})"
)
_ERA: Final = r"(?:A\.?\s?D\.?\s+)?"
_EDGE: Final = r"(?<![^\W_])"
_END: Final = r"(?![^\W_])"
# Tried in this order: a day is taken before the year inside it.
_DATES: Final = (
    rf"{_EDGE}{_DAY}\s+(?:of\s+)?{_MONTH},?(?:\s+(?:{_YEAR}))?{_END}",
    rf"{_EDGE}{_MONTH}\s+{_DAY}(?:,?\s+(?:{_YEAR}))?{_END}",
    rf"{_EDGE}{_MONTH},?\s+(?:{_YEAR}){_END}",
    rf"{_EDGE}\d{{1,4}}[./-]\d{{1,2}}[./-]\d{{2,4}}{_END}",
)
_YEARS: Final = (
    rf"{_EDGE}{_ERA}(?:{_YEAR})\s*[-–—/]\s*(?:{_YEAR}|\d{{2}}){_END}",
    rf"{_EDGE}{_ERA}(?:{_YEAR}){_END}",
)
_ROMAN_YEAR: Final = re.compile(rf"{_EDGE}{_ERA}{_ROMAN}{_END}")
_PATTERNS: Final[tuple[tuple[Kind, re.Pattern[str]], ...]] = (
    *(("date", re.compile(pattern, re.IGNORECASE)) for pattern in _DATES),
    *(("year", re.compile(pattern, re.IGNORECASE)) for pattern in _YEARS),
    ("year", _ROMAN_YEAR),
)
_WORD: Final = re.compile(r"[^\W\d_](?:[^\W\d_]|[\u0300-\u036f]|['’.\-](?=[^\W\d_]))*\.?")
# As near as this, two words are the same name in two spellings: two letters of seven differ.
_NEAR: Final = 0.7


@dataclass(frozen=True)
class Found:
    """A name or a date of the inscription as it stands there, and in which line (from 1)."""

    kind: Kind
    text: str
    line: int


@dataclass(frozen=True)
class Difference:
    """A word the register has that the inscription does not have in that spelling.

    nearest: the word of the inscription most like it, "" where none is; line: where, or None.
    """

    word: str
    nearest: str
    line: int | None


def names_and_dates(lines: Sequence[str]) -> tuple[Found, ...]:
    """Return the proper names, dates and years of an inscription in the order they stand.

    In a line that has small letters a name is a run of words with a capital; in one of capitals
    alone it is every word that is not common in dedications. Rather one too many than one too
    few: the list is there to be read, letter by letter.
    """
    found: list[tuple[int, int, Found]] = []
    for number, line in enumerate(lines, start=1):
        plain = unicodedata.normalize("NFC", line)
        taken = list(_dates(plain))
        found += [(number, start, Found(kind, text, number)) for kind, start, text in taken]
        for _, start, text in taken:
            plain = plain[:start] + "\0" * len(text) + plain[start + len(text) :]
        found += [(number, start, Found("name", text, number)) for start, text in _names(plain)]
    return tuple(each for _, _, each in sorted(found, key=lambda one: one[:2]))


def differences(kept: str, lines: Sequence[str]) -> tuple[Difference, ...]:
    """Return each name of `kept` (the register's words) that the inscription spells otherwise.

    Capitals do not count, accents do. A word with no like one in the inscription has no nearest.
    """
    standing = [
        (_core(word), number)
        for number, line in enumerate(lines, start=1)
        for word in _WORD.findall(unicodedata.normalize("NFC", line))
    ]
    there = {word.casefold() for word, _ in standing}
    return tuple(
        _nearest(word, standing)
        for word in dict.fromkeys(_core(word) for word in _WORD.findall(_composed(kept)))
        if word.casefold() not in there and _is_name_word(word)
    )


def _composed(text: str) -> str:
    return unicodedata.normalize("NFC", text)


def _core(word: str) -> str:
    return word.rstrip(".")


def _is_name_word(word: str) -> bool:
    folded = word.casefold()
    return _has_capital(word) and folded not in DEDICATION and folded not in MONTHS


def _has_capital(word: str) -> bool:
    """Whether a capital stands in it: at its head, or after a particle as in d'Arcy."""
    return any(letter.isupper() for letter in word)


def _nearest(word: str, standing: Sequence[tuple[str, int]]) -> Difference:
    likeness, text, number = max(
        (
            (SequenceMatcher(None, word.casefold(), other.casefold()).ratio(), other, number)
            for other, number in standing
        ),
        default=(0.0, "", 0),
    )
    if likeness < _NEAR:
        return Difference(word, "", None)
    return Difference(word, text, number)


def _dates(line: str) -> Iterator[tuple[Kind, int, str]]:
    rest = line
    for kind, pattern in _PATTERNS:
        for match in list(pattern.finditer(rest)):
            yield kind, match.start(), match.group()
            rest = rest[: match.start()] + "\0" * len(match.group()) + rest[match.end() :]


def _names(line: str) -> Iterator[tuple[int, str]]:
    """Runs of name words with the small words that join them, and what stands between them."""
    capitals_alone = not any(letter.islower() for letter in line)
    words = list(_WORD.finditer(line))
    run: list[re.Match[str]] = []
    for word in words:
        if run and not _joined(line, run[-1], word):
            yield from _run(line, run)
            run = []
        folded = _core(word.group()).casefold()
        named = (
            (capitals_alone or _has_capital(word.group()))
            and folded not in DEDICATION
            and any(letter.isalpha() for letter in word.group())
        )
        if named or (run and folded in JOINING):
            run.append(word)
        else:
            yield from _run(line, run)
            run = []
    yield from _run(line, run)


def _joined(line: str, before: re.Match[str], after: re.Match[str]) -> bool:
    """Whether only spaces, or a full stop of an abbreviation, stand between two words."""
    return not line[before.end() : after.start()].strip()


def _run(line: str, run: list[re.Match[str]]) -> Iterator[tuple[int, str]]:
    while run and _core(run[-1].group()).casefold() in JOINING:
        run = run[:-1]
    if run:
        yield run[0].start(), line[run[0].start() : run[-1].end()]
