"""What is wrong with a lettered plate, in words: what does not fit and what cannot be read."""

import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sites.compute.inscription.face import Face
from sites.compute.inscription.layout import LaidLine, Layout, drawn, face_of, runs_from_right

JOINED_OR_REVERSED: Final = {"R", "AL", "AN"}
CAST_METALS: Final = frozenset({"bronze", "aluminium"})


@dataclass(frozen=True)
class Limits:
    """The studio's figures for lettering: lengths in mm, ratios plain.

    reading_ratio: the greatest reading distance in heights of a capital.
    """

    reading_ratio: Decimal
    least_letter_mm: Decimal
    least_cast_letter_mm: Decimal


@dataclass(frozen=True)
class Remark:
    """One thing to look at before the plate is made. `code` says which kind it is."""

    code: str
    text: str


def say_mm(mm: float | Decimal) -> str:
    """Return a length to a tenth of a millimetre: `7.1 mm`."""
    return f"{Decimal(str(mm)).quantize(Decimal('0.1')).normalize():f} mm"


def remarks_of(
    layout: Layout,
    faces: Sequence[Face],
    limits: Limits,
    *,
    reading_distance_mm: float | None,
    material: str = "",
    say: Callable[[float | Decimal], str] = say_mm,
) -> tuple[Remark, ...]:
    """Return everything to mend or to ask about, what does not fit first.

    say: how a length in mm is written.
    """
    return (
        *_fit(layout, say),
        *_reading(layout, limits, reading_distance_mm, say),
        *_making(layout, limits, material, say),
        *_spaces(layout.lines),
        *_strange_letters(layout.lines, faces),
    )


def least_letter_mm(reading_distance_mm: float, limits: Limits) -> Decimal:
    """Return the least height of a capital that is read from a distance: distance / ratio, in mm.

    Source: common practice, no source; the ratio is a figure of the studio.
    """
    return Decimal(repr(reading_distance_mm)) / limits.reading_ratio


def _fit(layout: Layout, say: Callable[[float | Decimal], str]) -> Iterator[Remark]:
    letter = say(layout.spec.letter_mm)
    if min(layout.clear_width_mm, layout.clear_height_mm) <= 0:
        yield Remark(
            "margin",
            f"A margin of {say(layout.spec.margin_used_mm)} leaves no room for words on a plate "
            f"of {say(layout.spec.width_mm)} by {say(layout.spec.height_mm)}.",
        )
        return
    for line in layout.lines:
        if line.over_mm:
            yield Remark(
                "width",
                f"Line {line.number} is {say(line.over_mm)} too wide at {letter} letters; "
                f"{_would_fit(line.greatest_letter_mm, say)}",
            )
    if layout.over_height_mm:
        yield Remark(
            "height",
            f"The lines together are {say(layout.over_height_mm)} too high at {letter} letters; "
            f"{_would_fit(layout.greatest_by_height_mm, say)}",
        )


def _would_fit(letter_mm: Decimal, say: Callable[[float | Decimal], str]) -> str:
    return f"{say(letter_mm)} would fit." if letter_mm else "no letter would fit."


def _reading(
    layout: Layout,
    limits: Limits,
    distance_mm: float | None,
    say: Callable[[float | Decimal], str],
) -> Iterator[Remark]:
    if distance_mm is None:
        yield Remark(
            "distance",
            "From how far away it is read is not recorded, so the height of its letters is not "
            "judged.",
        )
        return
    needed = least_letter_mm(distance_mm, limits)
    letter = Decimal(repr(layout.spec.letter_mm))
    if letter < needed:
        yield Remark(
            "reading",
            f"Letters of {say(letter)} are read up to {say(letter * limits.reading_ratio)} away; "
            f"from {say(distance_mm)} they would have to be {say(needed)} high.",
        )


def _making(
    layout: Layout, limits: Limits, material: str, say: Callable[[float | Decimal], str]
) -> Iterator[Remark]:
    letter = Decimal(repr(layout.spec.letter_mm))
    if letter < limits.least_letter_mm:
        yield Remark(
            "engraving",
            f"Letters of {say(letter)} are under the least an engraver cuts cleanly, "
            f"{say(limits.least_letter_mm)}.",
        )
    if material in CAST_METALS and letter < limits.least_cast_letter_mm:
        yield Remark(
            "casting",
            f"If the plate is cast, letters of {say(letter)} are too small to come out of the "
            f"mould: {say(limits.least_cast_letter_mm)} is the least.",
        )


def _spaces(lines: Sequence[LaidLine]) -> Iterator[Remark]:
    for line in lines:
        if not line.text.strip():
            continue
        if "\t" in line.text:
            yield Remark(
                "spaces", f"Line {line.number} has a tab, which is set as one space: use spaces."
            )
        if line.text != line.text.strip():
            yield Remark(
                "spaces",
                f"Line {line.number} begins or ends with spaces, which move its letters.",
            )


def _strange_letters(lines: Sequence[LaidLine], faces: Sequence[Face]) -> Iterator[Remark]:
    letters = sorted({letter for line in lines for letter in drawn(line.text)})
    for letter in letters:
        found = face_of(letter, faces)
        if found is None:
            yield Remark(
                "no letter",
                f"{_named(letter)} is in no typeface here and is printed by its code: the "
                "engraver must be shown it some other way.",
            )
        elif found is not faces[0]:
            yield Remark(
                "other face",
                f"{letter} ({_named(letter)}) is not in the typeface of the lettering and is "
                "drawn from another one.",
            )
    for line in lines:
        directions = {unicodedata.bidirectional(letter) for letter in line.text}
        if directions & JOINED_OR_REVERSED and not (
            runs_from_right(line.letters) and "AL" not in directions
        ):
            yield Remark(
                "direction",
                f"Line {line.number} has letters that are joined, or lines of two directions: "
                "this proof shows which letters, not how they stand. Ask the engraver for a "
                "drawing.",
            )


def _named(letter: str) -> str:
    return f"U+{ord(letter):04X} {unicodedata.name(letter, 'without a name')}"
