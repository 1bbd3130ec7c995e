"""What is wrong in the register's rows taken together: double numbers, and parts of nothing."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from dataclasses import fields, replace
from typing import Any, Final, TypeVar

from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.problems import Problem
from restoration.compute.visit_folder.rows import BarRow, OpeningRow, Row, Rows
from restoration.compute.visit_folder.subjects import Subjects
from restoration.compute.visit_folder.tables import Table
from sites.compute.problems import Problem as RecordProblem
from sites.compute.problems import once_a_field
from sites.compute.record_fields import Key, rules_of
from sites.compute.register_data import BarData, FixingData, ItemData, OpeningData, PanelData
from sites.compute.register_rules import (
    bar_problems,
    fixing_problems,
    grid_problems,
    item_problems,
    opening_problems,
    panel_problems,
)

RowT = TypeVar("RowT", bound=Row)
DataT = TypeVar("DataT", bound=Any)

WALLS: Final = ("east", "north", "south", "west", "other")


def check_register(rows: Rows, subjects: Subjects) -> Iterator[Problem]:
    """Yield the problems of building, people, walls, openings, bars, panels, items and fixings."""
    yield from twice(rows.people, "name", lambda row: (row.name, row.role))
    yield from twice(rows.walls, "name", lambda row: row.name)
    yield from twice(rows.openings, "number", lambda row: row.number)
    yield from twice(rows.bars, "height", _key_of_bar)
    yield from twice(rows.panels, "number", lambda row: (row.opening, row.number))
    yield from twice(rows.items, "number", lambda row: (row.opening, row.number))
    yield from _walls_without_length(rows)
    for table, row, problems in _records(rows):
        for problem in once_a_field(problems):
            yield table.problem(row, problem)
    for bar in rows.bars:
        yield from subjects.check(bar.at, bar.opening)
    for panel in rows.panels:
        yield from subjects.check(panel.at, panel.opening)
    for item in rows.items:
        yield from subjects.check(item.at, item.opening, item.panel)
    for fixing in rows.fixings:
        yield from subjects.check(fixing.at, fixing.opening, item=fixing.item)


def _walls_without_length(rows: Rows) -> Iterator[Problem]:
    for wall in rows.walls:
        if None not in (wall.x1, wall.y1) and (wall.x1, wall.y1) == (wall.x2, wall.y2):
            yield wall.at.problem("x2", "The wall ends where it starts.", "Give its other end.")


def _records(rows: Rows) -> Iterator[tuple[Table[Any], Row, Iterable[RecordProblem]]]:
    """Each row with its table and what is wrong with its record by the record's own rules."""
    openings = {row.number: opening_data(row) for row in rows.openings}
    for row in rows.openings:
        yield layout.OPENINGS, row, (*opening_problems(openings[row.number]), *_grid(row))
    for bar in rows.bars:
        yield layout.BARS, bar, bar_problems(row_data(BarData, bar))
    for panel in rows.panels:
        data = row_data(PanelData, panel)
        yield layout.PANELS, panel, panel_problems(data, openings.get(panel.opening))
    for item in rows.items:
        plaque = row_data(ItemData, item)
        yield layout.ITEMS, item, item_problems(plaque, openings.get(item.opening))
    for fixing in rows.fixings:
        yield layout.FIXINGS, fixing, fixing_problems(row_data(FixingData, fixing))


def twice(
    rows: Iterable[RowT], column: str, key_of: Callable[[RowT], Hashable]
) -> Iterator[Problem]:
    """Yield a problem for every row whose key stands in an earlier row too."""
    first: dict[Hashable, RowT] = {}
    for row in rows:
        key = key_of(row)
        if not key or (isinstance(key, tuple) and not all(key)):
            continue  # an empty cell, which has been named
        if key in first:
            shown = ", ".join(key) if isinstance(key, tuple) else key
            what = f"{shown} stands in {first[key].at} already."
            yield row.at.problem(column, what, "Keep one of the two, or number one anew.")
        else:
            first[key] = row


def _key_of_bar(row: BarRow) -> tuple[str, str, str]:
    light = f"light {row.light}" if row.light else "every light"
    return row.opening, light, f"{row.height.mm.normalize():f} mm" if row.height else ""


def row_data(kind: type[DataT], row: Row) -> DataT:
    """Return what a row says as a record's data; what it leaves open is as in a new record.

    Other records are named by numbers in a row, not by keys: they are left out.
    """
    said = {
        name: value
        for name in (each.name for each in fields(kind))
        if (value := getattr(row, name, None)) not in ("", None)
        and not isinstance(rules_of(kind).get(name), Key)
    }
    data: DataT = kind(**said)
    return data


def opening_data(row: OpeningRow) -> OpeningData:
    """Return what a row says of an opening; of a wall that is none of the four sides, that."""
    return replace(row_data(OpeningData, row), wall=wall_of(row)[0])


def wall_of(row: OpeningRow) -> tuple[str, str]:
    """Return the wall, and words on access that name it where it is none of the four sides."""
    wall = row.wall.casefold()
    if not row.wall or wall in WALLS:
        return wall or "other", row.access
    return "other", f"Stands in: {row.wall}.\n{row.access}".strip()


def _grid(row: OpeningRow) -> Iterator[RecordProblem]:
    return grid_problems(row.lights or 1) if row.rows else iter(())
