"""Page one of a report: who is in danger, what holds it, who does what by when, and the rest."""

import datetime as dt

import pytest
from django.db import connection
from django.utils import timezone

from condition.documents import decisions
from condition.documents.consistency import contradictions
from condition.documents.first_page import ToDecide
from condition.documents.layout import MOST_ROWS, danger_rows, report_html
from condition.documents.page_one import in_words
from condition.models import Area, AreaClosure, ReportTerms
from restoration.services.studios import open_studio
from tests.condition.reports import act, classed, report_of
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    DangerFactory,
    FindingFactory,
    InspectionFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

VISIT = dt.date(2026, 5, 12)
# 20 June at the building, where it is already the 20th while it is the 19th in London.
NOW = dt.datetime(2026, 6, 19, 22, 30, tzinfo=dt.UTC)


class Church:
    """A building with four windows and a survey of 12 May; dangers are added by each test."""

    def __init__(self) -> None:
        self.building = BuildingFactory(
            studio=open_studio("Withy Brook Glass"),
            country="GB",
            time_zone="Pacific/Auckland",
            consent_body="Diocesan advisory committee",
            under_inside="people",
            under_outside="people",
        )
        self.kinds = {kind.code: kind for kind in self.building.studio.finding_kinds.all()}
        self.windows = {
            number: OpeningFactory(
                building=self.building, number=number, title=title, wall="north", order=number
            )
            for number, title in (("nII", "The Sower"), ("nIII", ""), ("nIV", "Ruth"), ("nV", ""))
        }
        self.survey = SurveyFactory(building=self.building, day=VISIT)

    def danger(self, window: str = "nII", *, kind: str = "slipped-glass", **fields):
        fields = {"side": "inside", "opened_on": VISIT} | fields
        return DangerFactory(
            building=self.building, kind=self.kinds[kind], opening=self.windows[window], **fields
        )

    def finding(self, window: str, number: int, kind: str = "perished-cement", **fields):
        return FindingFactory(
            survey=self.survey,
            opening=self.windows[window],
            kind=self.kinds[kind],
            number=number,
            side="inside",
            **fields,
        )

    def report(self, moment: dt.datetime = NOW) -> dict:
        snapshot = report_of(self.survey, moment)
        assert contradictions(snapshot) == []
        return snapshot

    def page(self, moment: dt.datetime = NOW) -> dict:
        return self.report(moment)["page_one"]


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
        ("", "people", "Can it come down? Not answered, so counted as danger."),
        ("could", "", "Who can be under it? Not answered, so counted as danger."),
        ("not judged", "people", "Could not be judged, so counted as danger."),
        ("now", "people", "It can come down now."),
    ],
)
def test_what_was_not_answered_counts_as_danger_and_is_said(church, answer, under, words):
    church.building.under_inside = under
    church.building.save()
    church.danger(answer=answer)
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
    danger = church.danger(answer="")
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
    assert "One place is held for the time being." in page["lead"]


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
    danger = church.danger(answer="could" if urgency == 2 else "now")
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
    assert f"{8 - MOST_ROWS} more dangers stand from the next page on." in text
    first, _, rest = text.partition("The other dangers")
    for row in rows[:MOST_ROWS]:
        assert row["code"] in first
    assert all(f'<span class="code">{row["code"]}</span>' in rest for row in rows[MOST_ROWS:])


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
    for name in ("The font pew", "The north path"):
        AreaClosure.objects.create(
            danger=danger,
            area=Area.objects.create(building=church.building, name=name),
            closed_at=dt.datetime(2026, 5, 12, 9, tzinfo=dt.UTC),
        )
    # The danger is over; the areas stay shut until somebody reopens them.
    act(danger, "end", dt.date(2026, 6, 1), end="removed")
    snapshot = church.report()
    page = snapshot["page_one"]
    assert [each["area"] for each in page["shut"]] == ["The font pew", "The north path"]
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
    church.danger()
    few = count_queries(church.report)
    for number in range(12):
        plaque = AttachedItemFactory(
            opening=church.windows["nIV"], number=f"P{number}", lower_edge_mm=900,
            lower_edge_typed="900", has_sharp_edges=False,
        )  # fmt: skip
        danger = church.danger("nIV", attached_item=plaque, kind="loose-item")
        church.finding("nIV", 10 + number, danger=danger, attached_item=plaque)
        act(danger, "measure", VISIT, measure="held", fixed_to="bar", because="Wired")
    assert count_queries(church.report) <= few + 3
