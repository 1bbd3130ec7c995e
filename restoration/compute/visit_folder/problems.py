"""What is wrong in a visit folder, where it stands, and what is possible instead."""

import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches


@dataclass(frozen=True, order=True)
class Problem:
    """One thing to mend in a folder. `row` counts from 1 as the spreadsheet does; 0 for none."""

    file: str
    sheet: str
    row: int
    column: str
    what: str
    possible: str = ""

    def __str__(self) -> str:
        row = f"row {self.row}" if self.row else ""
        place = ", ".join(part for part in (self.file, self.sheet, row, self.column) if part)
        return f"{place}: {self.what} {self.possible}".strip()


@dataclass(frozen=True, order=True)
class Place:
    """Where a row stands in a folder."""

    file: str
    sheet: str = ""
    row: int = 0

    def problem(self, column: str, what: str, possible: str = "") -> Problem:
        return Problem(self.file, self.sheet, self.row, column, what, possible)

    def __str__(self) -> str:
        """`row 7 of Openings`, as one row is named in a problem of another."""
        return f"row {self.row} of {self.sheet}" if self.row else self.file


def alike(text: str) -> str:
    """Return `text` as headings and codes are compared: case and `_`, `-`, `*` do not count."""
    plain = unicodedata.normalize("NFKC", text).casefold()
    return " ".join(plain.replace("_", " ").replace("-", " ").replace("*", " ").split()).strip(" :")


def did_you_mean(text: str, known: Iterable[str], most_named: int = 12) -> str:
    """Return the nearest of `known` as a question, or else a sentence naming what there is."""
    names = list(known)
    by_likeness = {alike(name): name for name in names}
    near = get_close_matches(alike(text), list(by_likeness), n=1, cutoff=0.6)
    if near:
        return f'Did you mean "{by_likeness[near[0]]}"?'
    if not names:
        return "There is none."
    shown = ", ".join(names[:most_named])
    return f"There is: {shown}{', …' if len(names) > most_named else ''}."
