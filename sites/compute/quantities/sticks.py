"""Sticks of came to buy: a list of cuts packed into sticks, or a length with waste."""

import math
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sites.compute.lengths import BareUnit, LengthError, parse_length
from sites.compute.plain_numbers import plain_number
from sites.compute.quantities.errors import QuantityError

MOST_CUTS: Final = 400
HUNDRED: Final = 100
# A comma between two figures parts two cuts or begins decimals: nobody can tell.
_COMMA_INSIDE: Final = re.compile(r"(?P<before>[0-9]+),(?P<after>[0-9]+)")
_CUT: Final = re.compile(r"(?P<length>.+?)(?:\s*[x×*]\s*(?P<count>[0-9]+))?", re.IGNORECASE)


@dataclass(frozen=True)
class Stick:
    """One stick with the cuts taken from it, longest first, and what is left over; in mm."""

    cuts: tuple[Decimal, ...]
    left_mm: Decimal


@dataclass(frozen=True)
class CutList:
    """Every cut of one profile, packed into sticks."""

    stick_mm: Decimal
    kerf_mm: Decimal
    sticks: tuple[Stick, ...]

    @property
    def layouts(self) -> list[tuple[Stick, int]]:
        """Sticks cut alike, with how many there are of each."""
        return list(Counter(self.sticks).items())


def parse_cuts(text: str, bare_unit: BareUnit = "mm") -> tuple[Decimal, ...]:
    """Return the cuts that `640 x 2, 1200` lists, in mm, each as often as it is needed.

    bare_unit: the unit of a number typed without one. A comma and a space part two cuts, so
    decimals are written with a point.

    Raises QuantityError for a length nobody can read, a comma between two figures, a count of
    none, or too many cuts.
    """
    if inside := _COMMA_INSIDE.search(text):
        before, after = inside["before"], inside["after"]
        point = f"{before}.{after}" + ("0" if len(after) == 3 else "")
        raise QuantityError(
            "cuts",
            f"{inside[0]} can be read as two cuts or as decimals: "
            f"type {before}, {after} or {point}.",
        )
    cuts: list[Decimal] = []
    for part in _parts(text):
        length, count = _one(part, bare_unit)
        if len(cuts) + count > MOST_CUTS:
            raise QuantityError("cuts", f"That is over {MOST_CUTS} cuts. Enter a length instead.")
        cuts += [length] * count
    return tuple(cuts)


def cuts_with_units(text: str, bare_unit: BareUnit = "mm") -> str:
    """Return the list as it was typed with its unit after every bare number: `640 mm x 2`.

    It then reads the same for everybody, whatever unit they type lengths in.

    Raises QuantityError for what parse_cuts refuses.
    """
    parse_cuts(text, bare_unit)
    sign = " mm" if bare_unit == "mm" else '"'
    said = []
    for part in _parts(text):
        length, count = _length_and_count(part)
        said.append(
            length + (sign if length[-1].isdigit() else "") + (f" x {count}" if count else "")
        )
    return ", ".join(said)


def cut_list(cuts: Sequence[Decimal], stick_mm: Decimal, kerf_mm: Decimal = Decimal(0)) -> CutList:
    """Return the cuts packed into sticks, the longest first into the first stick it fits.

    kerf_mm: lost between two cuts of one stick; the last cut of a stick loses none.

    Never takes more than 11/9 of the fewest sticks possible, and one.

    Raises QuantityError naming a cut that is longer than a stick.

    Source: first-fit decreasing; D. S. Johnson and others, "Worst-case performance bounds for
    simple one-dimensional packing algorithms", SIAM Journal on Computing 3 (1974), pp. 299-325,
    and later proofs of 11/9 OPT + 1. From memory.
    """
    _check(stick_mm, kerf_mm)
    rooms: list[Decimal] = []
    taken: list[list[Decimal]] = []
    for cut in sorted(cuts, reverse=True):
        if cut <= 0:
            raise QuantityError("cuts", f"A cut of {plain_number(cut)} mm is not above zero.")
        if cut > stick_mm:
            raise QuantityError(
                "cuts",
                f"A cut of {plain_number(cut)} mm is longer than a stick of "
                f"{plain_number(stick_mm)} mm. Joint it from two cuts, or enter a longer stick.",
            )
        # A kerf is added to the stick and to each cut, so that the last cut costs none.
        place = next((n for n, room in enumerate(rooms) if cut + kerf_mm <= room), None)
        if place is None:
            rooms.append(stick_mm + kerf_mm)
            taken.append([])
            place = len(rooms) - 1
        rooms[place] -= cut + kerf_mm
        taken[place].append(cut)
    sticks = tuple(
        Stick(tuple(each), max(room - kerf_mm, Decimal(0)))
        for each, room in zip(taken, rooms, strict=True)
    )
    return CutList(stick_mm, kerf_mm, sticks)


def sticks_with_waste(length_mm: Decimal, stick_mm: Decimal, waste_percent: Decimal) -> int:
    """Return the whole sticks for a length with waste added to it, where there is no cut list.

    Raises QuantityError for a stick without a length, or waste below zero.

    Source: common practice, no source.
    """
    _check(stick_mm, Decimal(0))
    if waste_percent < 0:
        raise QuantityError("waste", "Waste cannot be below zero.")
    return math.ceil(length_mm * (1 + waste_percent / HUNDRED) / stick_mm)


def _parts(text: str) -> list[str]:
    return [part for piece in re.split(r"[,;\n]", text) if (part := piece.strip())]


def _length_and_count(part: str) -> tuple[str, str]:
    read = _CUT.fullmatch(part)
    return (read["length"], read["count"] or "") if read else (part, "")


def _one(part: str, bare_unit: BareUnit) -> tuple[Decimal, int]:
    length, count = _length_and_count(part)
    if count and int(count) < 1:
        raise QuantityError("cuts", f"{part}: a cut that is needed no times is left out.")
    try:
        return parse_length(length, bare_unit).mm, int(count or 1)
    except LengthError as error:
        raise QuantityError("cuts", f"{part}: {error}") from error


def _check(stick_mm: Decimal, kerf_mm: Decimal) -> None:
    if stick_mm <= 0:
        raise QuantityError("stick_length", "A stick must be longer than zero.")
    if kerf_mm < 0:
        raise QuantityError("kerf", "What is lost at a cut cannot be below zero.")
