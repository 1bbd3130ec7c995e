"""The dangers on page one: where, what could happen, what holds it, who does what by when."""

import datetime as dt

import pytest
from django.utils import timezone

from condition.documents.layout import MOST_ROWS, danger_rows, report_html
from condition.documents.page_one import in_words
from condition.models import ReportTerms
from tests.condition.churches import VISIT, Church
from tests.condition.reports import act, classed
from tests.factories import AttachedItemFactory, PanelFactory

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def church() -> Church:
    return Church()


def only_row(church: Church) -> dict:
    (row,) = danger_rows(church.report())
    return row


def task(row: dict, key: str) -> dict:
    (found,) = (each for each in row["tasks"] if each["key"] == key)
    return found


# Is anybody in danger.
def test_without_an_open_danger_nothing_is_claimed_but_what_was_recorded(church):
    page = church.page()
    assert (page["places"], page["rows"]) == (0, [])
    assert page["answer"] == "No open danger is recorded."
    assert "not that nothing can fall" in page["lead"]


def test_the_first_sentences_tell_what_is_held_from_what_is_not(church):
    church.danger()
    out = "keep people out from under there now, inside and outside."
    assert church.page()["lead"] == f"Nothing recorded holds it: {out}"
    wired = church.danger("nIV")
    act(wired, "measure", VISIT, measure="held", fixed_to="bar", because="Wired")
    lead = church.page()["lead"]
    assert lead.startswith(f"At one of them nothing recorded holds it: {out}")
    assert lead.endswith("One place is held for the time being.")


def test_several_dangers_of_one_thing_on_one_side_are_one_place(church):
    plaque = AttachedItemFactory(opening=church.windows["nIV"], number="P1")
    church.danger("nIV", attached_item=plaque, kind="loose-item")
    church.danger("nIV", attached_item=plaque, kind="bent-item")
    church.danger("nIV", attached_item=plaque, side="outside")
    church.danger("nII")
    page = church.page()
    assert (page["places"], len(page["rows"])) == (3, 4)
    assert page["answer"] == "Yes, at three places."
    same = [row["same"] for row in danger_rows(church.report())]
    assert sorted(same) == [False, False, False, True]


def test_a_place_is_held_only_where_everything_there_is(church):
    wired = church.danger()
    act(wired, "measure", VISIT, measure="held", fixed_to="bar", because="Wired")
    church.danger(kind="loose-glass")
    page = church.page()
    assert (page["places"], page["places_held"], len(page["rows"])) == (1, 0, 2)
    assert page["lead"].startswith("Nothing recorded holds it:")


def test_a_count_is_spoken_up_to_twelve():
    assert [in_words(count) for count in (1, 2, 12, 13, 30)] == ["one", "two", "twelve", "13", "30"]


def test_a_danger_of_an_earlier_survey_stands_there_though_this_one_did_not_see_it(church):
    church.danger(opened_on=dt.date(2025, 3, 2))
    row = only_row(church)
    assert row["since_words"] == "Open since 2 March 2025, not seen again on this visit."
    assert not row["seen_again"]
    assert "not seen again on this visit" in report_html(church.report())


def test_one_told_by_telephone_after_the_visit_is_not_said_to_be_unseen(church):
    church.danger(opened_on=dt.date(2026, 6, 1), source="telephone")
    assert only_row(church)["since_words"] == "Open since 1 June 2026."


def test_one_this_survey_saw_again_says_so(church):
    danger = church.danger(opened_on=dt.date(2025, 3, 2))
    church.finding("nII", 1, danger=danger, **classed(3, 3, 2))
    row = only_row(church)
    assert row["since_words"] == "Open since 2 March 2025, seen again on this visit."
    assert row["findings"] == [1]


@pytest.mark.parametrize(
    ("answer", "under", "words"),
    [
        ("", "people", "Can it fall? Not answered, so counted as danger."),
        ("could", "", "Who can be under it? Not answered, so counted as danger."),
        ("not judged", "people", "Could not be judged, so counted as danger."),
        ("now", "people", "It can come down now."),
    ],
)
def test_what_was_not_answered_counts_as_danger_and_is_said(church, answer, under, words):
    church.building.under_inside = under
    church.building.save()
    church.danger(falls=answer)
    row = only_row(church)
    assert row["group"] == "danger"
    assert words in row["happens"]


def test_where_only_people_let_in_can_be_stands_in_a_group_of_its_own(church):
    church.danger()
    church.windows["nIV"].under_inside = "let in"
    church.windows["nIV"].save()
    church.danger("nIV")
    page = church.page()
    assert (page["places"], page["let_in"]) == (1, 1)
    assert [row["group"] for row in page["rows"]] == ["danger", "let in"]
    assert "only people you let in" in page["lead"]


