"""Numbers of openings and panels: how they are read and written, and in which order they stand.

Source of the convention: the numbering rules of the Corpus Vitrearum. The axial east opening is I;
from it the count runs westward on the north (n) and the south (s), each side beginning with II; a
capital letter is the clerestory, `nt`/`st` the triforium, `w` the west end. Arabic numerals do as
well. Panels: row from the sill, then the letter of the light from the left as seen from inside;
tracery: capital letter of the row, then a number.

Our own addition, common practice without a source: an axial opening of an upper level has a side
letter of its own (`EI`, `etI`), because one building can have only one opening I.

French volumes write otherwise: the axial opening is 0, odd numbers run along the north and even
ones along the south, upper levels begin at 100 and 200 (from memory); panels have the letter first
(`B3` for our `3b`), and tracery is counted from the top. Such numbers are kept as older numbers
with whose they are: `B3` could not be told from tracery, nor `3` from our own opening 3.
"""

import re
from dataclasses import dataclass
from typing import Final, Literal

Numerals = Literal["roman", "arabic"]
Side = Literal["", "n", "s", "w"]
Storey = Literal["ground", "triforium", "clerestory"]

ROMAN: Final = {"I": 1, "V": 5, "X": 10, "L": 50, "C": 100}
ROMAN_NUMBER: Final = re.compile(r"(XC|XL|L?X{0,3})(IX|IV|V?I{0,3})")
ROMAN_STEPS: Final = (
    (90, "XC"), (50, "L"), (40, "XL"), (10, "X"), (9, "IX"), (5, "V"), (4, "IV"), (1, "I"),
)  # fmt: skip
GREATEST_ROMAN: Final = 99
OPENING: Final = re.compile(
    r"(?P<side>et|nt|st|wt|n|s|w|E|N|S|W)?(?P<count>[IVXLC]+|\d{1,4})(?P<suffix>[a-z]?)"
)
PANEL: Final = re.compile(r"(?P<row>\d{1,3})(?P<light>[a-z])")
TRACERY: Final = re.compile(r"(?P<row>[A-Z])(?P<place>\d{1,3})")

# The letters of each side at each level; an axial opening of the main level has none.
LETTERS: Final[dict[Storey, dict[Side, str]]] = {
    "ground": {"": "", "n": "n", "s": "s", "w": "w"},
    "triforium": {"": "et", "n": "nt", "s": "st", "w": "wt"},
    "clerestory": {"": "E", "n": "N", "s": "S", "w": "W"},
}
PLACES: Final = {
    letters: (level, side) for level, sides in LETTERS.items() for side, letters in sides.items()
}
# Main level before triforium before clerestory, as a list of windows is usually written.
LEVELS: Final[tuple[Storey, ...]] = ("ground", "triforium", "clerestory")
SIDES: Final[tuple[Side, ...]] = ("", "n", "s", "w")


@dataclass(frozen=True)
class OpeningNumber:
    """A number of the convention: where it is counted, its count, and a suffix of one added."""

    level: Storey
    side: Side
    count: int
    suffix: str = ""

    def text(self, numerals: Numerals = "roman") -> str:
        """Return the number as it is written. Raises ValueError for a count without a numeral."""
        count = roman_numeral(self.count) if numerals == "roman" else str(self.count)
        return f"{LETTERS[self.level][self.side]}{count}{self.suffix}"


@dataclass(frozen=True)
class PanelPlace:
    """Where a panel stands: row from the sill and light from the left, both from 1."""

    row: int
    light: int


def roman_value(text: str) -> int | None:
    """Return the value of a Roman numeral below 100, or None where `text` is none."""
    if not text or not ROMAN_NUMBER.fullmatch(text):
        return None
    values = [ROMAN[letter] for letter in text]
    following = [*values[1:], 0]
    return sum(-v if v < after else v for v, after in zip(values, following, strict=True))


def roman_numeral(value: int) -> str:
    """Return a whole number from 1 to 99 in Roman numerals. Raises ValueError for another."""
    if not 1 <= value <= GREATEST_ROMAN:
        raise ValueError(f"Roman numerals of openings run from 1 to {GREATEST_ROMAN}, not {value}")
    written = ""
    for step, letters in ROMAN_STEPS:
        while value >= step:
            written += letters
            value -= step
    return written


def opening_number(text: str) -> OpeningNumber | None:
    """Read a number of the convention, `nIIIa` or `n3a`; None for any other number."""
    match = OPENING.fullmatch(text.strip())
    count = _count(match["count"]) if match else None
    if match is None or not count:
        return None
    level, side = PLACES[match["side"] or ""]
    return OpeningNumber(level, side, count, match["suffix"])


def numerals_of(text: str) -> Numerals | None:
    """Return which numerals a number of the convention is written in; None for any other."""
    if opening_number(text) is None:
        return None
    return "arabic" if any(letter.isdigit() for letter in text) else "roman"


def opening_order(number: str) -> str:
    """Return a text that sorts openings as the convention lists them.

    Numbers outside the convention follow, in natural order (`W2` of an own list before `W10`).
    """
    read = opening_number(number)
    if read is None:
        return f"9-{natural_order(number)}"[:64]
    level = LEVELS.index(read.level)
    west = int(read.side == "w")
    return f"{level}-{west}-{read.count:04d}-{SIDES.index(read.side)}{read.suffix}"


def panel_order(number: str) -> str:
    """Return a text that sorts panels from the sill up, left to right, tracery last."""
    place = panel_place(number)
    if place is not None:
        return f"0-{place.row:04d}-{place.light:04d}"
    match = TRACERY.fullmatch(number.strip())
    if match:
        return f"1-{match['row'].lower()}-{int(match['place']):04d}"
    return f"9-{natural_order(number)}"[:64]


def panel_place(number: str) -> PanelPlace | None:
    """Read `3b` as third row, second light; None for tracery and for other numbers."""
    match = PANEL.fullmatch(number.strip())
    if match is None or int(match["row"]) == 0:
        return None
    return PanelPlace(int(match["row"]), ord(match["light"]) - ord("a") + 1)


def panel_grid(lights: int, rows: int) -> list[str]:
    """Return the numbers of `lights` × `rows` panels, from the sill up.

    Raises ValueError for fewer than one of either, or more lights than letters.
    """
    if not 1 <= lights <= 26 or rows < 1:
        raise ValueError(f"cannot number {lights} lights of {rows} rows")
    return [
        f"{row}{chr(ord('a') + light)}" for row in range(1, rows + 1) for light in range(lights)
    ]


def natural_order(text: str) -> str:
    """Return `text` in lower case with its figures padded, so that 2 sorts before 10."""
    return re.sub(r"\d+", lambda figures: figures[0].zfill(6), text.strip().casefold())


def _count(text: str) -> int | None:
    return int(text) if text.isdigit() else roman_value(text)
