"""A folder for a building that is registered: agreed with, added to, never written over."""

import datetime as dt
from decimal import Decimal

import pytest
from django.utils import timezone

from condition.models import Area, AreaClosure, Finding, Photograph, Survey
from restoration.services.studios import open_studio
from sites.models import AttachedItem, Building, Change, Fixing, Opening, Panel
from tests.factories import OpeningFactory
from tests.restoration.visit_folders import (
    SMALL_FINDINGS,
    SMALL_PHOTOGRAPHS,
    SMALL_REGISTER,
    changed,
    problems_of,
    quietly,
    small_folder,
    state_of_everything,
)

# Reading and matching: what the database holds to is tried by `test_visit_folder_writing.py`.
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def studio(files):
    return open_studio("Alder Lane Glass")


@pytest.fixture
def take_in(studio, user):
    """A function that takes a folder in, quietly."""
    return quietly(studio, user)


@pytest.fixture
def later_visit(tmp_path):
    """A function that makes the folder of a later visit to the small folder's building."""

    def make(register=SMALL_REGISTER, name="later", **findings):
        books = {
            "Surveys": [["survey", "date", "surveyors"], ["2026b", "2026-10-02", "B. Glass"]],
            "Findings": [
                ["finding", "survey", "opening", "panel", "kind", "continues"],
                ["b-1", "2026b", "I", "1a", "failed-solder-joint", "2026-001"],
            ],
        }
        return small_folder(
            tmp_path / name, register=register, findings=books | findings, photographs={}
        )

    return make


@pytest.fixture
def registered(take_in, tmp_path):
    take_in(small_folder(tmp_path / "first"))
    return Building.objects.get()


def test_rows_that_agree_are_used_as_they_are(take_in, registered, later_visit):
    before = (Opening.objects.count(), Panel.objects.count(), Fixing.objects.count())
    brought = take_in(later_visit())
    assert (Opening.objects.count(), Panel.objects.count(), Fixing.objects.count()) == before
    assert brought.counts["openings"] == brought.counts["panels"] == brought.counts["fixings"] == 0
    assert Survey.objects.filter(building=registered).count() == 3
    assert not Change.objects.filter(table="sites_opening").exists()


def test_a_finding_continues_one_of_an_earlier_folder_by_its_key(take_in, registered, later_visit):
    take_in(later_visit())
    newest = Finding.objects.get(survey__day=dt.date(2026, 10, 2))
    assert newest.continues.survey.day == dt.date(2026, 5, 4)
    assert newest.continues.number == 1


def test_a_finding_continued_since_is_not_continued_again(take_in, registered, later_visit):
    take_in(later_visit())
    third = later_visit(
        name="third",
        Surveys=[["survey", "date", "surveyors"], ["2026b", "2026-10-20", "B. Glass"]],
    )
    (problem,) = problems_of(take_in, third)
    assert "2026-001 is continued by Finding 1 of 2026-10-02 already. Continue that one." in problem


def test_new_rows_are_added_and_open_facts_filled_in(take_in, registered, later_visit):
    register = changed(SMALL_REGISTER, "Openings", 4, "title", "The Harvest")
    register = changed(register, "Openings", 4, "width", '20 1/2"')
    register["Openings"].append(["wI", "The Rose", "", "", "", "", ""])
    take_in(later_visit(register))
    filled = Opening.objects.get(number="sII")
    assert (filled.title, filled.width_mm) == ("The Harvest", Decimal("520.7"))
    assert Opening.objects.filter(number="wI").exists()
    change = Change.objects.get(table="sites_opening")
    assert change.before["title"] == ""


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value", "message"),
    [
        ("Openings", 2, "title", "The Reaper", 'says "The Sower", this row says "The Reaper"'),
        ("Openings", 2, "width", "874", "says \"34 3/8\"\", this row says \"874\""),
        ("Openings", 2, "made", "1950", 'says "c. 1931", this row says "1950"'),
        ("Attached items", 2, "material", "bronze", 'says "brass", this row says "bronze"'),
        ("Building", 2, "currency", "EUR", 'says "USD", this row says "EUR"'),
        ("Fixings", 2, "count", 2, "3 × Soldered tab, Failed"),
    ],
)  # fmt: skip
def test_rows_at_odds_with_the_register_are_named_with_both_values(
    take_in, registered, later_visit, files, sheet, row, column, value, message
):
    before = state_of_everything(files)
    found = problems_of(take_in, later_visit(changed(SMALL_REGISTER, sheet, row, column, value)))
    assert any(message in problem for problem in found), found
    assert state_of_everything(files) == before