def test_what_sleeps_or_may_be_lost_stands_with_its_window_alone(church):
    church.windows["nIV"].under_inside = "nobody"
    church.windows["nIV"].save()
    church.danger("nIV", note="Asleep")
    plate = AttachedItemFactory(
        opening=church.windows["nII"], weighed_kg="0.3", lower_edge_mm=900,
        lower_edge_typed="900", has_sharp_edges=False,
    )  # fmt: skip
    church.danger("nII", attached_item=plate, kind="loose-item")
    snapshot = church.report()
    assert snapshot["page_one"]["rows"] == []
    assert {each["standing"] for each in snapshot["dangers"]} == {"sleeping", "may be lost"}
    # Neither window was looked at: each has its section all the same.
    assert [opening["number"] for opening in snapshot["openings"]] == ["nII", "nIV"]
    text = report_html(snapshot)
    assert "Light and near the floor: it may be lost" in text
    assert "nobody can be under it" in text


def test_one_judged_not_to_come_down_says_who_judged_it_and_why(church):
    danger = church.danger(falls=False)
    act(danger, "answer", VISIT, answer="no", because="pulled, steady", judged_from="tower",
        by_name="Tom Ashby", by_trade="glazier", knew_until=timezone.now())  # fmt: skip
    church.finding("nII", 1, danger=danger)
    snapshot = church.report()
    assert snapshot["page_one"]["rows"] == []
    text = report_html(snapshot)
    assert "Cannot come down: pulled, steady" in text
    assert "Tom Ashby, glazier, from a tower, 12 May 2026" in text


# What holds it, and who does what.
def test_what_holds_it_says_since_when_and_who_looks_again_by_which_day(church):
    danger = church.danger()
    wire = act(danger, "measure", VISIT, measure="held", fixed_to="bar", because="Two wires",
               keeper="The verger", look_by=dt.date(2026, 6, 11))  # fmt: skip
    act(danger, "look", dt.date(2026, 6, 3), of=wire, holds=True, look_by=dt.date(2026, 7, 3))
    row = only_row(church)
    assert row["held_words"] == "Two wires. Since 12 May 2026; last looked at on 3 June 2026."
    assert row["held"]
    look = task(row, "look")
    assert (look["who"], look["by_words"]) == ("The verger", "by 3 July 2026")
    page = church.page()
    assert page["places_held"] == 1
    assert page["lead"] == "It is held for the time being."


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "Nothing recorded holds it."),
        ({"measure": "kept clear", "because": "Pew roped off"}, "Done: Pew roped off, 12 May 2026"),
        ({"measure": "held", "fixed_to": "lead"}, "Nothing recorded holds it. Done: Held, lead"),
        (
            {"measure": "held", "fixed_to": "bar", "look_by": dt.date(2026, 6, 19)},
            "Not held: nobody has looked since 12 May 2026",
        ),
    ],
)
def test_nothing_is_said_to_hold_but_what_counts_on_that_day(church, fields, words):
    """On 20 June, by the date at the building, the look of the 19th is overdue."""
    danger = church.danger()
    if fields:
        act(danger, "measure", VISIT, **fields)
    row = only_row(church)
    assert words in row["held_words"]
    assert not row["held"]
    out = task(row, "keep out")
    assert (out["who"], out["by"], out["by_words"]) == (
        "Whoever has charge of the building",
        "2026-06-20",
        "now",
    )


def test_the_keeper_is_who_keeps_people_out_where_one_is_named(church):
    danger = church.danger()
    act(danger, "measure", VISIT, measure="told", keeper="The verger")
    assert task(only_row(church), "keep out")["who"] == "The verger"


@pytest.mark.parametrize(
    ("urgency", "by", "words"),
    [
        (3, "2026-06-12", "by 12 June 2026; that day has passed"),
        (2, "2029-05-12", "by 12 May 2029"),
        # What can come down now, and nothing holds, is urgent whatever class was given.
        (0, "2026-06-12", "by 12 June 2026; that day has passed"),
    ],
)
def test_the_day_of_the_repair_follows_from_the_class_and_the_terms(church, urgency, by, words):
    ReportTerms.objects.create(building=church.building, short_years=3)
    danger = church.danger(falls="could" if urgency == 2 else "now")
    church.finding("nII", 1, danger=danger, urgency_class=urgency)
    repair = task(only_row(church), "repair")
    assert (repair["by"], repair["by_words"]) == (by, words)


def test_the_most_pressing_stand_first_and_none_is_left_out(church):
    for number in range(8):
        part = PanelFactory(opening=church.windows["nII"], number=f"{number}a")
        danger = church.danger(panel=part)
        if number % 2:
            act(danger, "measure", VISIT, measure="held", fixed_to="bar", because="Wired")
    snapshot = church.report()
    rows = danger_rows(snapshot)
    assert [row["held"] for row in rows] == [False] * 4 + [True] * 4
    text = report_html(snapshot)
    assert f"{8 - MOST_ROWS} more dangers stand in the table “The other dangers”." in text
    first, _, rest = text.partition("<h2>The other dangers")
    for row in rows[:MOST_ROWS]:
        assert row["code"] in first
    assert all(f'<span class="code">{row["code"]}</span>' in rest for row in rows[MOST_ROWS:])
