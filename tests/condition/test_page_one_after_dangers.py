"""What page one says after the dangers: taken away, shut, to decide, and each window once."""

import datetime as dt

import pytest
from django.db import connection

from condition.documents import decisions
from condition.documents.first_page import ToDecide
from condition.documents.layout import report_html
from condition.models import Area, AreaClosure
from tests.condition.churches import VISIT, Church
from tests.condition.reports import act, classed
from tests.factories import AttachedItemFactory, InspectionFactory

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def church() -> Church:
    return Church()


# What was taken away, what is shut.
def test_what_was_taken_away_says_where_it_is_and_who_has_it(church):
    plaque = AttachedItemFactory(
        opening=church.windows["nIV"], number="P1", placement="taken down", placed_at="Vestry safe"
    )
    danger = church.danger("nIV", attached_item=plaque, kind="loose-item")
    act(danger, "measure", VISIT, measure="taken away", placed="Vestry safe", holder="The sexton")
    page = church.page()
    (taken,) = page["taken"]
    assert (taken["where"], taken["code"]) == ("Ruth, north wall", "nIV P1")
    assert (taken["placed"], taken["holder"]) == ("Vestry safe", "The sexton")
    assert (page["places"], page["taken_places"]) == (0, 1)
    assert "nobody has said yet that it is over" in page["lead"]
    act(danger, "end", dt.date(2026, 6, 1), end="taken away", placed="Studio", holder="The studio")
    page = church.page()
    assert [each["placed"] for each in page["taken"]] == ["Studio"]
    assert (page["rows"], page["taken_places"]) == ([], 0)


def test_what_hangs_in_its_place_again_is_not_told_as_taken_away(church):
    plaque = AttachedItemFactory(opening=church.windows["nIV"], number="P1")
    danger = church.danger("nIV", attached_item=plaque, kind="loose-item")
    act(danger, "end", VISIT, end="taken away", placed="Studio", holder="The studio")
    act(danger, "put back", dt.date(2026, 6, 1))
    page = church.page()
    assert page["taken"] == []
    assert page["places"] == 1


def test_the_closed_areas_are_listed_and_of_the_rest_no_more_than_is_recorded(church):
    assert church.page()["shut_words"].startswith("No area is recorded as closed.")
    danger = church.danger()
    for hour, name in ((9, "The font pew"), (10, "The north path")):
        AreaClosure.objects.create(
            danger=danger,
            area=Area.objects.create(building=church.building, name=name),
            closed_at=dt.datetime(2026, 5, 12, hour, tzinfo=dt.UTC),
        )
    # The danger is over; the areas stay shut until somebody reopens them.
    act(danger, "end", dt.date(2026, 6, 1), end="removed")
    snapshot = church.report()
    page = snapshot["page_one"]
    assert [each["area"] for each in page["shut"]] == ["The north path", "The font pew"]
    assert page["shut"][0]["since_words"] == "12 May 2026"
    assert page["shut_words"].startswith("No other area is recorded as closed.")
    assert page["places"] == 0


# The meeting.
def test_the_quote_that_waits_is_asked_for_with_its_payment_and_its_tax(church, monkeypatch):
    quote = ToDecide("Q-7", "Repairs", "£120.00", "£20.00 is in it", "£60.00", "2026-09-01", "then")
    monkeypatch.setattr(decisions, "quotes_to_decide", [lambda building: [quote]])
    snapshot = church.report()
    assert [each["number"] for each in snapshot["page_one"]["decisions"]] == ["Q-7"]
    text = report_html(snapshot)
    assert "First payment: £60.00." in text
    assert "comes to £120.00; £20.00 is in it." in text
    assert "ask for consent: Diocesan advisory committee." in text


def test_without_a_quote_or_a_consent_body_page_one_says_that(church):
    church.building.consent_body = ""
    church.building.save()
    snapshot = church.report()
    assert "No quote of ours waits for a decision" in report_html(snapshot)
    assert (
        "Whose consent work on the windows needs is not recorded"
        in (snapshot["page_one"]["decide_words"])
    )


# The windows, and the rest.
def test_each_window_is_counted_once_by_the_worst_that_is_known_of_it(church):
    church.finding("nII", 1, **classed(3, 2, 2))
    church.finding("nII", 2, **classed(1, 1, 1))
    church.finding("nIII", 3)
    InspectionFactory(survey=church.survey, opening=church.windows["nIV"])
    # Nobody looked at nV: a danger told by telephone still stands there.
    groups = {each["key"]: each["windows"] for each in church.page()["windows"]}
    assert groups == {
        "now": [],
        "soon": ["nII"],
        "later": [],
        "nothing": ["nIV"],
        "not judged": ["nIII"],
        "not seen": ["nV"],
    }
    church.danger("nV", source="telephone")
    groups = {each["key"]: each for each in church.page()["windows"]}
    assert groups["now"]["windows"] == ["nV"]
    assert "not seen" not in groups
    assert groups["soon"]["by_words"] == "by 12 May 2028"


def test_its_counts_are_those_of_the_database_counted_another_way(church):
    """By statements of our own, over a building with dangers of every standing."""
    church.windows["nIV"].under_inside = "nobody"
    church.windows["nIV"].save()
    danger = church.danger()
    church.danger("nIV")
    over = church.danger("nV")
    act(over, "end", VISIT, end="removed")
    back = church.danger("nIII")
    wrong = act(back, "end", VISIT, end="removed")
    act(back, "taken back", dt.date(2026, 6, 1), of=wrong, because="Another one was meant")
    church.finding("nII", 1, danger=danger)
    counts = church.report()["counts"]
    with connection.cursor() as cursor:
        cursor.execute("SELECT COUNT(*) FROM condition_danger")
        (all_dangers,) = cursor.fetchone()
        cursor.execute(
            "SELECT COUNT(DISTINCT e.danger_id) FROM condition_dangeract e WHERE e.act = 'end' AND "
            "e.id NOT IN (SELECT b.of_id FROM condition_dangeract b WHERE b.act = 'taken back')"
        )
        (ended,) = cursor.fetchone()
    assert counts["dangers"] == all_dangers - ended == 3
    page = church.page()
    assert page["places"] == 2
    assert sum(group["count"] for group in page["windows"]) == counts["openings"] == 4


def test_repairs_are_told_as_far_as_the_comparison_records_them(church):
    assert church.page()["repairs"].startswith("There is no earlier survey to compare with")


def test_the_report_says_which_moment_it_shows_by_the_clock_at_the_building(church):
    snapshot = church.report()
    assert snapshot["moment"] == "2026-06-20T10:30:00+12:00"
    assert snapshot["page_one"]["moment_words"] == "20 June 2026, 10:30"
    text = report_html(snapshot)
    assert text.count("20 June 2026, 10:30") == 2


def test_the_queries_do_not_grow_with_the_dangers(church, count_queries):
    def hang(numbers: range) -> None:
        for number in numbers:
            plaque = AttachedItemFactory(
                opening=church.windows["nIV"], number=f"P{number}", lower_edge_mm=900,
                lower_edge_typed="900", has_sharp_edges=False,
            )  # fmt: skip
            danger = church.danger("nIV", attached_item=plaque, kind="loose-item")
            church.finding("nIV", number, danger=danger, attached_item=plaque)
            act(danger, "measure", VISIT, measure="held", fixed_to="bar", because="Wired")

    hang(range(1, 3))
    few = count_queries(church.report)
    hang(range(3, 15))
    assert count_queries(church.report) == few