@pytest.mark.parametrize(
    ("column", "value"), [("width", "873.1250"), ("made", "about 1931"), ("title", " The  Sower ")]
)
def test_the_same_fact_in_other_words_agrees(take_in, registered, later_visit, column, value):
    take_in(later_visit(changed(SMALL_REGISTER, "Openings", 2, column, value)))
    assert Opening.objects.get(number="I").made == "c. 1931"


def test_a_survey_that_is_recorded_is_not_recorded_twice(take_in, registered, tmp_path):
    findings = changed(SMALL_FINDINGS, "Findings", 4, "amount", 2)
    found = problems_of(take_in, small_folder(tmp_path / "again", findings=findings))
    assert sum("is recorded already" in problem for problem in found) == 2


def test_a_photograph_that_is_filed_is_not_filed_elsewhere(take_in, registered, later_visit):
    root = later_visit()
    (root / "photographs").mkdir(exist_ok=True)
    (root / "photographs" / "b-1.jpg").write_bytes(SMALL_PHOTOGRAPHS["tab.jpg"])
    (problem,) = problems_of(take_in, root)
    assert problem.startswith("photographs/b-1.jpg: This very photograph is here already, with “2 ")


def test_a_photograph_that_was_not_filed_is_filed_by_the_folder(take_in, registered, later_visit):
    loose = Photograph.objects.get(name="porch.jpg")
    Photograph.objects.filter(pk=loose.pk).update(survey=None, opening=None)
    root = later_visit()
    (root / "photographs").mkdir(exist_ok=True)
    (root / "photographs" / "b-1.jpg").write_bytes(SMALL_PHOTOGRAPHS["porch.jpg"])
    take_in(root)
    loose.refresh_from_db()
    assert loose.findings.get().survey.day == dt.date(2026, 10, 2)
    assert Photograph.objects.count() == 4


def test_openings_of_the_register_need_not_stand_in_the_folder(take_in, registered, later_visit):
    OpeningFactory(building=registered, number="NIV")
    take_in(
        later_visit(
            Findings=[
                ["finding", "survey", "opening", "kind"],
                ["b-1", "2026b", "NIV", "cracked-glass"],
            ]
        )
    )
    assert Finding.objects.filter(opening__number="NIV").exists()


def test_who_did_it_is_in_the_history(take_in, registered, later_visit, user):
    take_in(later_visit(changed(SMALL_REGISTER, "Openings", 4, "title", "The Harvest")))
    assert Change.objects.get(table="sites_opening").actor == str(user.pk)


def test_another_studio_s_building_of_the_same_name_is_not_touched(
    take_in, registered, user, tmp_path
):
    other = open_studio("Quarry Street Glass")
    quietly(other, user)(small_folder(tmp_path / "first"))
    assert Building.objects.count() == 2
    assert Survey.objects.filter(building=registered).count() == 2


def test_the_same_building_in_other_capitals_is_not_a_second_one(take_in, tmp_path):
    take_in(small_folder(tmp_path / "first"))
    register = changed(SMALL_REGISTER, "Building", 2, "name", "ST  WENFRIC")
    (problem,) = problems_of(take_in, small_folder(tmp_path / "again", register=register))
    assert '"St Wenfric" in "Marlow Fen" is registered already.' in problem
    assert Building.objects.count() == 1


PLACED = {
    "placement": "taken down",
    "placed at": "Vestry safe",
    "held by": "The warden",
    "placed since": "2026-05-04",
    "lower edge": "2.4 m",
    "has sharp edges": "no",
}


