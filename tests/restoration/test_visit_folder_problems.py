"""Every mistake in a folder's rows is named once, with its place and what is possible."""

import datetime as dt

import pytest

from restoration.compute.visit_folder.known import Known, KnownFinding, KnownOpening
from tests.restoration.visit_folders import (
    SMALL_FINDINGS,
    SMALL_PHOTOGRAPHS,
    SMALL_REGISTER,
    changed,
    problems_in,
    small_folder,
)


def without(book, *sheets):
    return {name: rows for name, rows in book.items() if name not in sheets}


def test_a_folder_in_order_has_no_problems(tmp_path):
    assert problems_in(small_folder(tmp_path)) == []


REGISTER_CASES = [
    ("Building", 2, "currency", "XQQ", 'Building, row 2, currency: "XQQ" is no currency.'),
    ("Building", 2, "currency", "", "currency: This must be filled in."),
    ("Building", 2, "time zone", "Paris", 'Did you mean "Europe/Paris"?'),
    ("Openings", 3, "number", "I", "row 3, number: I stands in row 2 of Openings already."),
    ("Openings", 3, "number", "", "Openings, row 3, number: This must be filled in."),
    ("Openings", 2, "width", "thirty", '"thirty" is not a length.'),
    ("Openings", 2, "width", dt.date(2026, 3, 8), "has made a date or time of this"),
    ("Openings", 2, "width", -4, "below zero"),
    ("Openings", 2, "width", "1.250 m", "width: 1.250 can be read as 1.25 or as 1250: type"),
    ("Openings", 2, "lights", "1,000", "1,000 can be read as 1 or as 1000. Type 1 or 1000."),
    ("Openings", 2, "lights", 27, "Panels of 27 lights cannot be lettered a to z:"),
    ("Openings", 2, "lights", 2.5, "2.5 is not a whole number. Give 1 to 40."),
    ("Openings", 2, "made", "31/02/1998", "February 1998 has 28 days"),
    ("Openings", 2, "title", "x" * 201, "This is 201 characters long. Keep it to 200."),
    ("Attached items", 2, "opening", "nIl", 'Opening "nIl" is not known. Did you mean "nII"?'),
    ("Attached items", 2, "kind", "placque", '"placque" is not known here. Did you mean "plaque"?'),
    ("Fixings", 2, "item", "P2", "nII has no item P2."),
    ("Fixings", 2, "count", 0, "0 is not possible here. Give 1 to 500."),
    ("Fixings", 2, "state", "loose", '"loose" is not known here. There is: sound, failed'),
]  # fmt: skip

