"""Sizes and sums out of their usual range are asked about, until a row of the folder is sure."""

import re

import pytest

from tests.restoration.visit_folders import (
    SMALL_FINDINGS,
    SMALL_REGISTER,
    changed,
    problems_in,
    small_folder,
)


@pytest.mark.parametrize(
    ("sheet", "column", "value", "says"),
    [
        ("Openings", "width", "90,5 mm", "90.5 mm wide: is that right? Usual is 100 to 20000 mm."),
        ("Openings", "height", "2,1 mm", "2.1 mm high: is that right?"),
        ("Openings", "width", 21_000, "21000 mm wide: is that right?"),
        ("Attached items", "width", 4, "4 mm wide: is that right? Usual is 10 to 3000 mm."),
        ("Shared costs", "amount", 1.61, "1.61 USD in all: is that right? Usual is 10 to 2000000"),
        ("Shared costs", "amount", "1,61", "1.61 USD in all: is that right?"),
    ],
)
def test_what_is_out_of_its_range_is_asked_about_until_its_row_is_sure(
    tmp_path, sheet, column, value, says
):
    def folder(name, said, typed=value):
        books = []
        for book in (SMALL_REGISTER, SMALL_FINDINGS):
            if sheet in book:
                headings, *rows = changed(book, sheet, 2, column, typed)[sheet]
                sized = [[*headings, "sure"], [*rows[0], said], *([*row, ""] for row in rows[1:])]
                book = {**book, sheet: sized}
            books.append(book)
        return problems_in(small_folder(tmp_path / name, register=books[0], findings=books[1]))

    (problem,) = folder("unsure", "")
    assert f"{sheet}, row 2, {column}: {says}" in problem
    (answer,) = re.findall("write “(.+)” in the column sure", problem)
    assert folder("sure", f"height 99 mm; {answer}") == []
    # What was right of one value says nothing of another.
    others = {"Openings": "95 mm", "Attached items": "9 mm", "Shared costs": 5}
    (again,) = folder("changed", answer, others[sheet])
    assert "is that right?" in again
