"""Workbooks as files: what can be read, and the traps that would otherwise go unseen."""

import datetime as dt
import random
import zipfile
from pathlib import Path

import openpyxl
import pytest
from openpyxl.styles import PatternFill

from restoration.compute.visit_folder import workbooks
from restoration.compute.visit_folder.workbooks import read_workbook
from tests.restoration.visit_folders import SMALL_REGISTER, write_workbook

ODS_HEAD = (
    '<?xml version="1.0" encoding="UTF-8"?>{doctype}<office:document-content '
    'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" '
    'xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
    'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" '
    'xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0">'
    '<office:body><office:spreadsheet><table:table table:name="Openings">'
)
ODS_TAIL = "</table:table></office:spreadsheet></office:body></office:document-content>"
ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"


def ods(path: Path, rows: str, doctype: str = "") -> Path:
    """Write an OpenDocument spreadsheet of one sheet from the XML of its rows."""
    manifest = (
        '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0">'
        f'<manifest:file-entry manifest:full-path="/" manifest:media-type="{ODS_TYPE}"/>'
        "</manifest:manifest>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr(zipfile.ZipInfo("mimetype"), ODS_TYPE)
        parts.writestr("META-INF/manifest.xml", manifest)
        parts.writestr("content.xml", ODS_HEAD.format(doctype=doctype) + rows + ODS_TAIL)
    return path


def cell(text: str, more: str = "") -> str:
    return (
        f'<table:table-cell office:value-type="string" {more}><text:p>{text}</text:p>'
        "</table:table-cell>"
    )


def problems(path: Path) -> list[str]:
    return [str(problem) for problem in read_workbook(path, path.name).problems]


@pytest.fixture
def sheet(tmp_path):
    """A sheet to fill, and a function that saves its workbook and says where."""
    workbook = openpyxl.Workbook()
    workbook.active.title = "Openings"

    def save(name: str = "register.xlsx") -> Path:
        workbook.save(tmp_path / name)
        return tmp_path / name

    return workbook.active, save


def test_rows_keep_the_numbers_they_have_in_the_spreadsheet(sheet):
    ws, save = sheet
    ws["B3"] = "number"
    ws["B5"] = "nII"
    (read,) = read_workbook(save(), "register.xlsx").sheets
    assert [row[1] for row in read.rows] == ["", "", "number", "", "nII"]


def test_numbers_dates_and_texts_come_as_they_are(sheet):
    ws, save = sheet
    ws.append(["h", 34.375, dt.date(2026, 5, 4), True, "l'Étang\nsecond line"])
    (read,) = read_workbook(save(), "register.xlsx").sheets
    assert list(read.rows[0]) == ["h", 34.375, dt.date(2026, 5, 4), True, "l'Étang\nsecond line"]


def test_an_open_document_spreadsheet_is_read_too(tmp_path):
    path = ods(
        tmp_path / "register.ods",
        f"<table:table-row>{cell('number')}{cell('width')}</table:table-row>"
        f"<table:table-row>{cell('nII')}"
        '<table:table-cell office:value-type="float" office:value="873"/></table:table-row>'
        '<table:table-row table:number-rows-repeated="1048574">'
        '<table:table-cell table:number-columns-repeated="16384"/></table:table-row>',
    )
    read = read_workbook(path, path.name)
    assert not read.problems
    assert [list(row) for row in read.sheets[0].rows] == [["number", "width"], ["nII", 873]]


def test_empty_sheets_are_passed_over(tmp_path):
    path = write_workbook(tmp_path / "r.xlsx", {"Openings": [["number"]], "Sheet2": [["  "]]})
    assert [sheet.name for sheet in read_workbook(path, "r").sheets] == ["Openings"]


def test_a_cell_far_away_is_refused_before_room_is_made_for_all_cells_up_to_it(sheet):
    ws, save = sheet
    ws["A1"], ws["XFD1048576"] = "number", "stray"
    (problem,) = problems(save())
    assert problem.startswith("register.xlsx, Openings: This sheet reaches to XFD1048576;")


def test_repeated_cells_far_away_are_refused_in_an_open_document_too(tmp_path):
    repeated = cell("x", 'table:number-columns-repeated="16384"')
    path = ods(
        tmp_path / "register.ods",
        f'<table:table-row table:number-rows-repeated="900000">{repeated}</table:table-row>',
    )
    (problem,) = problems(path)
    assert "reaches to XFD900000" in problem


def test_coloured_empty_cells_far_away_do_no_harm(sheet):
    ws, save = sheet
    ws["A1"] = "number"
    ws["XFD1048576"].fill = PatternFill("solid", "FFCC00")
    assert problems(save()) == []


def test_more_rows_than_are_read_are_refused(sheet, monkeypatch):
    monkeypatch.setattr(workbooks, "MAX_ROWS", 50)
    ws, save = sheet
    for number in range(51):
        ws.append([number])
    (problem,) = problems(save())
    assert "reaches to A51; 50 rows" in problem


def test_a_formula_that_ends_in_an_error_is_not_taken_for_an_empty_cell(sheet):
    ws, save = sheet
    ws["A1"], ws["B7"] = "number", "#DIV/0!"
    ws["B7"].data_type = "e"
    assert problems(save()) == [
        "register.xlsx, Openings, B7: A formula here ends in an error. Mend it, or type the value."
    ]


def test_the_same_in_an_open_document(tmp_path):
    failed = cell("Err:502", 'table:formula="of:=1/0" calcext:value-type="error"')
    path = ods(tmp_path / "r.ods", f"<table:table-row>{cell('a')}{failed}</table:table-row>")
    (problem,) = problems(path)
    assert "Openings, B1: A formula here ends in an error." in problem


def test_a_formula_that_was_never_worked_out_is_named(sheet):
    ws, save = sheet
    for row in range(1, 10):
        ws[f"C{row}"] = "=1+1"
    (problem,) = problems(save())
    assert "Openings, C1, C2, C3, C4, C5, C6 and 3 more: A formula here has not been" in problem


def test_a_formula_is_read_as_its_value(tmp_path, sheet):
    ws, save = sheet
    ws["A1"], ws["A2"] = "number", "=1+1"
    path = save()
    worked_out = tmp_path / "worked-out.xlsx"
    with zipfile.ZipFile(path) as parts, zipfile.ZipFile(worked_out, "w") as changed:
        for name in parts.namelist():
            data = parts.read(name)
            changed.writestr(name, data.replace(b"<f>1+1</f><v></v>", b"<f>1+1</f><v>2</v>"))
    read = read_workbook(worked_out, "w.xlsx")
    assert not read.problems
    assert read.sheets[0].rows[1][0] == 2


def test_merged_cells_are_named(sheet):
    ws, save = sheet
    ws["A1"], ws["A2"] = "opening", "nII"
    ws.merge_cells("A2:A4")
    (problem,) = problems(save())
    assert "Openings, A2:A4: These cells are merged" in problem


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "This file is empty."),
        (b"number,width\nnII,873\n", "no workbook, or a damaged one"),
        (b"\xff\xfen\x00u\x00", "no workbook, or a damaged one"),
        (b"PK\x03\x04 and no more", "no workbook, or a damaged one"),
        (bytes.fromhex("d0cf11e0a1b11ae1") + bytes(2000), "is in the old .xls format"),
    ],
)
def test_what_is_no_workbook_is_said_to_be_none(tmp_path, data, message):
    path = tmp_path / "register.xlsx"
    path.write_bytes(data)
    (problem,) = problems(path)
    assert problem.startswith("register.xlsx: ")
    assert message in problem


