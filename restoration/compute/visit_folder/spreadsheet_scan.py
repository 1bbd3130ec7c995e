"""A look through a spreadsheet's XML before it is loaded: how far it reaches, and what hides in it.

The loader makes room for every cell up to the furthest one, and for its text as often as it is
repeated; and it reads formulas that failed or were never worked out as empty cells. All of that is
found here first.
"""

import re
from array import array
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import IO
from xml.parsers import expat

_BLOCK_BYTES = 1 << 18
_CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
# Far above any register: a sheet of 20,000 rows and 200 columns, filled to the last cell.
MAX_CELLS = 4_000_000
MAX_TEXTS = 1_000_000
# What makes a cell of an OpenDocument sheet more than a coloured one.
_ODS_VALUES = frozenset(
    ("value-type", "value", "string-value", "boolean-value", "date-value", "time-value", "formula")
)


class HostileXmlError(ValueError):
    """XML that declares entities: no spreadsheet program writes it."""


class TooMuchError(Exception):
    """A workbook that holds far more than a register needs, however small its file is."""


@dataclass
class SheetScan:
    """What one sheet holds: its furthest filled cell, and cells a reader would take for empty.

    characters: of the text of all its cells, as often as it is repeated.
    """

    name: str
    rows: int = 0
    columns: int = 0
    characters: int = 0
    failed_cells: list[str] = field(default_factory=list)
    unworked_cells: list[str] = field(default_factory=list)

    def reach(self, row: int, column: int) -> None:
        self.rows, self.columns = max(self.rows, row), max(self.columns, column)


def cell_name(row: int, column: int) -> str:
    """Return `C5` for row 5 and column 3, both from 1."""
    letters = ""
    while column:
        column, place = divmod(column - 1, 26)
        letters = chr(ord("A") + place) + letters
    return f"{letters}{row}"


def sheet_names_xlsx(workbook: IO[bytes], relations: IO[bytes]) -> dict[str, str]:
    """Return each sheet's name by the path of its part: `xl/worksheets/sheet1.xml`.

    Raises KeyError for a sheet without a part, which could not be looked through.
    """
    names: dict[str, str] = {}
    paths: dict[str, str] = {}

    def sheet(tag: str, attributes: dict[str, str]) -> None:
        if tag == "sheet":
            names[attributes.get("id", "")] = attributes.get("name", "")

    def relation(tag: str, attributes: dict[str, str]) -> None:
        if tag == "Relationship":
            target = attributes.get("Target", "")
            path = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
            paths[attributes.get("Id", "")] = path

    _parse(workbook, sheet)
    _parse(relations, relation)
    return {paths[key]: name for key, name in names.items()}


def text_lengths_xlsx(part: IO[bytes]) -> Sequence[int]:
    """Return how many characters each text has that the cells of an xlsx share.

    Raises HostileXmlError, ExpatError and TooMuchError.
    """
    lengths = array("Q")

    def start(tag: str, attributes: dict[str, str]) -> None:
        if tag == "si":
            lengths.append(0)
            if len(lengths) > MAX_TEXTS:
                raise TooMuchError

    def text(text: str) -> None:
        if lengths:
            lengths[-1] += len(text)

    _parse(part, start, None, text)
    return lengths


def scan_xlsx_sheet(name: str, part: IO[bytes], text_lengths: Sequence[int] = ()) -> SheetScan:
    """Return what one sheet part of an xlsx holds.

    text_lengths: of the texts its cells share, in characters.

    Raises HostileXmlError, ExpatError and TooMuchError.
    """
    walker = _XlsxWalker(SheetScan(name), text_lengths)
    _parse(part, walker.start, walker.end, walker.text)
    return walker.scan


def scan_ods(content: IO[bytes]) -> list[SheetScan]:
    """Return what each sheet of an ods holds.

    Raises HostileXmlError, ExpatError and TooMuchError.
    """
    walker = _OdsWalker()
    _parse(content, walker.start, walker.end, walker.text)
    return walker.scans