FINDINGS_CASES = [
    ("Surveys", 3, "date", "05/04/2026", "two ways"),
    ("Surveys", 3, "date", "May 2026", '"May 2026" is not one day.'),
    ("Surveys", 3, "date", 46146, "46146 is not a date. Format the cell as a date"),
    ("Surveys", 3, "date", "2026-06-03", "2026-06-03 is still to come."),
    ("Surveys", 2, "date", "1015-06-01", "1015-06-01 is before 1800."),
    ("Surveys", 3, "survey", "2015", "2015 stands in row 2 of Surveys already."),
    ("Findings", 3, "survey", "2027", 'Survey "2027" is not known. Did you mean "2026"?'),
    ("Findings", 3, "opening", "xx", "Opening \"xx\" is not known."),
    ("Findings", 3, "panel", "9z", "I has no panel 9z."),
    ("Findings", 3, "panel", "3a", "Panel 3a is in nII, not I."),
    ("Findings", 4, "panel", "1a", "P1 is on panel 2a, not 1a."),
    ("Findings", 3, "kind", "failed joint", 'Did you mean "failed-solder-joint"?'),
    ("Findings", 3, "unit", "percent of area", "is not given in percent of area."),
    ("Findings", 3, "amount", "", "Say how many of the 30."),
    ("Findings", 3, "amount", 31, "The count, 31, is above the total it is out of."),
    ("Findings", 3, "amount", 2.5, "2.5 is no count. Give a whole number."),
    ("Findings", 3, "amount", -1, "-1 is not possible here."),
    ("Findings", 3, "amount", "1,500", "1,500 can be read as 1,5 or as 1500. Type 1,5 or 1500."),
    ("Findings", 3, "amount", "1.25.0", "1.25.0 is not a number: it is not clear where its"),
    ("Findings", 3, "amount", "9 joints", "“9 joints” is not a number. Type figures alone"),
    ("Findings", 3, "urgency class", 4, "4 is not possible here. Give 0 to 3."),
    ("Findings", 3, "can it come down", "maybe", '"maybe" is not known here.'),
    ("Findings", 3, "because", "", "Say why it cannot come down"),
    ("Findings", 3, "from", "floor", "This cannot be judged from the floor."),
    ("Findings", 4, "measure", "taken away", "Say where it is now."),
    ("Findings", 3, "continues", "2026-001", "A finding cannot continue itself."),
    ("Findings", 3, "continues", "2026-002", "2026-002 is at nII, not at I."),
    ("Findings", 3, "continues", "2014-001", 'Finding "2014-001" is not known.'),
    ("Findings", 2, "continues", "2026-001", "2026-001 was not seen before 2015-06-01."),
    ("Looked at", 3, "reason", "", "Say why it was not inspected."),
    ("Looked at", 3, "side", "inside", "This side is recorded already: nothing found."),
    ("Looked at", 3, "outcome", "seen", '"seen" is not known here.'),
    ("Photographs", 2, "opening", "", "It is not said what porch.jpg shows."),
    ("Photographs", 2, "survey", "2025", 'Survey "2025" is not known.'),
    ("Photographs", 3, "finding", "2026-009", 'Finding "2026-009" is not known.'),
    ("Photographs", 3, "file", "../tab.jpg", '"../tab.jpg" leads out of the folder.'),
    ("Photographs", 3, "file", "C:\\tab.jpg", "leads out of the folder."),
    ("Photographs", 3, "file", "tap.jpg", 'Did you mean "tab.jpg"?'),
    ("Photographs", 3, "opening", "sII", "2026-002 is of opening nII, not sII."),
    ("Actions", 2, "kind", "resolder", 'Kind of action "resolder" is not known.'),
    ("Actions", 2, "quantity", -3, "-3 is not possible here."),
    ("Actions", 2, "quantity", 1.5, "1.5 is no whole number of joints."),
    ("Actions", 2, "finding", "2026-001; 2026-002", "about I 1a, 2026-002 about nII P1."),
    ("Actions", 2, "finding", "2026-007", 'Finding "2026-007" is not known.'),
    ("Actions", 2, "option", "perhaps", '"perhaps" is not known here.'),
]  # fmt: skip


@pytest.mark.parametrize(("sheet", "row", "column", "value", "message"), REGISTER_CASES)
def test_a_mistake_in_the_register_is_named(tmp_path, sheet, row, column, value, message):
    register = changed(SMALL_REGISTER, sheet, row, column, value)
    expect(problems_in(small_folder(tmp_path, register=register)), message)


@pytest.mark.parametrize(("sheet", "row", "column", "value", "message"), FINDINGS_CASES)
def test_a_mistake_in_the_findings_is_named(tmp_path, sheet, row, column, value, message):
    findings = changed(SMALL_FINDINGS, sheet, row, column, value)
    expect(problems_in(small_folder(tmp_path, findings=findings)), message)


def expect(problems: list[str], message: str) -> None:
    assert any(message in problem for problem in problems), problems


# What others refer to, and cells that are wrong in two ways at once.
SEVERAL = ("survey", "opening", "finding", "file", "unit", "continues", "measure")


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value"),
    [case[:4] for case in FINDINGS_CASES if case[2] not in SEVERAL],
)
def test_one_mistake_is_one_problem(tmp_path, sheet, row, column, value):
    findings = changed(SMALL_FINDINGS, sheet, row, column, value)
    assert len(problems_in(small_folder(tmp_path, findings=findings))) == 1


def test_a_wrong_opening_is_not_called_unknown_as_well(tmp_path):
    register = changed(SMALL_REGISTER, "Openings", 3, "width", "thirty")
    (problem,) = problems_in(small_folder(tmp_path, register=register))
    assert problem.startswith("register.xlsx, Openings, row 3, width:")


