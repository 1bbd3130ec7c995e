"""A table of a workbook: its heading found and matched, each row read by its columns."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from restoration.compute.visit_folder.cells import CellError, Reader
from restoration.compute.visit_folder.problems import Place, Problem, alike, did_you_mean
from restoration.compute.visit_folder.rows import Row
from restoration.compute.visit_folder.workbooks import Cell, RawRow, RawSheet, is_empty
from sites.compute.problems import Problem as RecordProblem
from sites.compute.record_fields import REQUIRED

RowT = TypeVar("RowT", bound=Row)


@dataclass(frozen=True)
class Column:
    """One column: its heading, how its cells are read, and what an empty cell stands for.

    attribute: the row's name for it, where the heading is not the same word.
    """

    name: str
    read: Reader
    required: bool = False
    empty: str | None = None
    attribute: str = ""

    @property
    def target(self) -> str:
        return self.attribute or self.name.replace(" ", "_").replace("-", "_")


@dataclass(frozen=True)
class Table(Generic[RowT]):
    """One sheet's worth of columns, and the row they make."""

    name: str
    make: Callable[..., RowT]
    columns: tuple[Column, ...]
    required: bool = False

    @property
    def headings(self) -> list[str]:
        return [column.name for column in self.columns]

    def problem(self, row: Row, problem: RecordProblem) -> Problem:
        """Return what is wrong with a row's record as a problem of its cell, or of all of it."""
        names = [each.name for each in self.columns if each.target == problem.field]
        return row.at.problem("".join(names), str(problem.message))


def read_table(table: Table[RowT], sheet: RawSheet) -> tuple[tuple[RowT, ...], list[Problem]]:
    """Return the rows of a sheet and all that is wrong in them.

    A row with a wrong cell is returned too, with that cell empty: what refers to it is then
    not called unknown as well. Rows of blanks are left out.
    """
    start = next(place for place, row in enumerate(sheet.rows) if not _is_blank_row(row))
    columns, problems = _match_headings(table, sheet, start)
    rows = []
    for offset, cells in enumerate(sheet.rows[start + 1 :], start=start + 2):
        if not _is_blank_row(cells):
            at = Place(sheet.file, sheet.name, offset)
            row, wrong = _read_row(table, columns, at, cells)
            rows.append(row)
            problems += wrong
    return tuple(rows), problems


def _match_headings(
    table: Table[RowT], sheet: RawSheet, start: int
) -> tuple[dict[int, Column], list[Problem]]:
    """Return the column of each place in the row of headings."""
    known = {alike(column.name): column for column in table.columns}
    at = Place(sheet.file, sheet.name, start + 1)
    columns: dict[int, Column] = {}
    problems = []
    for place, cell in enumerate(sheet.rows[start]):
        heading = "" if is_empty(cell) else str(cell).strip()
        column = known.get(alike(heading))
        if not heading:
            continue
        if column is None:
            possible = did_you_mean(heading, table.headings, most_named=20)
            problems.append(at.problem(heading, "This heading is not known here.", possible))
        elif column in columns.values():
            problems.append(at.problem(heading, "This heading stands twice.", "Keep one."))
        else:
            columns[place] = column
    problems += [
        at.problem(column.name, "This column is missing.", "It is needed in every row.")
        for column in table.columns
        if column.required and column not in columns.values()
    ]
    return columns, problems + _without_heading(sheet, start, len(problems))


def _without_heading(sheet: RawSheet, start: int, known_problems: int) -> list[Problem]:
    """Name the first cell of each column that has values and no heading."""
    if known_problems:
        return []  # most likely the row of headings is not what it should be
    bare = {place for place, cell in enumerate(sheet.rows[start]) if is_empty(cell)}
    found = []
    for offset, cells in enumerate(sheet.rows[start + 1 :], start=start + 2):
        filled = {place for place in bare if not is_empty(cells[place])}
        for place in sorted(filled):
            at = Place(sheet.file, sheet.name, offset)
            what = f'"{cells[place]}" stands in a column without a heading.'
            found.append(at.problem("", what, "Give the column its heading, or empty it."))
        bare -= filled
    return found


def _read_row(
    table: Table[RowT], columns: dict[int, Column], at: Place, cells: RawRow
) -> tuple[RowT, list[Problem]]:
    values: dict[str, object] = {column.target: column.empty for column in table.columns}
    problems = []
    for place, column in columns.items():
        try:
            values[column.target] = _read_cell(column, cells[place])
        except CellError as error:
            problems.append(at.problem(column.name, error.what, error.possible))
    return table.make(at=at, **values), problems


def _read_cell(column: Column, cell: Cell) -> object:
    if is_empty(cell):
        if column.required:
            raise CellError(REQUIRED)
        return column.empty
    return column.read(cell)


def _is_blank_row(cells: Sequence[Cell]) -> bool:
    return all(is_empty(cell) for cell in cells)