class _XlsxWalker:
    """ECMA-376 part 1, 18.3.1.4: `c` is a cell, `f` its formula, `v` its value as last saved."""

    def __init__(self, scan: SheetScan, text_lengths: Sequence[int]) -> None:
        self.scan = scan
        self._text_lengths = text_lengths
        self._cells = self._row = self._column = 0
        self._shares, self._said = False, ""
        self._failed = self._has_formula = self._has_value = self._in_value = False

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        if tag == "row":
            self._row = int(attributes.get("r", self._row + 1))
            self._column = 0
        elif tag == "c":
            self._start_cell(attributes)
        elif tag == "f":
            self._has_formula = True
        elif tag in ("v", "t"):
            self._in_value = True
        elif tag == "is":
            # To the loader a text written in the cell is one even where it is empty.
            self._has_value = True

    def text(self, text: str) -> None:
        if not self._in_value:
            return
        self._has_value = True
        if self._shares:
            self._said += text
        else:
            self.scan.characters += len(text)

    def end(self, tag: str) -> None:
        if tag in ("v", "t"):
            self._in_value = False
        elif tag == "c":
            self._end_cell()

    def _start_cell(self, attributes: dict[str, str]) -> None:
        self._cells += 1
        if self._cells > MAX_CELLS:
            raise TooMuchError
        self._column += 1
        if "r" in attributes:
            named = _CELL.fullmatch(attributes["r"])
            if named is None:
                raise ValueError(f"no cell is called {attributes['r']!r}")
            self._row, self._column = int(named[2]), _column_number(named[1])
        self._failed = attributes.get("t") == "e"
        self._shares, self._said = attributes.get("t") == "s", ""
        # A formula may rightly give an empty text; then the type is there and the value is not.
        # A date without one is no empty cell to the loader.
        self._has_value = attributes.get("t") in ("str", "d")
        self._has_formula = self._in_value = False

    def _end_cell(self) -> None:
        # A cell that is only coloured is no cell, to the loader as well.
        if self._has_value or self._has_formula:
            self.scan.reach(self._row, self._column)
        if self._said:
            place = int(self._said)
            # A place that is not there is the loader's to refuse.
            if 0 <= place < len(self._text_lengths):
                self.scan.characters += self._text_lengths[place]
        if self._failed:
            self.scan.failed_cells.append(cell_name(self._row, self._column))
        elif self._has_formula and not self._has_value:
            self.scan.unworked_cells.append(cell_name(self._row, self._column))


class _OdsWalker:
    """OpenDocument 1.3 part 3, 9.1: rows and cells may stand for many of the same."""

    def __init__(self) -> None:
        self.scans: list[SheetScan] = []
        self._row = self._column = self._cells = self._repeated = 0
        self._repeated_rows = 1

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        if tag == "table":
            self.scans.append(SheetScan(attributes.get("name", "")))
            self._row = 0
        elif tag == "table-row":
            self._repeated_rows = _count(attributes.get("number-rows-repeated"))
            self._column = 0
        elif tag in ("table-cell", "covered-table-cell") and self.scans:
            self._cell(attributes)
        elif tag == "s":
            # Spaces in a row are written as one element with their number.
            self._add(_count(attributes.get("c")))

    def text(self, text: str) -> None:
        self._add(len(text))

    def end(self, tag: str) -> None:
        if tag == "table-row":
            self._row += self._repeated_rows
        elif tag in ("table-cell", "covered-table-cell"):
            self._repeated = 0

    def _add(self, characters: int) -> None:
        if self._repeated:
            self.scans[-1].characters += characters * self._repeated

    def _cell(self, attributes: dict[str, str]) -> None:
        self._cells += 1
        if self._cells > MAX_CELLS:
            raise TooMuchError
        first = self._column + 1
        repeated_columns = _count(attributes.get("number-columns-repeated"))
        self._column += repeated_columns
        if not _ODS_VALUES & attributes.keys():
            return
        self._repeated = repeated_columns * self._repeated_rows
        self._add(len(attributes.get("string-value", "")))
        scan = self.scans[-1]
        scan.reach(self._row + self._repeated_rows, self._column)
        # Stands twice: the standard's own, and the program's, which alone knows of errors.
        if "error" in attributes.get("value-type", "").split():
            scan.failed_cells.append(cell_name(self._row + 1, first))


def _parse(
    source: IO[bytes],
    start: Callable[[str, dict[str, str]], None],
    end: Callable[[str], None] | None = None,
    text: Callable[[str], None] | None = None,
) -> None:
    """Walk through XML by local names, a block at a time."""
    parser = expat.ParserCreate(namespace_separator=" ")

    def local(name: str) -> str:
        return name.rpartition(" ")[2]

    def on_start(name: str, attributes: dict[str, str]) -> None:
        merged: dict[str, str] = {}
        for key, value in attributes.items():
            merged[local(key)] = f"{merged.get(local(key), '')} {value}".strip()
        start(local(name), merged)

    def refuse(*declaration: object) -> None:
        raise HostileXmlError("a document type is declared")

    parser.StartElementHandler = on_start
    parser.EndElementHandler = (lambda name: end(local(name))) if end else None
    parser.CharacterDataHandler = text
    parser.StartDoctypeDeclHandler = refuse
    while block := source.read(_BLOCK_BYTES):
        parser.Parse(block, False)
    parser.Parse(b"", True)


def _column_number(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - ord("A") + 1
    return number


def _count(text: str | None) -> int:
    return max(1, int(text)) if text and text.isdigit() else 1