def test_a_share_over_a_hundred_percent_is_refused(tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 3, "kind", "surface-deposit")
    findings = changed(findings, "Findings", 3, "unit", "percent of area")
    findings = changed(findings, "Findings", 3, "of", "")
    findings = changed(findings, "Findings", 3, "amount", 101)
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert "A share cannot be above 100 %." in problem


def test_a_percent_cell_read_as_a_fraction_is_asked_about(tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 3, "kind", "surface-deposit")
    findings = changed(findings, "Findings", 3, "unit", "percent of area")
    findings = changed(findings, "Findings", 3, "of", "")
    findings = changed(findings, "Findings", 3, "amount", 0.35)
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert "type 35" in problem


def test_a_danger_of_the_long_term_is_refused(tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 4, "urgency class", 0)
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert problem == (
        "findings.xlsx, Findings, row 4, urgency class: It can hurt someone where people pass or "
        "sit, so its urgency cannot be “Long term”: choose a higher one, or say that it cannot "
        "hurt anyone."
    )


def test_what_can_fall_and_is_not_answered_is_taken_and_nothing_is_refused_for_it(tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 4, "can it come down", "")
    assert problems_in(small_folder(tmp_path / "as it is", findings=findings)) == []
    findings = changed(findings, "Findings", 4, "urgency class", 0)
    assert problems_in(small_folder(tmp_path / "long term", findings=findings)) == []


def test_work_of_no_quantity_is_refused(tmp_path):
    findings = changed(SMALL_FINDINGS, "Actions", 2, "quantity", 0)
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert problem.startswith("findings.xlsx, Actions, row 2, quantity:")


def test_a_total_beside_anything_but_a_count_is_refused(tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 3, "kind", "surface-deposit")
    findings = changed(findings, "Findings", 3, "unit", "mm")
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert "Only a number of things is out of a total." in problem


@pytest.mark.parametrize(
    ("lump_sum", "reason", "message"),
    [(400, "", "Say why a lump sum stands"), ("", "All in", "Enter the lump sum, or empty")],
)
def test_a_lump_sum_needs_its_reason_and_a_reason_its_sum(tmp_path, lump_sum, reason, message):
    heading, *rows = SMALL_FINDINGS["Actions"]
    actions = [[*heading, "lump sum", "lump sum reason"], [*rows[0], lump_sum, reason], rows[1]]
    findings = {**SMALL_FINDINGS, "Actions": actions}
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert message in problem


def test_a_cost_that_no_action_shares_is_refused(tmp_path):
    root = small_folder(tmp_path / "visit", findings=without(SMALL_FINDINGS, "Actions"))
    (problem,) = problems_in(root)
    assert problem.startswith("findings.xlsx, Shared costs, row 2: There is no action")


@pytest.mark.parametrize("sheet", ["Building", "Openings"])
def test_a_missing_sheet_of_the_register_is_named(tmp_path, sheet):
    register = without(SMALL_REGISTER, sheet)
    problems = problems_in(small_folder(tmp_path, register=register))
    expect(problems, f'register.xlsx: The sheet "{sheet}" is missing. It has the columns')


@pytest.mark.parametrize("sheet", ["Surveys", "Findings"])
def test_a_missing_sheet_of_the_findings_is_named(tmp_path, sheet):
    findings = without(SMALL_FINDINGS, sheet)
    problems = problems_in(small_folder(tmp_path, findings=findings))
    expect(problems, f'findings.xlsx: The sheet "{sheet}" is missing.')


def test_other_sheets_may_be_missing(tmp_path):
    register = without(SMALL_REGISTER, "Fixings")
    findings = without(SMALL_FINDINGS, "Looked at", "Actions", "Shared costs")
    assert problems_in(small_folder(tmp_path, register=register, findings=findings)) == []


def test_a_sheet_of_an_unknown_name_is_named_with_the_nearest(tmp_path):
    register = {**SMALL_REGISTER, "Attached itmes": [["opening"], ["I"]], "Sheet1": []}
    (problem,) = problems_in(small_folder(tmp_path, register=register))
    assert problem == (
        "register.xlsx, Attached itmes: This sheet is not known here. "
        'Did you mean "Attached items"?'
    )


def test_a_sheet_that_is_there_twice_is_named(tmp_path):
    register = {**SMALL_REGISTER, "attached_items": SMALL_REGISTER["Attached items"]}
    (problem,) = problems_in(small_folder(tmp_path, register=register))
    assert "This sheet is there twice." in problem