def with_columns(book, sheet, columns):
    """A workbook with more columns, the same in every row."""
    head, *rows = book[sheet]
    more = [[*row, *columns.values()] for row in rows]
    return {**book, sheet: [[*head, *columns], *more]}


def test_where_an_item_is_and_what_its_danger_is_judged_by_is_taken_in(take_in, tmp_path):
    register = with_columns(SMALL_REGISTER, "Attached items", PLACED)
    take_in(small_folder(tmp_path, register=register))
    item = AttachedItem.objects.get()
    assert (item.placement, item.placed_at, item.held_by) == (
        "taken down",
        "Vestry safe",
        "The warden",
    )
    assert (item.placed_since, item.lower_edge_typed, item.lower_edge_mm) == (
        dt.date(2026, 5, 4),
        "2.4 m",
        2400,
    )
    assert item.has_sharp_edges is False


def test_an_item_taken_down_says_where_it_is_and_who_holds_it(take_in, tmp_path):
    wrong = with_columns(SMALL_REGISTER, "Attached items", {"placement": "taken down"})
    assert problems_of(take_in, small_folder(tmp_path, register=wrong)) == [
        "register.xlsx, Attached items, row 2, held by: Say who holds it, or who has the key.",
        "register.xlsx, Attached items, row 2, placed at: Say where it is kept.",
    ]


def test_a_folder_takes_down_nothing_that_is_registered_as_hanging(
    registered, take_in, later_visit
):
    register = with_columns(SMALL_REGISTER, "Attached items", PLACED)
    (problem,) = problems_of(take_in, later_visit(register=register))
    assert 'placement: The register says "in place", this row says "taken down".' in problem


def test_who_can_be_under_its_windows_is_kept_of_a_building_and_of_an_opening(take_in, tmp_path):
    under = {"under inside": "people", "under outside": "nobody"}
    register = with_columns(SMALL_REGISTER, "Building", under)
    register = with_columns(register, "Openings", {"under outside": "let in"})
    take_in(small_folder(tmp_path, register=register))
    opening = Opening.objects.first()
    assert (opening.who_is_under("inside"), opening.who_is_under("outside")) == ("people", "let in")


NO = {"can it come down": "no", "because": "Pulled, steady", "from": "ladder"}


def seen_again(**says):
    """The row of the plaque that hung by its last tab, seen again."""
    row = {
        "finding": "b-2", "survey": "2026b", "opening": "nII", "item": "P1",
        "kind": "item-fixing-failed", "continues": "2026-002", **says,
    }  # fmt: skip
    return [list(row), list(row.values())]


def test_a_sighting_of_a_later_folder_goes_on_with_the_danger_of_an_earlier_one(
    registered, take_in, later_visit
):
    take_in(later_visit(Findings=seen_again(**NO)))
    danger = Finding.objects.get(own_key="2026-002").danger
    assert Finding.objects.get(own_key="b-2").danger == danger
    assert danger.state_on().standing == "answered no"


def test_a_folder_says_no_to_nothing_for_which_an_area_stands_closed(
    registered, take_in, later_visit
):
    danger = Finding.objects.get(own_key="2026-002").danger
    area = Area.objects.create(building=registered, name="The front pews")
    AreaClosure.objects.create(danger=danger, area=area, closed_at=timezone.now())
    (problem,) = problems_of(take_in, later_visit(Findings=seen_again(**NO)))
    assert problem.startswith(
        "findings.xlsx, Findings, row 2, can it come down: An area stands closed for this danger"
    )


def test_a_folder_lets_nobody_judge_what_is_not_theirs(registered, take_in, later_visit):
    findings = [
        ["finding", "survey", "opening", "kind", *NO],
        ["b-3", "2026b", "nII", "damaged-electric", *NO.values()],
    ]
    (problem,) = problems_of(take_in, later_visit(Findings=findings))
    assert "This is not for a surveyor to say. It takes: electrician." in problem
