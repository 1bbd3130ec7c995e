"""Reading a workbook into plain rows of cells, within limits and with its traps named."""

import datetime
import zipfile
import zlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from xml.parsers.expat import ExpatError

from python_calamine import CalamineError, CalamineSheet, CalamineWorkbook

from restoration.compute.visit_folder.problems import Place, Problem
from restoration.compute.visit_folder.spreadsheet_scan import (
    MAX_CELLS,
    HostileXmlError,
    SheetScan,
    TooMuchError,
    cell_name,
    scan_ods,
    scan_xlsx_sheet,
    sheet_names_xlsx,
    text_lengths_xlsx,
)

Cell = (
    int
    | float
    | str
    | bool
    | datetime.time
    | datetime.date
    | datetime.datetime
    | datetime.timedelta
)
RawRow = Sequence[Cell]

WORKBOOK_SUFFIXES = (".xlsx", ".xlsm", ".ods")
OLD_SUFFIX = ".xls"
MAX_FILE_BYTES = 50_000_000
MAX_UNPACKED_BYTES = 200_000_000
MAX_PARTS = 10_000
MAX_CHARACTERS = 40_000_000
MAX_ROWS = 20_000
MAX_COLUMNS = 200
MOST_CELLS_NAMED = 6
_BLOCK_BYTES = 1 << 20
# The container of .xls, and of an .xlsx that is locked with a password.
_OLD_SIGNATURE = bytes.fromhex("d0cf11e0a1b11ae1")
# The part of the container that a locked workbook lies in ([MS-OFFCRYPTO], 2.3.4.4).
_LOCKED_PART = "EncryptedPackage".encode("utf-16-le")

_TEXTS = "xl/sharedStrings.xml"
_TOO_MUCH = "This workbook holds far more than a register needs."

OLD_FORMAT = "This workbook is in the old .xls format, which is not read here."
SAVE_AS_XLSX = "Open it in your spreadsheet program, save it as .xlsx and try again."
SAVE_ANEW = "Open it in your spreadsheet program, save it anew as .xlsx or .ods and try again."


@dataclass(frozen=True)
class RawSheet:
    """One sheet as it stands. `rows[0]` is row 1 of the spreadsheet."""

    file: str
    name: str
    rows: tuple[RawRow, ...]

    @property
    def place(self) -> Place:
        return Place(self.file, self.name)


@dataclass(frozen=True)
class RawWorkbook:
    """The sheets of a workbook that are not empty, and what is wrong with it as a file."""

    file: str
    sheets: tuple[RawSheet, ...] = ()
    problems: tuple[Problem, ...] = ()


class _UnreadableError(Exception):
    """The workbook as a whole cannot be read: what is wrong, and what is possible."""

    def __init__(self, what: str, possible: str = SAVE_ANEW) -> None:
        super().__init__(what)
        self.what, self.possible = what, possible


def read_workbook(path: Path, file: str) -> RawWorkbook:
    """Return the sheets of the workbook at `path`; what cannot be read is among its problems.

    file: the workbook's name as problems name it.

    Formulas are read as the values they had when the workbook was saved.
    """
    try:
        scans = _scan(path)
        problems = [problem for scan in scans for problem in _scan_problems(scan, file)]
        if any(scan.rows > MAX_ROWS or scan.columns > MAX_COLUMNS for scan in scans):
            return RawWorkbook(file, (), tuple(problems))
        _check_all(scans)
        sheets, merges = _load(path, file)
    except _UnreadableError as error:
        return RawWorkbook(file, (), (Place(file).problem("", error.what, error.possible),))
    return RawWorkbook(file, sheets, tuple(problems + merges))


def _scan(path: Path) -> list[SheetScan]:
    size = path.stat().st_size
    if size == 0:
        raise _UnreadableError("This file is empty.", "Copy it from its source again.")
    if size > MAX_FILE_BYTES:
        raise _UnreadableError(
            f"This file is {size // 1_000_000} MB; the largest workbook read here is "
            f"{MAX_FILE_BYTES // 1_000_000} MB.",
            "Take pictures and unused sheets out of it.",
        )
    _refuse_old_container(path)
    try:
        with zipfile.ZipFile(path) as parts:
            _check_parts(parts)
            return _scan_parts(parts)
    except TooMuchError as error:
        raise _UnreadableError(_TOO_MUCH) from error
    except (zipfile.BadZipFile, zipfile.LargeZipFile, zlib.error, EOFError, OSError) as error:
        raise _UnreadableError("This is no workbook, or a damaged one.") from error
    except (ExpatError, HostileXmlError, LookupError, ValueError, RuntimeError) as error:
        raise _UnreadableError("This workbook is damaged inside, or locked.") from error


