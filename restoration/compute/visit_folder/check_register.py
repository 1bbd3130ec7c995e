"""What is wrong in the register's rows taken together: double numbers, and parts of nothing."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import TypeVar

from restoration.compute.visit_folder.problems import Problem
from restoration.compute.visit_folder.rows import OpeningRow, Row, Rows
from restoration.compute.visit_folder.subjects import MOST_LETTERS, Subjects

RowT = TypeVar("RowT", bound=Row)


def check_register(rows: Rows, subjects: Subjects) -> Iterator[Problem]:
    """Yield the problems of building, people, openings, panels, items and fixings."""
    yield from twice(rows.people, "name", lambda row: (row.name, row.role))
    yield from twice(rows.openings, "number", lambda row: row.number)
    yield from twice(rows.panels, "number", lambda row: (row.opening, row.number))
    yield from twice(rows.items, "number", lambda row: (row.opening, row.number))
    for opening in rows.openings:
        yield from _check_grid(opening)
    for panel in rows.panels:
        yield from subjects.check(panel.at, panel.opening)
    for item in rows.items:
        yield from subjects.check(item.at, item.opening, item.panel)
    for fixing in rows.fixings:
        yield from subjects.check(fixing.at, fixing.opening, item=fixing.item)


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


def _check_grid(opening: OpeningRow) -> Iterator[Problem]:
    if opening.rows and (opening.lights or 1) > MOST_LETTERS:
        yield opening.at.problem(
            "rows",
            f"Panels of {opening.lights} lights cannot be lettered a to z.",
            "Leave rows empty, and number the panels in the sheet Panels.",
        )
