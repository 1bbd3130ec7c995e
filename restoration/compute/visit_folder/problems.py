"""What is wrong in a visit folder, where it stands, and what is possible instead."""

from dataclasses import dataclass

from sites.compute.likeness import alike, did_you_mean

__all__ = ["Place", "Problem", "alike", "did_you_mean"]


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
