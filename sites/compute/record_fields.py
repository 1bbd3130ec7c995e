"""What each value of a record may be, declared once beside its name, and its refusal in words.

A record's data is a frozen dataclass whose fields are `Annotated` with one of the rules here. Form,
visit folder and phone are refused with the same words, because all of them ask `field_problems`.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import cache
from typing import TYPE_CHECKING, Any, Final, TypeVar, get_type_hints

from sites.compute.dates import OldDateError, parse_old_date
from sites.compute.lengths import Length
from sites.compute.likeness import did_you_mean
from sites.compute.plain_numbers import plain_number
from sites.compute.problems import Problem

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

DataT = TypeVar("DataT", bound="DataclassInstance")

REQUIRED: Final = "This must be filled in."
LONGEST_PROSE: Final = 20_000
LONGEST_LENGTH: Final = 40


def out_of_range(value: Decimal | int, lowest: Decimal | int, highest: Decimal | int) -> str:
    """Say that a number is not between two others, which are possible themselves."""
    shown = [plain_number(Decimal(number)) for number in (value, lowest, highest)]
    return "{} is not possible here. Give {} to {}.".format(*shown)


def too_long(text: str, longest: int) -> str:
    return f"This is {len(text)} characters long. Keep it to {longest}."


def too_many_places(value: Decimal, places: int) -> str:
    return f"{plain_number(value)} has more than {places} decimal places. Round it."


def not_a_choice(value: str, values: tuple[str, ...]) -> str:
    return f'"{value}" is not known here. {did_you_mean(value, values)}'


@dataclass(frozen=True)
class Rule:
    """What one value may be; `refusal` is asked of what is filled in alone."""

    required: bool = field(default=False, kw_only=True)

    def refusal(self, value: Any) -> str:
        """Return why the value cannot be, or "" where it can."""
        return ""


@dataclass(frozen=True)
class Words(Rule):
    """Text of so many characters at most."""

    longest: int = LONGEST_PROSE

    def refusal(self, value: str) -> str:
        return too_long(value, self.longest) if len(value) > self.longest else ""


@dataclass(frozen=True)
class OldDateWords(Words):
    """An old date as written, such as `c. 1931`."""

    def refusal(self, value: str) -> str:
        try:
            parse_old_date(value)
        except OldDateError as error:
            return str(error)
        return super().refusal(value)


@dataclass(frozen=True)
class Choice(Rule):
    """One of a closed list."""

    values: tuple[str, ...]

    def refusal(self, value: str) -> str:
        return "" if value in self.values else not_a_choice(value, self.values)


@dataclass(frozen=True)
class Number(Rule):
    """A number between two others, both possible; places: the decimals it may have."""

    lowest: Decimal
    highest: Decimal
    places: int

    def refusal(self, value: Decimal | int) -> str:
        if not Decimal(value).is_finite() or not self.lowest <= value <= self.highest:
            return out_of_range(value, self.lowest, self.highest)
        if value != round(value, self.places):
            return too_many_places(Decimal(value), self.places)
        return ""


@dataclass(frozen=True)
class Whole(Rule):
    """A whole number between two others, both possible."""

    lowest: int
    highest: int

    def refusal(self, value: int) -> str:
        possible = self.lowest <= value <= self.highest
        return "" if possible else out_of_range(value, self.lowest, self.highest)


@dataclass(frozen=True)
class Size(Rule):
    """A length above zero, with the words it was typed in."""

    def refusal(self, value: Length) -> str:
        if value.mm <= 0:
            return f"{value.typed or value.mm} is not above zero: give a length, or leave it empty."
        typed = value.typed
        return too_long(typed, LONGEST_LENGTH) if len(typed) > LONGEST_LENGTH else ""


@dataclass(frozen=True)
class Sizes(Rule):
    """Several lengths, each above zero."""

    def refusal(self, value: tuple[Length, ...]) -> str:
        return next((words for each in value if (words := Size().refusal(each))), "")


@dataclass(frozen=True)
class Key(Rule):
    """The key of another record; whether that is there, the service asks."""


@dataclass(frozen=True)
class Keys(Rule):
    """The keys of several other records, linked to this one in a table of their own."""


def field_problems(data: Any) -> Iterator[Problem]:
    """Yield what is wrong with each value of a record taken by itself."""
    for name, rule in rules_of(type(data)).items():
        value = getattr(data, name)
        if value is None or value in ("", ()):
            if rule.required:
                yield Problem(name, REQUIRED)
        elif words := rule.refusal(value):
            yield Problem(name, words)


def without(data: DataT, problems: Iterable[Problem]) -> DataT:
    """Return the data with the values named in the problems left open, as an empty box would.

    What is refused by itself is not held against other values as well.
    """
    empty: Any = type(data)()
    return replace(data, **{each.field: getattr(empty, each.field) for each in problems})


def tidy(data: DataT) -> DataT:
    """Return the data without spaces around what is written on one line, keys in their order."""
    tidied: dict[str, Any] = {}
    for name, rule in rules_of(type(data)).items():
        if isinstance(rule, Words) and rule.longest < LONGEST_PROSE:
            tidied[name] = getattr(data, name).strip()
        elif isinstance(rule, Keys):
            tidied[name] = tuple(sorted(set(getattr(data, name))))
    return replace(data, **tidied)


def rules_of(kind: Any) -> dict[str, Rule]:
    """Return what each value of a kind of record may be, by its name."""
    return _rules_of(kind)


@cache
def _rules_of(kind: Any) -> dict[str, Rule]:
    hints = get_type_hints(kind, include_extras=True)
    return {
        name: rule
        for name, hint in hints.items()
        for rule in getattr(hint, "__metadata__", ())
        if isinstance(rule, Rule)
    }
