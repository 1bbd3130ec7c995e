"""What is wrong in the register's rows taken together: double numbers, and parts of nothing."""

from collections.abc import Callable, Hashable, Iterable, Iterator
from typing import TypeVar

from restoration.compute.visit_folder.problems import Problem
from restoration.compute.visit_folder.rows import BarRow, ItemRow, OpeningRow, PanelRow, Row, Rows
from restoration.compute.visit_folder.subjects import MOST_LETTERS, Subjects
from sites.compute.geometry.outlines import OutlineError, OutlineSpec, outline_of

RowT = TypeVar("RowT", bound=Row)


def check_register(rows: Rows, subjects: Subjects) -> Iterator[Problem]:
    """Yield the problems of building, people, walls, openings, bars, panels, items and fixings."""
    yield from twice(rows.people, "name", lambda row: (row.name, row.role))
    yield from twice(rows.walls, "name", lambda row: row.name)
    yield from twice(rows.openings, "number", lambda row: row.number)
    yield from twice(rows.bars, "height", _key_of_bar)
    yield from twice(rows.panels, "number", lambda row: (row.opening, row.number))
    yield from twice(rows.items, "number", lambda row: (row.opening, row.number))
    for opening in rows.openings:
        yield from _check_grid(opening)
        yield from _check_drawn(opening)
    for wall in rows.walls:
        if None not in (wall.x1, wall.y1) and (wall.x1, wall.y1) == (wall.x2, wall.y2):
            yield wall.at.problem("x2", "The wall ends where it starts.", "Give its other end.")
    for bar in rows.bars:
        yield from subjects.check(bar.at, bar.opening)
    for panel in rows.panels:
        yield from subjects.check(panel.at, panel.opening)
        yield from _check_place(panel)
    for item in rows.items:
        yield from subjects.check(item.at, item.opening, item.panel)
        yield from _check_place(item)
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


def _key_of_bar(row: BarRow) -> tuple[str, str, str]:
    light = f"light {row.light}" if row.light else "every light"
    return row.opening, light, f"{row.height.mm.normalize():f} mm" if row.height else ""


def _check_place(row: PanelRow | ItemRow) -> Iterator[Problem]:
    if (row.x_mm is None) != (row.y_mm is None):
        missing = "x in mm" if row.x_mm is None else "y in mm"
        yield row.at.problem(missing, "A place needs both its figures.", "Give x and y, or none.")


def _check_drawn(row: OpeningRow) -> Iterator[Problem]:
    """The opening's own measurements make an outline that can be."""
    if row.width is None or row.height is None or row.springing is None or row.head is None:
        return
    outline = OutlineSpec(
        row.head,
        float(row.width.mm),
        float(row.height.mm),
        springing=float(row.springing.mm),
        small_radius=float(row.small_radius.mm) if row.small_radius else None,
        foils=row.foils,
    )
    try:
        outline_of(outline)
    except OutlineError as error:
        yield row.at.problem(error.field.replace("_", " "), str(error))


def _check_grid(opening: OpeningRow) -> Iterator[Problem]:
    if opening.rows and (opening.lights or 1) > MOST_LETTERS:
        yield opening.at.problem(
            "rows",
            f"Panels of {opening.lights} lights cannot be lettered a to z.",
            "Leave rows empty, and number the panels in the sheet Panels.",
        )
