"""Numbers of openings and panels: how they are read, and in which order they stand.

Source of the convention: the numbering rules of the Corpus Vitrearum. The axial east opening is I;
from it the count runs westward on the north (n) and the south (s); a capital letter is the
clerestory, `nt`/`st` the triforium, `w` the west wall. Panels: row from the sill, then the letter
of the light from the left as seen from inside; tracery: capital letter of the row, then a number.
"""

import re
from dataclasses import dataclass
from typing import Final

ROMAN: Final = {"I": 1, "V": 5, "X": 10, "L": 50, "C": 100}
ROMAN_NUMBER: Final = re.compile(r"(XC|XL|L?X{0,3})(IX|IV|V?I{0,3})")
OPENING: Final = re.compile(
    r"(?P<side>nt|st|n|s|w|N|S|W)?(?P<count>[IVXLC]+|\d+)(?P<suffix>[a-z]?)"
)
PANEL: Final = re.compile(r"(?P<row>\d{1,3})(?P<light>[a-z])")
TRACERY: Final = re.compile(r"(?P<row>[A-Z])(?P<place>\d{1,3})")

# Main level before triforium before clerestory, as a list of windows is usually written.
LEVELS: Final = {"nt": 1, "st": 1, "N": 2, "S": 2, "W": 2}
SIDES: Final = {"": 0, "n": 1, "s": 2, "w": 3}


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


def opening_order(number: str) -> str:
    """Return a text that sorts openings as the convention lists them.

    Numbers outside the convention follow, in natural order (`W2` of an own list before `W10`).
    """
    match = OPENING.fullmatch(number.strip())
    count = _count(match["count"]) if match else None
    if match is None or count is None:
        return f"9-{natural_order(number)}"[:64]
    side = match["side"] or ""
    level = LEVELS.get(side, 0)
    west = 1 if side in ("w", "W") else 0
    return f"{level}-{west}-{count:04d}-{SIDES[side[:1].lower()]}{match['suffix']}"


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
