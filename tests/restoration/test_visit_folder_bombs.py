"""Small workbooks that would fill the memory once they are loaded: refused unloaded, in words."""

import zipfile
from pathlib import Path

import openpyxl
import pytest

from restoration.compute.visit_folder import spreadsheet_scan, workbooks
from restoration.compute.visit_folder.workbooks import read_workbook
from tests.restoration.test_visit_folder_workbooks import cell, ods

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
SHEET = "xl/worksheets/sheet1.xml"
FAR = "This sheet reaches to XFD1048576; 20000 rows and 200 columns are read."
TOO_MUCH = "This workbook holds far more than a register needs."
TWO = "This is two workbooks in one file."


def xlsx(path: Path, cells: str, texts: str = "", **parts: str) -> Path:
    """Write a workbook of one sheet from the XML of its cells and of the texts they share."""
    whole = path.with_suffix(".whole")
    openpyxl.Workbook().save(whole)
    made = {SHEET: f'<worksheet xmlns="{MAIN}"><sheetData>{cells}</sheetData></worksheet>', **parts}
    if texts:
        made["xl/sharedStrings.xml"] = f'<sst xmlns="{MAIN}">{texts}</sst>'
    with zipfile.ZipFile(whole) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            if name not in made:
                new.writestr(name, old.read(name))
        for name, text in made.items():
            new.writestr(name, text)
    return path


def row(number: int, cells: str) -> str:
    return f'<row r="{number}">{cells}</row>'


def far(attributes: str, inner: str) -> str:
    """A sheet with one cell where it belongs and one at the far corner."""
    return row(1, '<c r="A1"><v>1</v></c>') + row(
        1_048_576, f'<c r="XFD1048576" {attributes}>{inner}</c>'
    )


def sharing(rows: int) -> str:
    columns = "ABCDEFGHIJ"
    return "".join(
        row(n, "".join(f'<c r="{c}{n}" t="s"><v>0</v></c>' for c in columns))
        for n in range(1, rows + 1)
    )


def rows_of(cells: str, count: int = 20_000) -> str:
    return f'<table:table-row table:number-rows-repeated="{count}">{cells}</table:table-row>'


XLSX = {
    "an empty text far away": (far('t="inlineStr"', "<is><t></t></is>"), "", FAR),
    "an empty date far away": (far('t="d"', "<v></v>"), "", FAR),
    "one long text shared by all cells": (
        sharing(1000),
        f"<si><t>{'x' * 100_000}</t></si>",
        TOO_MUCH,
    ),
}
ODS = {
    "a long text repeated": (
        rows_of(cell("x" * 10_000, 'table:number-columns-repeated="200"')),
        TOO_MUCH,
    ),
    "a long text said in an attribute": (
        rows_of(
            f'<table:table-cell office:value-type="string" office:string-value="{"x" * 9_999}"/>'
        ),
        TOO_MUCH,
    ),
    "countless spaces": (rows_of(cell('a<text:s text:c="4000000000"/>b'), 1), TOO_MUCH),
    "many full sheets": (
        '</table:table><table:table table:name="More">'.join(
            [rows_of(cell("x", 'table:number-columns-repeated="200"'))] * 3
        ),
        TOO_MUCH,
    ),
    "values far away that say no type": (
        rows_of(
            '<table:table-cell office:value="1" table:number-columns-repeated="16384"/>', 1_048_576
        ),
        FAR,
    ),
}


@pytest.mark.parametrize("name", XLSX)
def test_a_bomb_in_a_workbook_is_refused_in_words(tmp_path, name):
    cells, texts, said = XLSX[name]
    path = xlsx(tmp_path / "register.xlsx", cells, texts)
    assert path.stat().st_size < 50_000
    read = read_workbook(path, path.name)
    assert not read.sheets
    assert [said in str(problem) for problem in read.problems] == [True]


@pytest.mark.parametrize("name", ODS)
def test_a_bomb_in_an_open_document_is_refused_in_words(tmp_path, name):
    rows, said = ODS[name]
    path = ods(tmp_path / "register.ods", rows)
    assert path.stat().st_size < 50_000
    read = read_workbook(path, path.name)
    assert not read.sheets
    assert [said in str(problem) for problem in read.problems] == [True]


def test_texts_that_cells_share_are_read_as_before(tmp_path):
    texts = "<si><t>number</t></si><si><r><t>n</t></r><r><t>II</t></r></si>"
    cells = row(1, '<c r="A1" t="s"><v>0</v></c>') + row(2, '<c r="A2" t="s"><v>1</v></c>')
    read = read_workbook(xlsx(tmp_path / "register.xlsx", cells, texts), "register.xlsx")
    assert not read.problems
    assert [list(each) for each in read.sheets[0].rows] == [["number"], ["nII"]]


# What is looked through must be what the loader then takes.
def test_a_second_workbook_hidden_in_the_file_is_refused(tmp_path):
    hidden = {"content.xml": "<harmless/>"}
    path = xlsx(tmp_path / "register.ods", far("", "<v>1</v>"), **hidden)
    (problem,) = read_workbook(path, path.name).problems
    assert TWO in str(problem)


def test_a_part_hidden_behind_another_of_the_same_name_is_refused(tmp_path):
    path = xlsx(tmp_path / "register.xlsx", far("", "<v>1</v>"), **{SHEET.upper(): "<harmless/>"})
    (problem,) = read_workbook(path, path.name).problems
    assert TWO in str(problem)


def test_a_workbook_in_binary_parts_is_refused(tmp_path):
    path = xlsx(tmp_path / "register.xlsx", row(1, ""), **{"xl/workbook.bin": "x"})
    (problem,) = read_workbook(path, path.name).problems
    assert "This kind of workbook is not read here." in str(problem)


def test_more_cells_texts_or_parts_than_any_register_has_are_refused(tmp_path, monkeypatch):
    path = xlsx(tmp_path / "register.xlsx", sharing(2), "<si><t>a</t></si><si><t>b</t></si>")
    sheet = ods(tmp_path / "register.ods", rows_of(cell("x") * 11, 1))
    for module, limit, most in (
        (spreadsheet_scan, "MAX_CELLS", 10),
        (spreadsheet_scan, "MAX_TEXTS", 1),
        (workbooks, "MAX_CELLS", 19),
        (workbooks, "MAX_PARTS", 5),
    ):
        assert not read_workbook(path, path.name).problems
        with monkeypatch.context() as lower:
            lower.setattr(module, limit, most)
            (problem,) = read_workbook(path, path.name).problems
            assert "far more than a register needs" in str(problem)
    monkeypatch.setattr(spreadsheet_scan, "MAX_CELLS", 10)
    (problem,) = read_workbook(sheet, sheet.name).problems
    assert TOO_MUCH in str(problem)
