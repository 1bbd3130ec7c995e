"""What lies in a folder: workbooks found by name, photographs, links, and what is left behind."""

import os
import unicodedata

import pytest

from restoration.compute.visit_folder.folder import digest_folder, list_folder
from tests.restoration.visit_folders import (
    SMALL_FINDINGS,
    changed,
    picture,
    problems_in,
    small_folder,
    write_workbook,
)


def touch(root, *names):
    for name in names:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(b"x")
    return root


def said(root) -> list[str]:
    return [str(problem) for problem in list_folder(root).problems]


def test_workbooks_are_found_by_a_word_in_their_names(tmp_path):
    touch(tmp_path, "St Wenfric REGISTER 2026.ods", "our Findings (final).XLSX")
    found = list_folder(tmp_path).workbooks
    assert {kind: file.name for kind, file in found.items()} == {
        "register": "St Wenfric REGISTER 2026.ods",
        "findings": "our Findings (final).XLSX",
    }


def test_missing_workbooks_are_named(tmp_path):
    touch(tmp_path, "findings.docx")
    problems = said(tmp_path)
    assert len(problems) == 2
    assert problems[1].startswith(
        "findings.xlsx: This workbook is missing. Its name has “findings”"
    )


def test_two_workbooks_of_one_kind_are_both_named(tmp_path):
    touch(tmp_path, "register.xlsx", "register (1).xlsx", "findings.xlsx")
    assert said(tmp_path) == [
        "register (1).xlsx: There are 2 workbooks called register. Keep the one that counts.",
        "register.xlsx: There are 2 workbooks called register. Keep the one that counts.",
    ]


def test_a_folder_that_is_not_there_is_named(tmp_path):
    assert said(tmp_path / "nowhere") == ["nowhere: There is no such folder."]


def test_what_programs_leave_behind_is_passed_over(tmp_path):
    touch(
        tmp_path, "register.xlsx", "findings.xlsx", "~$register.xlsx", ".DS_Store", "Thumbs.db",
        "photographs/._a.jpg", "photographs/.thumbs/a.jpg", "photographs/desktop.ini",
        "__MACOSX/photographs/a.jpg",
    )  # fmt: skip
    listed = list_folder(tmp_path)
    assert (listed.photographs, listed.left_alone, listed.problems) == ({}, (), ())


def test_other_files_are_left_alone_and_named(tmp_path):
    touch(tmp_path, "register.xlsx", "findings.xlsx", "letter.pdf", "plans/nave.dwg")
    assert list_folder(tmp_path).left_alone == ("letter.pdf", "plans/nave.dwg")


def test_a_file_among_the_photographs_that_is_none_is_a_problem(tmp_path):
    touch(tmp_path, "register.xlsx", "findings.xlsx", "photographs/walk.mov")
    (problem,) = said(tmp_path)
    assert problem.startswith("photographs/walk.mov: This is no photograph. Photographs end in")


@pytest.mark.parametrize(
    "name", [b"photographs/caf\xe9.jpg", b"register \xe9.xlsx", b"notes\xe9/a.txt"]
)
def test_a_name_that_is_no_text_is_a_problem_once_and_nothing_is_taken_in_by_it(tmp_path, name):
    touch(tmp_path, "register.xlsx", "findings.xlsx", os.fsdecode(name))
    shown = name.removesuffix(b"/a.txt").decode("ascii", "backslashreplace")
    assert said(tmp_path) == [f"{shown}: This name is not written in UTF-8. Give it another name."]
    assert digest_folder(list_folder(tmp_path))


def test_a_photograph_outside_its_folder_is_a_problem(tmp_path):
    touch(tmp_path, "register.xlsx", "findings.xlsx", "a.jpg", "more/b.JPG")
    assert said(tmp_path) == [
        "a.jpg: This photograph lies outside photographs/. Move it into photographs/.",
        "more/b.JPG: This photograph lies outside photographs/. Move it into photographs/.",
    ]


@pytest.mark.parametrize("what", ["file", "folder"])
def test_a_link_out_of_the_folder_is_refused(tmp_path, what):
    outside = touch(tmp_path / "outside", "secret.jpg")
    root = touch(tmp_path / "visit", "register.xlsx", "findings.xlsx", "photographs/a.jpg")
    target = outside / "secret.jpg" if what == "file" else outside
    os.symlink(target, root / "photographs" / "link.jpg")
    listed = list_folder(root)
    assert [str(problem) for problem in listed.problems] == [
        "photographs/link.jpg: This is a link to somewhere outside the folder. "
        "Put the file itself here, or take the link away."
    ]
    assert list(listed.photographs) == ["a.jpg"]


def test_a_workbook_that_is_a_link_is_refused(tmp_path):
    touch(tmp_path / "visit", "findings.xlsx")
    touch(tmp_path, "register.xlsx")
    os.symlink(tmp_path / "register.xlsx", tmp_path / "visit" / "register.xlsx")
    problems = said(tmp_path / "visit")
    assert any("This is a link to somewhere outside the folder." in each for each in problems)
    assert "register" not in list_folder(tmp_path / "visit").workbooks


def test_accents_count_alike_however_the_system_writes_them(tmp_path):
    composed, decomposed = (unicodedata.normalize(form, "façade.jpg") for form in ("NFC", "NFD"))
    root = small_folder(
        tmp_path,
        photographs={decomposed: picture(1), "tab.jpg": picture(2)},
        findings=changed(SMALL_FINDINGS, "Photographs", 2, "file", composed),
    )
    assert composed != decomposed
    assert problems_in(root) == []


def test_two_photographs_whose_names_differ_only_in_writing_accents_are_named(tmp_path):
    names = [unicodedata.normalize(form, "façade.jpg") for form in ("NFC", "NFD")]
    touch(tmp_path, "register.xlsx", "findings.xlsx", *(f"photographs/{name}" for name in names))
    (problem,) = said(tmp_path)
    assert "with its accents written otherwise" in problem


def test_the_digest_is_of_names_and_bytes_alone(tmp_path):
    one = list_folder(touch(tmp_path / "1", "register.xlsx", "findings.xlsx", "photographs/a.jpg"))
    same = touch(tmp_path / "same", "photographs/a.jpg", "findings.xlsx", "register.xlsx")
    touch(same, ".DS_Store", "letter.pdf")
    assert digest_folder(list_folder(same)) == digest_folder(one)
    (same / "photographs/a.jpg").rename(same / "photographs/b.jpg")
    assert digest_folder(list_folder(same)) != digest_folder(one)
    (same / "photographs/b.jpg").rename(same / "photographs/a.jpg")
    (same / "photographs/a.jpg").write_bytes(b"y")
    assert digest_folder(list_folder(same)) != digest_folder(one)


def test_a_folder_that_cannot_be_opened_is_named(tmp_path, monkeypatch):
    touch(tmp_path, "register.xlsx", "findings.xlsx")

    def walk(root, onerror):
        onerror(PermissionError(13, "no right", str(tmp_path / "photographs" / "nave")))
        return iter(())

    monkeypatch.setattr("restoration.compute.visit_folder.folder.os.walk", walk)
    assert any("photographs/nave: This folder cannot be opened." in each for each in said(tmp_path))


def test_workbooks_alone_are_a_folder(tmp_path):
    write_workbook(tmp_path / "register.xlsx", {"Building": [["name"]]})
    write_workbook(tmp_path / "findings.xlsx", {"Surveys": [["survey"]]})
    assert said(tmp_path) == []
