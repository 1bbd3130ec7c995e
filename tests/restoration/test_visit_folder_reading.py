"""Workbooks read in a child process: what comes back, and what is said where the child died."""

import datetime as dt
import resource

import openpyxl
import pytest

from restoration.compute.visit_folder.folder import FolderFile, list_folder
from restoration.compute.visit_folder.workbooks import read_workbook
from restoration.services.visit_folder.workbook_reading import read_workbooks
from tests.factories import StudioFactory, UserFactory
from tests.restoration.test_visit_folder_bombs import row, rows_of, xlsx
from tests.restoration.test_visit_folder_workbooks import cell, ods
from tests.restoration.visit_folders import problems_of, quietly, small_folder

STOPPED = (
    "register.xlsx: This workbook is too large or damaged: reading it was stopped. "
    "Save it anew as .xlsx with only the sheets you need."
)
SPARSE_SHEETS = 40


def as_file(path) -> FolderFile:
    return FolderFile(path, path.name)


def sparse_within_limits(path):
    """A few hundred bytes of cells that no limit of the scan refuses: two, in opposite corners."""
    return xlsx(path, row(1, '<c r="A1"/>') + row(20_000, '<c r="GR20000"><v>2</v></c>'))


def sparse_sheets(path):
    """Forty sheets of two cells each, the second in the furthest corner there is."""
    workbook = openpyxl.Workbook()
    for number in range(SPARSE_SHEETS):
        sheet = workbook.create_sheet(f"Sheet {number}")
        sheet["A1"], sheet["XFD1048576"] = "number", 1
    workbook.save(path)
    return path


def peak_mib() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024


def test_cells_of_every_type_come_back_from_the_child_as_they_were_read(tmp_path):
    workbook = openpyxl.Workbook()
    workbook.active.append(
        [
            "l'Étang\nsecond line",
            34.375,
            7,
            True,
            dt.date(2026, 5, 4),
            dt.datetime(2026, 5, 4, 10, 30),
            dt.time(9, 15),
            dt.timedelta(days=1, hours=3),
            "",
        ]
    )
    workbook.active["A3"] = "=1+1"
    workbook.save(tmp_path / "register.xlsx")
    file = as_file(tmp_path / "register.xlsx")
    here = read_workbook(file.path, file.name)
    (there,) = read_workbooks({"register": file}, 500).values()
    assert {type(each) for each in here.sheets[0].rows[0]} >= {str, float, bool, dt.time}
    assert [[list(row) for row in sheet.rows] for sheet in there.sheets] == [
        [list(row) for row in sheet.rows] for sheet in here.sheets
    ]
    assert there.problems == here.problems
    assert "has not been worked out" in str(there.problems[0])


@pytest.mark.parametrize("kind", ["xlsx", "ods"])
def test_forty_sparse_sheets_are_refused_in_words_and_fill_no_memory(tmp_path, kind):
    path = tmp_path / f"register.{kind}"
    if kind == "xlsx":
        sparse_sheets(path)
    else:
        corner = rows_of("<table:table-cell/>", 1_048_575) + rows_of(
            '<table:table-cell table:number-columns-repeated="16383"/>' + cell("x"), 1
        )
        more = '</table:table><table:table table:name="More {}">'
        ods(path, "".join(more.format(n) + corner for n in range(SPARSE_SHEETS)))
    assert path.stat().st_size < 30_000
    before = peak_mib()
    (read,) = read_workbooks({"register": as_file(path)}, 200).values()
    assert not read.sheets
    assert len(read.problems) == SPARSE_SHEETS
    assert "reaches to XFD1048576; 20000 rows and 200 columns are read." in str(read.problems[0])
    assert peak_mib() - before < 20


def test_a_workbook_that_takes_more_memory_than_allowed_is_refused_and_the_other_read(tmp_path):
    bomb = sparse_within_limits(tmp_path / "register.xlsx")
    sound = xlsx(tmp_path / "findings.xlsx", row(1, '<c r="A1"><v>1</v></c>'))
    assert bomb.stat().st_size < 10_000
    before = peak_mib()
    read = read_workbooks({"register": as_file(bomb), "findings": as_file(sound)}, 100)
    assert [str(problem) for problem in read["register"].problems] == [STOPPED]
    assert not read["register"].sheets
    assert [list(each) for each in read["findings"].sheets[0].rows] == [[1]]
    assert peak_mib() - before < 20


def test_a_workbook_that_takes_too_long_is_refused_in_the_same_words(tmp_path, monkeypatch):
    module = "restoration.services.visit_folder.workbook_reading"
    monkeypatch.setattr(f"{module}.SECONDS", 1)
    path = xlsx(
        tmp_path / "register.xlsx",
        "".join(row(n, "<c><v>1</v></c>" * 200) for n in range(1, 20_000)),
    )
    (read,) = read_workbooks({"register": as_file(path)}, 1000).values()
    assert [str(problem) for problem in read.problems] == [STOPPED]


@pytest.mark.django_db
def test_the_memory_for_workbooks_is_a_setting_and_its_end_is_told_with_the_folder(
    tmp_path, settings
):
    take_in = quietly(StudioFactory(), UserFactory())
    root = small_folder(tmp_path / "visit")
    sparse_within_limits(root / "register.xlsx")
    settings.WORKBOOK_MEMORY_MIB = 100
    assert STOPPED in problems_of(take_in, root)


# The old format, which only a reader without such limits knew.
def test_an_xls_is_refused_by_its_name(tmp_path):
    for name in ("register.xls", "findings.xlsx"):
        (tmp_path / name).write_bytes(b"x")
    listed = list_folder(tmp_path)
    assert list(listed.workbooks) == ["findings"]
    assert [str(problem) for problem in listed.problems] == [
        "register.xls: This workbook is in the old .xls format, which is not read here. "
        "Open it in your spreadsheet program, save it as .xlsx and try again."
    ]


def test_an_xls_beside_the_same_as_xlsx_is_left_alone(tmp_path):
    for name in ("register.xls", "register.xlsx", "findings.xlsx"):
        (tmp_path / name).write_bytes(b"x")
    listed = list_folder(tmp_path)
    assert (listed.problems, listed.left_alone) == ((), ("register.xls",))


@pytest.mark.parametrize(
    ("inside", "message"),
    [
        (bytes(2000), "is in the old .xls format"),
        ("EncryptedPackage".encode("utf-16-le"), "is locked with a password"),
    ],
)
def test_an_old_container_under_a_new_name_is_told_from_a_locked_workbook(
    tmp_path, inside, message
):
    path = tmp_path / "register.xlsx"
    path.write_bytes(bytes.fromhex("d0cf11e0a1b11ae1") + bytes(600) + inside)
    (problem,) = read_workbook(path, path.name).problems
    assert message in str(problem)
