"""Both workbooks of a folder, read into rows."""

from typing import Any

from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.problems import Place, Problem, alike, did_you_mean
from restoration.compute.visit_folder.rows import BuildingRow, Row, Rows
from restoration.compute.visit_folder.tables import Table, read_table
from restoration.compute.visit_folder.workbooks import RawSheet, RawWorkbook


def read_rows(workbooks: dict[str, RawWorkbook]) -> tuple[Rows, list[Problem]]:
    """Return the rows of the workbooks called `register` and `findings`, and what is wrong in them.

    A workbook that is not there gives no rows and no problem: `list_folder` has named it.
    """
    problems: list[Problem] = []
    read: dict[str, tuple[Any, ...]] = {}
    for kind, tables in (("register", layout.REGISTER), ("findings", layout.FINDINGS_BOOK)):
        if workbook := workbooks.get(kind):
            problems += workbook.problems
            if workbook.sheets or not workbook.problems:
                read |= _read_sheets(workbook, tables, problems)
    building = _one_building(read.get("Building"), workbooks, problems)
    return _as_rows(building, read), problems


def _as_rows(building: BuildingRow | None, read: dict[str, tuple[Any, ...]]) -> Rows:
    return Rows(
        building=building,
        people=read.get("People", ()),
        walls=read.get("Walls", ()),
        openings=read.get("Openings", ()),
        bars=read.get("Bars", ()),
        panels=read.get("Panels", ()),
        items=read.get("Attached items", ()),
        fixings=read.get("Fixings", ()),
        surveys=read.get("Surveys", ()),
        findings=read.get("Findings", ()),
        inspections=read.get("Looked at", ()),
        photographs=read.get("Photographs", ()),
        actions=read.get("Actions", ()),
        shared_costs=read.get("Shared costs", ()),
    )


def _read_sheets(
    workbook: RawWorkbook, tables: tuple[Table[Any], ...], problems: list[Problem]
) -> dict[str, tuple[Row, ...]]:
    sheets = _match_sheets(workbook, tables, problems)
    read: dict[str, tuple[Row, ...]] = {}
    for name, (table, sheet) in sheets.items():
        read[name], wrong = read_table(table, sheet)
        problems += wrong
    problems += [
        Place(workbook.file).problem(
            "", f'The sheet "{table.name}" is missing.', f"It has the columns {_needed(table)}."
        )
        for table in tables
        if table.required and table.name not in sheets
    ]
    return read


def _match_sheets(
    workbook: RawWorkbook, tables: tuple[Table[Any], ...], problems: list[Problem]
) -> dict[str, tuple[Table[Any], RawSheet]]:
    known = {alike(table.name): table for table in tables}
    matched: dict[str, tuple[Table[Any], RawSheet]] = {}
    for sheet in workbook.sheets:
        table = known.get(alike(sheet.name))
        if table is None:
            possible = did_you_mean(sheet.name, [table.name for table in tables])
            problems.append(sheet.place.problem("", "This sheet is not known here.", possible))
        elif table.name in matched:
            problems.append(sheet.place.problem("", "This sheet is there twice.", "Keep one."))
        else:
            matched[table.name] = (table, sheet)
    return matched


def _needed(table: Table[Any]) -> str:
    return ", ".join(column.name for column in table.columns if column.required)


def _one_building(
    rows: tuple[Any, ...] | None, workbooks: dict[str, RawWorkbook], problems: list[Problem]
) -> BuildingRow | None:
    if rows is None:
        return None  # the sheet is not there, which has been said
    if not rows:
        at = Place(workbooks["register"].file, "Building")
        problems.append(at.problem("", "There is no row.", "Name the building in one row."))
        return None
    problems += [
        row.at.problem("", "A folder is about one building.", "Keep one row.") for row in rows[1:]
    ]
    first: BuildingRow = rows[0]
    return first