def test_an_unknown_heading_is_named_with_the_nearest(tmp_path):
    rows = [list(row) for row in SMALL_REGISTER["Openings"]]
    rows[0][rows[0].index("width")] = "widht"
    problems = problems_in(small_folder(tmp_path, register={**SMALL_REGISTER, "Openings": rows}))
    expect(
        problems, 'Openings, row 1, widht: This heading is not known here. Did you mean "width"?'
    )


def test_a_heading_that_stands_twice_is_named(tmp_path):
    rows = [[*row, row[0]] for row in SMALL_REGISTER["Openings"]]
    (problem,) = problems_in(small_folder(tmp_path, register={**SMALL_REGISTER, "Openings": rows}))
    assert "This heading stands twice." in problem


def test_a_missing_column_is_named_once(tmp_path):
    rows = [row[1:] for row in SMALL_REGISTER["Openings"]]
    problems = problems_in(small_folder(tmp_path, register={**SMALL_REGISTER, "Openings": rows}))
    assert sum("Openings, row 1, number: This column is missing." in each for each in problems) == 1


def test_a_value_without_a_heading_is_named(tmp_path):
    rows = [list(row) for row in SMALL_REGISTER["Openings"]]
    rows[0].append("")
    rows[2].append("a stray note")
    (problem,) = problems_in(small_folder(tmp_path, register={**SMALL_REGISTER, "Openings": rows}))
    assert 'Openings, row 3: "a stray note" stands in a column without a heading.' in problem


def test_a_building_sheet_of_two_rows_or_none_is_refused(tmp_path):
    heading, row = SMALL_REGISTER["Building"]
    two = {**SMALL_REGISTER, "Building": [heading, row, ["B", *row[1:]]]}
    expect(problems_in(small_folder(tmp_path / "two", register=two)), "about one building")
    none = {**SMALL_REGISTER, "Building": [heading]}
    expect(
        problems_in(small_folder(tmp_path / "none", register=none)), "Building: There is no row."
    )


def test_a_photograph_that_nothing_names_is_a_problem(tmp_path):
    photographs = {**SMALL_PHOTOGRAPHS, "IMG_0042.JPG": SMALL_PHOTOGRAPHS["porch.jpg"]}
    (problem,) = problems_in(small_folder(tmp_path, photographs=photographs))
    assert problem == (
        "photographs/IMG_0042.JPG: It is not said what this photograph shows. List it in the sheet "
        "Photographs, or begin its name with the key of a finding."
    )


def test_a_photograph_listed_against_two_findings_is_a_problem(tmp_path):
    rows = [*SMALL_FINDINGS["Photographs"], ["TAB.JPG", "2026-001", "", "", ""]]
    findings = {**SMALL_FINDINGS, "Photographs": rows}
    (problem,) = problems_in(small_folder(tmp_path, findings=findings))
    assert "tab.jpg is listed against 2026-002 in row 3 of Photographs already." in problem


def test_a_photograph_listed_twice_against_the_same_finding_is_none(tmp_path):
    rows = [*SMALL_FINDINGS["Photographs"], ["photographs/tab.jpg", "2026-002", "", "nII", ""]]
    findings = {**SMALL_FINDINGS, "Photographs": rows}
    assert problems_in(small_folder(tmp_path, findings=findings)) == []


def test_a_photograph_named_after_one_finding_and_listed_with_another_is_a_problem(tmp_path):
    rows = [*SMALL_FINDINGS["Photographs"], ["2026-001 a.jpg", "2026-002", "", "", ""]]
    (problem,) = problems_in(
        small_folder(tmp_path, findings={**SMALL_FINDINGS, "Photographs": rows})
    )
    assert "The name of 2026-001 a.jpg says 2026-001, its row says 2026-002." in problem


def test_what_is_registered_may_be_referred_to(tmp_path):
    known = Known({"wI": KnownOpening(frozenset({"2a"}), {"P9": ""})})
    findings = changed(SMALL_FINDINGS, "Findings", 4, "opening", "wI")
    findings = changed(findings, "Findings", 4, "item", "P9")
    assert problems_in(small_folder(tmp_path, findings=findings), known) == []