@pytest.mark.parametrize("share", [0.3, 0.7, 0.95])
def test_a_workbook_cut_short_is_said_to_be_damaged(sheet, share):
    ws, save = sheet
    ws["A1"] = "number"
    path = save()
    data = path.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    (problem,) = problems(path)
    assert "damaged" in problem


def test_a_workbook_with_a_flipped_byte_is_said_to_be_damaged(sheet):
    ws, save = sheet
    ws.append(["number"] * 30)
    path = save()
    data = bytearray(path.read_bytes())
    data[data.index(b"worksheets/sheet1.xml") + 40] ^= 0xFF
    path.write_bytes(data)
    (problem,) = problems(path)
    assert "damaged" in problem


def test_a_zip_that_holds_no_workbook_is_said_to_be_damaged(tmp_path):
    path = tmp_path / "register.xlsx"
    with zipfile.ZipFile(path, "w") as parts:
        parts.writestr("holiday.txt", "no workbook")
    (problem,) = problems(path)
    assert "damaged inside, or locked" in problem


def test_a_workbook_that_unpacks_to_far_more_is_refused_unread(tmp_path, monkeypatch):
    monkeypatch.setattr(workbooks, "MAX_UNPACKED_BYTES", 10_000)
    path = ods(tmp_path / "r.ods", f"<table:table-row>{cell('x' * 20_000)}</table:table-row>")
    (problem,) = problems(path)
    assert "unpacks to far more" in problem


def test_a_workbook_over_the_size_limit_is_refused_unread(sheet, monkeypatch):
    monkeypatch.setattr(workbooks, "MAX_FILE_BYTES", 1000)
    _, save = sheet
    (problem,) = problems(save())
    assert "the largest workbook read here" in problem


def test_xml_that_declares_entities_is_refused(tmp_path):
    bomb = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>'
    path = ods(tmp_path / "r.ods", f"<table:table-row>{cell('&b;')}</table:table-row>", bomb)
    (problem,) = problems(path)
    assert "damaged inside" in problem


@pytest.mark.faults
@pytest.mark.parametrize("seed", range(4))
def test_a_workbook_damaged_anywhere_is_read_or_refused_and_never_breaks_the_program(
    tmp_path, seed
):
    chance = random.Random(seed)
    whole = write_workbook(tmp_path / "whole.xlsx", SMALL_REGISTER).read_bytes()
    path = tmp_path / "register.xlsx"
    for _ in range(60):
        data = bytearray(whole)
        for _ in range(chance.choice((1, 3, 20))):
            data[chance.randrange(len(data))] = chance.randrange(256)
        path.write_bytes(data)
        read = read_workbook(path, "register.xlsx")
        assert read.sheets or read.problems
