"""An inscription laid out on its plate at true size, letter by letter, from the typeface itself."""

import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from functools import cached_property
from itertools import zip_longest
from typing import Final, Literal

from sites.compute.inscription.face import Face

Alignment = Literal["centred", "left"]

NO_BREAK_SPACE: Final = "\N{NO-BREAK SPACE}"
# What a letter that no face has is given: a wide capital.
UNKNOWN_ADVANCE_EM: Final = 1.0
# To a tenth of a millimetre: an engraver's machine is set no finer.
TENTH: Final = Decimal("0.1")
# Lengths nearer than this are the same length: a thousandth of a millimetre.
SAME_MM: Final = 0.001


@dataclass(frozen=True)
class PlateSpec:
    """A plate and how it is lettered. `letter_mm` is the height of a capital.

    pitch: from one baseline to the next, in heights of a capital.
    margin_mm: None for one of `margin_letters` heights of a capital.
    """

    width_mm: float
    height_mm: float
    letter_mm: float
    lines: tuple[str, ...]
    pitch: float
    margin_mm: float | None = None
    margin_letters: float = 1.0
    alignment: Alignment = "centred"

    @property
    def margin_used_mm(self) -> float:
        return self.letter_mm * self.margin_letters if self.margin_mm is None else self.margin_mm


@dataclass(frozen=True)
class LaidLine:
    """A line with the place of each letter, in mm from the plate's left and upper edge.

    letters: the line as it is drawn, a character a place: spaces are no-break spaces.
    over_mm: by how much it is wider than the margins leave room for.
    """

    number: int
    text: str
    letters: str
    places_mm: tuple[float, ...]
    baseline_mm: float
    width_mm: float
    over_mm: float
    greatest_letter_mm: Decimal


@dataclass(frozen=True)
class Layout:
    """A plate with its lines; `font_mm` is the size of the typeface (the em)."""

    spec: PlateSpec
    font_mm: float
    lines: tuple[LaidLine, ...]
    block_mm: float
    over_height_mm: float
    greatest_by_height_mm: Decimal

    @property
    def clear_width_mm(self) -> float:
        return self.spec.width_mm - 2 * self.spec.margin_used_mm

    @property
    def clear_height_mm(self) -> float:
        return self.spec.height_mm - 2 * self.spec.margin_used_mm

    @cached_property
    def greatest_letter_mm(self) -> Decimal:
        """The greatest height of a capital at which every line and all lines together fit."""
        widths = (line.greatest_letter_mm for line in self.lines if line.text.strip())
        return min([self.greatest_by_height_mm, *widths])

    @property
    def fits(self) -> bool:
        return not self.over_height_mm and not any(line.over_mm for line in self.lines)


def lay_out(spec: PlateSpec, faces: Sequence[Face]) -> Layout:
    """Return the inscription on its plate, line by line as written and never broken anew.

    faces: the typeface of the lettering, then those that stand in for letters it lacks.

    The size of the typeface follows from the height of its capitals; the block, from its highest
    letter to its lowest, stands in the middle of the plate. Lengths in mm.

    Raises ValueError for a plate, a letter or a pitch that is not above zero.
    """
    if min(spec.width_mm, spec.height_mm, spec.letter_mm, spec.pitch) <= 0:
        raise ValueError("a plate, its letters and their pitch have a size above zero")
    cap = faces[0].cap_height
    font_mm = spec.letter_mm / cap
    top, foot = _extent_letters(spec, faces)
    block_mm = (top + foot) * spec.letter_mm
    first_mm = (spec.height_mm - block_mm) / 2 + top * spec.letter_mm
    lines = tuple(
        _line(spec, faces, number, text, first_mm + (number - 1) * spec.pitch * spec.letter_mm)
        for number, text in enumerate(spec.lines, start=1)
    )
    return Layout(
        spec=spec,
        font_mm=font_mm,
        lines=lines,
        block_mm=block_mm,
        over_height_mm=_over(block_mm, spec.height_mm - 2 * spec.margin_used_mm),
        greatest_by_height_mm=_greatest(spec, spec.height_mm, top + foot),
    )


