"""Figures the studio reckons with: each with its unit, where it comes from, and whose it is."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from sites.compute.plain_numbers import plain_number
from sites.compute.working import Input

NO_SOURCE: Final = "no published source"


class FigureError(KeyError):
    """A figure nobody has listed, or one that is listed twice; the message names it."""

    def __str__(self) -> str:
        return str(self.args[0])


@dataclass(frozen=True)
class Figure:
    """One figure: the shipped value, or the studio's own in its place.

    source: where `value` comes from; NO_SOURCE where nothing published was found.
    default, default_source: as shipped, whatever the studio has put in its place.
    may_be_zero: a figure that is divided by, or without which a sum is empty, may not.
    """

    key: str
    name: str
    value: Decimal
    unit: str
    source: str
    note: str = ""
    group: str = ""
    own: bool = False
    default: Decimal = Decimal(0)
    default_source: str = ""
    may_be_zero: bool = False

    @property
    def published(self) -> bool:
        """Whether the value that is reckoned with names where it comes from."""
        return bool(self.source) and self.source != NO_SOURCE

    @property
    def shown(self) -> str:
        """The value with its unit: `2500 kg/m³`."""
        return f"{plain_number(self.value)} {self.unit}".strip()

    @property
    def shown_default(self) -> str:
        """The shipped value with its unit."""
        return f"{plain_number(self.default)} {self.unit}".strip()

    def as_input(self, name: str = "") -> Input:
        """Return the figure as one input of a working, under its own name unless given another."""
        origin = f"the studio's own figure: {self.source}" if self.own else self.source
        return Input(name or self.name, self.shown, "default", origin or NO_SOURCE)


class Figures(Mapping[str, Figure]):
    """All figures by key."""

    def __init__(self, figures: Iterable[Figure]) -> None:
        self._by_key: dict[str, Figure] = {}
        for figure in figures:
            if figure.key in self._by_key:
                raise FigureError(f"the figure {figure.key} is listed twice")
            self._by_key[figure.key] = figure

    def __getitem__(self, key: str) -> Figure:
        if key not in self._by_key:
            raise FigureError(f"no figure is called {key}")
        return self._by_key[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_key)

    def __len__(self) -> int:
        return len(self._by_key)

    def value(self, key: str) -> Decimal:
        """Return the value of `key`, in its own unit. Raises FigureError for one not listed."""
        return self[key].value

    def number(self, key: str) -> float:
        """Return the value of `key` for reckoning. Raises FigureError for one not listed."""
        return float(self[key].value)

    def input(self, key: str, name: str = "") -> Input:
        """Return `key` as an input of a working. Raises FigureError for one not listed."""
        return self[key].as_input(name)


def with_own(figures: Iterable[Figure], own: Mapping[str, tuple[Decimal, str]]) -> Figures:
    """Return the figures with the studio's own (value, source) in place of the shipped ones.

    A key that is no longer listed is passed over: nothing reckons with it.
    """
    return Figures(
        replace(figure, value=own[figure.key][0], source=own[figure.key][1] or NO_SOURCE, own=True)
        if figure.key in own
        else figure
        for figure in figures
    )


def figure_from(entry: Mapping[str, object]) -> Figure:
    """Return the figure that an entry of the reference file describes.

    entry: key, name, value, unit and source; note and may_be_zero where there are. Keys are
        `group.name`.

    Raises FigureError, naming the entry, for one without a key, a value or a source.
    """
    key = str(entry.get("key", ""))
    group, _, rest = key.partition(".")
    if not rest:
        raise FigureError(f"a figure's key is a group and a name, such as glass.density, not {key}")
    for needed in ("name", "value", "unit", "source"):
        if needed not in entry or entry["source"] == "":
            raise FigureError(f"the figure {key} has no {needed}")
    try:
        value = Decimal(str(entry["value"]))
    except ArithmeticError:
        raise FigureError(f"the figure {key} has a value that is no number") from None
    source = str(entry["source"])
    return Figure(
        key=key,
        name=str(entry["name"]),
        value=value,
        unit=str(entry["unit"]),
        source=source,
        note=str(entry.get("note", "")),
        group=str(entry.get("group", group)),
        default=value,
        default_source=source,
        may_be_zero=entry.get("may_be_zero") is True,
    )