def _refuse_old_container(path: Path) -> None:
    with path.open("rb") as file:
        if file.read(len(_OLD_SIGNATURE)) != _OLD_SIGNATURE:
            return
        is_locked = _LOCKED_PART in file.read()
    if is_locked:
        raise _UnreadableError("This workbook is locked with a password.", "Save it without one.")
    raise _UnreadableError(OLD_FORMAT, SAVE_AS_XLSX)


def _check_parts(parts: zipfile.ZipFile) -> None:
    """Unpack everything once: sums and checksums then hold for whatever reads it next."""
    names = {name.casefold() for name in parts.namelist()}
    if len(parts.namelist()) > MAX_PARTS or (
        sum(part.file_size for part in parts.infolist()) > MAX_UNPACKED_BYTES
    ):
        raise _UnreadableError("This workbook unpacks to far more than a register needs.")
    # What is looked through must be what is loaded: one part to a name, one kind of workbook.
    is_xlsx = any(name.startswith("xl/") for name in names)
    if len(names) < len(parts.namelist()) or (is_xlsx and "content.xml" in names):
        raise _UnreadableError("This is two workbooks in one file.")
    if "xl/workbook.bin" in names:
        raise _UnreadableError("This kind of workbook is not read here.")
    for part in parts.infolist():
        with parts.open(part) as file:
            while file.read(_BLOCK_BYTES):
                pass


def _scan_parts(parts: zipfile.ZipFile) -> list[SheetScan]:
    if "content.xml" in parts.namelist():
        with parts.open("content.xml") as content:
            return scan_ods(content)
    with (
        parts.open("xl/workbook.xml") as workbook,
        parts.open("xl/_rels/workbook.xml.rels") as relations,
    ):
        names = sheet_names_xlsx(workbook, relations)
    texts: Sequence[int] = ()
    for named in parts.namelist():
        if named.casefold() == _TEXTS.casefold():
            with parts.open(named) as part:
                texts = text_lengths_xlsx(part)
    scans = []
    for path, name in names.items():
        with parts.open(path) as part:
            scans.append(scan_xlsx_sheet(name, part, texts))
    return scans


def _check_all(scans: Sequence[SheetScan]) -> None:
    """What each sheet may hold, all of them together may hold."""
    cells = sum(scan.rows * scan.columns for scan in scans)
    if cells > MAX_CELLS or sum(scan.characters for scan in scans) > MAX_CHARACTERS:
        raise _UnreadableError(_TOO_MUCH)


def _scan_problems(scan: SheetScan, file: str) -> list[Problem]:
    place = Place(file, scan.name)
    found = []
    if scan.rows > MAX_ROWS or scan.columns > MAX_COLUMNS:
        far = cell_name(scan.rows, scan.columns)
        found.append(
            place.problem(
                "",
                f"This sheet reaches to {far}; {MAX_ROWS} rows and {MAX_COLUMNS} columns are read.",
                "Delete what stands far below or to the right of the table.",
            )
        )
    if scan.failed_cells:
        found.append(
            place.problem(
                _named(scan.failed_cells),
                "A formula here ends in an error.",
                "Mend it, or type the value.",
            )
        )
    if scan.unworked_cells:
        found.append(
            place.problem(
                _named(scan.unworked_cells),
                "A formula here has not been worked out.",
                "Open the workbook in your spreadsheet program and save it, or type the value.",
            )
        )
    return found


def _named(cells: Sequence[str]) -> str:
    more = f" and {len(cells) - MOST_CELLS_NAMED} more" if len(cells) > MOST_CELLS_NAMED else ""
    return ", ".join(cells[:MOST_CELLS_NAMED]) + more


def _load(path: Path, file: str) -> tuple[tuple[RawSheet, ...], list[Problem]]:
    sheets: list[RawSheet] = []
    problems: list[Problem] = []
    try:
        with path.open("rb") as source, CalamineWorkbook.from_filelike(source) as workbook:
            for name in workbook.sheet_names:
                loaded = workbook.get_sheet_by_name(name)
                rows = tuple(loaded.to_python(skip_empty_area=False))
                if any(not is_empty(cell) for row in rows for cell in row):
                    sheets.append(RawSheet(file, name, rows))
                    problems += _merges(loaded, Place(file, name))
    except (CalamineError, OSError, ValueError) as error:
        raise _UnreadableError("This workbook is damaged, or locked with a password.") from error
    return tuple(sheets), problems


def _merges(sheet: CalamineSheet, place: Place) -> Iterable[Problem]:
    for (top, left), (bottom, right) in sheet.merged_cell_ranges or ():
        cells = f"{cell_name(top + 1, left + 1)}:{cell_name(bottom + 1, right + 1)}"
        yield place.problem(
            cells,
            "These cells are merged, so that it cannot be told for which rows the value holds.",
            "Unmerge them and write the value into each row it is for.",
        )


def is_empty(cell: Cell) -> bool:
    """Whether nothing but blanks stands in a cell."""
    return isinstance(cell, str) and not cell.strip()
