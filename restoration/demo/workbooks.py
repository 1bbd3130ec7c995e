"""Writes the two workbooks of a visit folder: the register and the findings."""

from datetime import date, datetime
from pathlib import Path
from typing import Final

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.worksheet import Worksheet

from restoration.demo.scenario import Row, Scenario

Cell = str | int | float | date | None

REGISTER: Final = {
    "People": "people",
    "Walls": "walls",
    "Openings": "openings",
    "Bars": "bars",
    "Panels": "panels",
    "Attached items": "items",
    "Fixings": "fixings",
}
FINDINGS: Final = {
    "Surveys": "surveys",
    "Findings": "findings",
    "Looked at": "looked_at",
    "Photographs": "photographs",
    "Actions": "actions",
    "Shared costs": "shared_costs",
}
# Columns of the data that tell how a picture is made and are no part of a visit folder.
OURS: Final = frozenset({"listed", "picture", "taken", "offset", "orientation"})
NUMBERS: Final = frozenset(
    {
        "lights", "rows", "pieces", "count", "amount", "of", "condition class", "urgency class",
        "recommendation class", "quantity", "phase", "difficulty", "lump sum",
        "x1", "y1", "x2", "y2", "bulge", "light", "ties",
        "ritual east",
        "x in mm", "y in mm", "foils",
    }
)  # fmt: skip
LENGTHS: Final = frozenset(
    {
        "width", "height", "sill height", "thickness", "springing", "small radius", "mullion",
        "light springing", "plan along", "length", "letter height", "depth", "span", "within",
    }
)  # fmt: skip
NARROWEST, WIDEST = 9, 46

_HEAD: Final = Font(bold=True)
_HEAD_FILL: Final = PatternFill("solid", fgColor="E7E5DF")
_HEAD_LINE: Final = Border(bottom=Side(style="thin", color="8C8880"))
_MADE_ON: Final = datetime(2026, 5, 12, 18, 0)


def write_register(path: Path, scenario: Scenario) -> None:
    """Write what stands where: building, people, walls, openings and their parts."""
    book = _book(scenario)
    building = _sheet(book, "Building", list(scenario.building))
    building.append([_cell(heading, text) for heading, text in scenario.building.items()])
    _tidy(building)
    for title, name in REGISTER.items():
        _table(book, title, scenario.headings(name), scenario.table(name))
    book.save(path)


def write_findings(path: Path, scenario: Scenario) -> None:
    """Write what was seen and what is proposed, with the list of photographs."""
    book = _book(scenario)
    for title, name in FINDINGS.items():
        headings = [heading for heading in scenario.headings(name) if heading not in OURS]
        rows = scenario.table(name)
        if name == "photographs":
            rows = [row for row in rows if row["listed"] == "yes"]
        _table(book, title, headings, rows)
    book.save(path)


def _book(scenario: Scenario) -> Workbook:
    book = Workbook()
    book.remove(book.active)
    book.properties.title = scenario.building["name"]
    book.properties.creator = "Larkmoor Glass Studio"
    book.properties.created = book.properties.modified = _MADE_ON
    return book


def _sheet(book: Workbook, title: str, headings: list[str]) -> Worksheet:
    sheet: Worksheet = book.create_sheet(title)
    sheet.append(headings)
    for cell in sheet[1]:
        cell.font, cell.fill, cell.border = _HEAD, _HEAD_FILL, _HEAD_LINE
    sheet.freeze_panes = "A2"
    return sheet


def _table(book: Workbook, title: str, headings: list[str], rows: list[Row]) -> None:
    sheet = _sheet(book, title, headings)
    for row in rows:
        sheet.append([_cell(heading, row[heading]) for heading in headings])
    _tidy(sheet)


def _cell(heading: str, text: str) -> Cell:
    """Return what a person would have typed: numbers and dates as such, all else as text."""
    if not text:
        return None
    if heading == "date":
        return date.fromisoformat(text)
    if heading in NUMBERS or (heading in LENGTHS and text.replace(".", "", 1).isdigit()):
        return float(text) if "." in text else int(text)
    return text


def _tidy(sheet: Worksheet) -> None:
    """Set column widths by content and wrap long cells."""
    for number, column in enumerate(sheet.iter_cols(), start=1):
        longest = max(
            (len(line) for cell in column for line in str(cell.value or "").split("\n")), default=0
        )
        width = min(WIDEST, max(NARROWEST, longest + 2))
        sheet.column_dimensions[get_column_letter(number)].width = width
        for cell in column[1:]:
            wrap = isinstance(cell.value, str) and (len(cell.value) > WIDEST or "\n" in cell.value)
            cell.alignment = Alignment(vertical="top", wrap_text=wrap)
            if isinstance(cell.value, date):
                cell.number_format = "yyyy-mm-dd"