def test_a_finding_may_continue_one_of_an_earlier_folder(tmp_path):
    earlier = KnownFinding("nII", dt.date(2010, 5, 1), item="P1")
    known = Known(findings={"2010-1": earlier})
    findings = changed(SMALL_FINDINGS, "Findings", 4, "continues", "2010-1")
    assert problems_in(small_folder(tmp_path, findings=findings), known) == []


def test_one_of_an_earlier_folder_on_another_subject_asks_how_that_comes(tmp_path):
    earlier = KnownFinding("nII", dt.date(2010, 5, 1), panel="3a")
    known = Known(findings={"2010-1": earlier})
    findings = changed(SMALL_FINDINGS, "Findings", 4, "continues", "2010-1")
    (problem,) = problems_in(small_folder(tmp_path, findings=findings), known)
    assert "row 4, place changed: 2010-1 was at nII 3a, this one is at nII P1. Say how" in problem


@pytest.mark.parametrize(
    ("earlier", "message"),
    [
        (KnownFinding("sII", dt.date(2010, 5, 1)), "2010-1 is at sII, not at nII."),
        (
            KnownFinding("nII", dt.date(2026, 5, 4), item="P1"),
            "2010-1 was not seen before 2026-05-04.",
        ),
    ],
)
def test_a_finding_of_an_earlier_folder_is_continued_later_and_in_place(tmp_path, earlier, message):
    known = Known(findings={"2010-1": earlier})
    findings = changed(SMALL_FINDINGS, "Findings", 4, "continues", "2010-1")
    (problem,) = problems_in(small_folder(tmp_path, findings=findings), known)
    assert message in problem


def several(continues, **changes):
    """The small folder with two findings of 2015 in one place, and what one of 2026 comes from."""
    findings = changed(SMALL_FINDINGS, "Findings", 3, "continues", continues)
    rows = [list(row) for row in findings["Findings"]]
    rows.insert(2, ["2015-004", 2015, *rows[1][2:]])
    return {**findings, "Findings": rows, **changes}


def test_a_finding_may_come_from_several_and_several_from_one(tmp_path):
    merged = several("2015-003; 2015-004")
    assert problems_in(small_folder(tmp_path / "merged", findings=merged)) == []
    parted = [list(row) for row in SMALL_FINDINGS["Findings"]]
    parted.append(["2026-003", *parted[2][1:]])
    findings = {**SMALL_FINDINGS, "Findings": parted}
    assert problems_in(small_folder(tmp_path / "parted", findings=findings)) == []


@pytest.mark.parametrize(
    ("continues", "message"),
    [
        ("2015-003; 2015-003", "2015-003 is named twice. Name it once."),
        ("2015-003; 2026-001", "A finding cannot continue itself."),
        ("2015-003; 2026-002", "2026-002 is at nII, not at I."),
        ("2015-003; 2015-009", 'Finding "2015-009" is not known.'),
    ],
)
def test_each_of_several_that_a_finding_comes_from_is_checked(tmp_path, continues, message):
    expect(problems_in(small_folder(tmp_path, findings=several(continues))), message)


def test_a_photograph_may_show_several_findings_of_one_opening(tmp_path):
    rows = [*SMALL_FINDINGS["Photographs"], ["both.jpg", "2015-003; 2015-004", "", "", ""]]
    photographs = {**SMALL_PHOTOGRAPHS, "both.jpg": SMALL_PHOTOGRAPHS["tab.jpg"] + b" "}
    findings = several("2015-003", Photographs=rows)
    assert problems_in(small_folder(tmp_path, findings=findings, photographs=photographs)) == []
    rows[-1][1] = "2026-001; 2026-002"
    other = several("2015-003", Photographs=rows)
    (problem,) = problems_in(
        small_folder(tmp_path / "other", findings=other, photographs=photographs)
    )
    assert problem.endswith("finding: 2026-002 is of opening nII, not I.")


def test_a_unit_is_asked_for_where_there_is_a_choice(tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 3, "unit", "")
    assert problems_in(small_folder(tmp_path / "one", findings=findings)) == []
    findings = changed(findings, "Findings", 3, "kind", "surface-deposit")
    (problem,) = problems_in(small_folder(tmp_path / "two", findings=findings))
    assert problem.endswith("unit: Say what the number counts or measures.")