def lines_of(inscription: str) -> tuple[str, ...]:
    """Return the lines of an inscription as written, blank ones and spaces kept."""
    return tuple(inscription.replace("\r\n", "\n").replace("\r", "\n").split("\n"))


def drawn(line: str) -> str:
    """Return a line as it is drawn: accents joined to their letters, every space a fixed one."""
    joined = unicodedata.normalize("NFC", line)
    return "".join(NO_BREAK_SPACE if letter.isspace() else letter for letter in joined)


def width_em(line: str, faces: Sequence[Face]) -> float:
    """Return how wide a drawn line is, in ems, with its kerning."""
    return sum(_steps_em(line, faces))


def face_of(letter: str, faces: Sequence[Face]) -> Face | None:
    """Return the first face that has the letter, as the printer chooses it; None for none."""
    return next((face for face in faces if face.has(letter)), None)


def _line(
    spec: PlateSpec, faces: Sequence[Face], number: int, text: str, baseline_mm: float
) -> LaidLine:
    font_mm = spec.letter_mm / faces[0].cap_height
    letters = drawn(text)
    steps = [step * font_mm for step in _steps_em(letters, faces)]
    width = sum(steps)
    clear = spec.width_mm - 2 * spec.margin_used_mm
    start = spec.margin_used_mm if spec.alignment == "left" else (spec.width_mm - width) / 2
    return LaidLine(
        number=number,
        text=text,
        letters=letters,
        places_mm=_places(letters, steps, start),
        baseline_mm=baseline_mm,
        width_mm=width,
        over_mm=_over(width, clear) if text.strip() else 0.0,
        greatest_letter_mm=_greatest(spec, spec.width_mm, width / spec.letter_mm),
    )


def _steps_em(line: str, faces: Sequence[Face]) -> list[float]:
    """How far each letter takes the next one along, in ems."""
    steps = []
    for letter, following in zip_longest(line, line[1:], fillvalue=""):
        face = face_of(letter, faces)
        if face is None:
            steps.append(UNKNOWN_ADVANCE_EM)
        else:
            steps.append(face.advances[letter] + face.kerns.get((letter, following), 0.0))
    return steps


def _places(letters: str, steps: Sequence[float], start: float) -> tuple[float, ...]:
    """Where each letter's own left edge stands; lines from right to left run the other way."""
    places, along = [], start
    if runs_from_right(letters):
        along += sum(steps)
        for step in steps:
            along -= step
            places.append(along)
    else:
        for step in steps:
            places.append(along)
            along += step
    return tuple(places)


def runs_from_right(line: str) -> bool:
    """Whether every letter of the line is of a script written from right to left."""
    directions = {unicodedata.bidirectional(letter) for letter in line}
    return bool(directions & {"R", "AL"}) and not directions & {"L", "EN", "AN"}


def _extent_letters(spec: PlateSpec, faces: Sequence[Face]) -> tuple[float, float]:
    """How far the block reaches above its first baseline and below it, in heights of a capital."""
    cap = faces[0].cap_height
    tops, feet = [1.0], [0.0]
    for index, text in enumerate(spec.lines):
        down = index * spec.pitch
        for letter in drawn(text):
            face = face_of(letter, faces)
            low, high = face.reaches[letter] if face else (0.0, cap)
            if not letter.isspace():
                tops.append(high / cap - down)
                feet.append(down - low / cap)
    return max(tops), max(feet)


def _over(length_mm: float, room_mm: float) -> float:
    more = length_mm - room_mm
    return more if more > SAME_MM else 0.0


def _greatest(spec: PlateSpec, room_mm: float, per_letter: float) -> Decimal:
    """The greatest height of a capital, down to a tenth, at which `per_letter` of it has room."""
    if spec.margin_mm is None:
        room, needed = room_mm, per_letter + 2 * spec.margin_letters
    else:
        room, needed = room_mm - 2 * spec.margin_mm, per_letter
    if room <= 0:
        return Decimal(0)
    if not needed:
        return Decimal(repr(room_mm)).quantize(TENTH, ROUND_DOWN)
    return Decimal(repr(room / needed + SAME_MM / 10)).quantize(TENTH, ROUND_DOWN)
