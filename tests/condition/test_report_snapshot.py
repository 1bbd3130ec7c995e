"""The snapshot of a condition report: complete, counted once, private, and the same for ever."""

import datetime as dt
import json

import pytest

from condition.documents.layout import report_html
from condition.models import Finding, SubjectAssessment
from condition.services.report_snapshot import build_snapshot
from sites.documents.canonical import canonical
from sites.models.choices import DocumentKind
from sites.services.numbers import reserve_number
from tests.condition.reports import Visit, classed
from tests.factories import InspectionFactory, OpeningFactory

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def visit(files) -> Visit:
    return Visit()


def snapshot_of(visit: Visit) -> dict:
    number = reserve_number(
        studio=visit.studio,
        kind=DocumentKind.REPORT,
        subject=visit.survey.pk,
        dated=dt.date(2026, 5, 20),
        user=visit.user,
    )
    return build_snapshot(visit.survey, number, None)


def all_findings(snapshot: dict) -> list[dict]:
    return [finding for opening in snapshot["openings"] for finding in opening["findings"]]


def test_every_finding_is_there_once_under_its_own_opening(visit):
    snapshot = snapshot_of(visit)
    found = {
        finding["id"]: opening["number"]
        for opening in snapshot["openings"]
        for finding in opening["findings"]
    }
    wanted = visit.survey.findings.select_related("opening")
    assert found == {str(finding.pk): finding.opening.number for finding in wanted}
    assert len(all_findings(snapshot)) == 7


def test_a_finding_tells_all_that_was_logged(visit):
    (finding,) = (each for each in all_findings(snapshot_of(visit)) if each["number"] == 4)
    assert finding["label"] == "Finding 4"
    assert finding["subject"] == "nII 3b"
    assert finding["extent"] == "Isolated; 9 of 22 joints failed"
    assert finding["kind_code"] == "failed-solder-joint"
    assert finding["plain"].startswith("The solder that ties the lead strips")
    assert finding["urgency"] == {"level": 2, "word": "Short term"}
    assert finding["continues"]["number"] == 3
    assert finding["continues"]["day"] == "2021-06-03"
    assert finding["continues"]["extent"] == "Isolated; 4 of 22 joints failed"
    assert len(finding["photographs"]) == 3


def test_every_opening_is_counted_in_exactly_one_way(visit):
    OpeningFactory(building=visit.building, number="sV")
    snapshot = snapshot_of(visit)
    counts = snapshot["counts"]
    assert counts["openings"] == 8
    assert (
        counts["openings_looked_at"],
        counts["openings_not_inspected"],
        counts["openings_not_recorded"],
    ) == (6, 1, 1)
    assert "6 of 8 windows" in snapshot["page_one"]["not_seen"]
    assert "2 windows" in snapshot["page_one"]["not_seen"]


def test_an_opening_of_which_there_is_only_a_photograph_was_not_looked_at(visit):
    opening = OpeningFactory(building=visit.building, number="sV")
    visit.photograph(opening, None, "From the path")
    counts = snapshot_of(visit)["counts"]
    assert (counts["openings_looked_at"], counts["openings_not_recorded"]) == (6, 1)


def test_openings_nobody_mentions_are_listed_as_not_seen(visit):
    OpeningFactory(building=visit.building, number="sV")
    snapshot = snapshot_of(visit)
    assert {"name": "sV", "value": "Nothing was recorded of it at this visit"} in snapshot[
        "not_seen"
    ]
    assert "sV" not in [opening["number"] for opening in snapshot["openings"]]
    assert "sV" in [line["number"] for line in snapshot["opening_lines"]]


def test_what_was_not_inspected_says_why(visit):
    InspectionFactory(
        survey=visit.survey,
        opening=visit.openings["I"],
        panel=visit.openings["I"].panels.get(),
        outcome="not inspected",
        reason="The reredos stands before it.",
    )
    not_seen = snapshot_of(visit)["not_seen"]
    assert not_seen == [
        {"name": "I", "value": "3b: inside, not inspected: The reredos stands before it"},
        {"name": "NII", "value": "Inside, not inspected: No safe access on the day"},
    ]


def test_photographs_are_numbered_once_in_the_order_they_print(visit):
    snapshot = snapshot_of(visit)
    printed = [*snapshot["general_photographs"]]
    for opening in snapshot["openings"]:
        printed += opening["photographs"]
    assert [each["number"] for each in printed] == list(range(1, len(printed) + 1))
    assert len(printed) == snapshot["counts"]["photographs"] == 8
    assert len({each["id"] for each in printed}) == 8


def test_a_photograph_says_what_it_shows_of_which_finding_and_when(visit):
    (shepherd,) = (o for o in snapshot_of(visit)["openings"] if o["number"] == "nII")
    first = shepherd["photographs"][0]
    assert first["caption"] == f"Photograph {first['number']} – finding 4 – nII 3b – 12 May 2026"
    assert first["alt"] == (
        f"Photograph {first['number']}: finding 4 (failed solder joint), nII 3b. "
        "Detail in raking light"
    )
    assert len(first["sha256"]) == 64


def test_a_damaged_photograph_is_counted_and_not_printed(visit):
    photograph = visit.survey.photographs.first()
    photograph.state = "damaged"
    photograph.save()
    snapshot = snapshot_of(visit)
    assert snapshot["counts"]["photographs_damaged"] == 1
    assert str(photograph.pk) not in json.dumps(snapshot)


def test_sizes_are_as_typed_and_in_the_other_unit(visit):
    facts = {fact["name"]: fact["value"] for fact in snapshot_of(visit)["openings"][1]["facts"]}
    assert facts["Size"] == '34 3/8" × 3000 mm (about 873 mm × 118 1/8")'
    assert facts["Older numbers"] == "Window 4 (list of 1962)"


def test_inscriptions_are_kept_letter_by_letter_and_line_by_line(visit):
    (window,) = (o for o in snapshot_of(visit)["openings"] if o["number"] == "nV")
    assert window["items"][0]["inscription"] == [
        "IN LOVING MEMORY OF",
        "WILFRED ŁĄCKI",
        "AND JOHN ȘTEFAN",
    ]
    assert window["items"][0]["memorial"] is True
    assert window["items"][0]["fixings"] == ["3 × soldered tab, failed; fixed to lead came"]


def test_cautions_follow_from_what_is_in_the_report(visit):
    codes = {caution["code"] for caution in snapshot_of(visit)["cautions"]}
    assert {
        "falling-glass-and-plaques",
        "lead",
        "work-at-height",
        "protected-building-consent",
        "memorial-owners-asked",
        "historic-glass-cleaning",
        "bowed-panels-lifting",
    } <= codes
    assert "nesting-birds-and-bats" not in codes


def test_the_glossary_has_words_of_the_report_alone(visit):
    snapshot = snapshot_of(visit)
    terms = {entry["term"] for entry in snapshot["glossary"]}
    assert {"came", "solder", "cement"} <= terms
    assert "kiln" not in json.dumps(snapshot["openings"])
    assert "firing" not in terms


def test_nobodys_address_or_telephone_is_in_it(visit):
    text = json.dumps(snapshot_of(visit))
    assert "warden@parish.example" not in text
    assert visit.user.email not in text
    assert "01 234" not in text


def test_the_data_has_one_canonical_form_that_survives_the_database(visit):
    snapshot = snapshot_of(visit)
    assert json.loads(canonical(snapshot)) == snapshot
    assert snapshot["schema"] == "saddlebar/condition-report/5"


def test_building_it_takes_no_more_queries_for_a_larger_survey(visit, count_queries):
    snapshot_of(visit)  # From now on the number is there.
    before = count_queries(lambda: snapshot_of(visit))
    for number in range(100, 130):
        finding = visit.finding("nII", "perished-cement", number, **classed(1, 1, 1))
        visit.photograph(finding.opening, finding, "Another")
    assert count_queries(lambda: snapshot_of(visit)) == before


def test_the_layout_asks_the_database_nothing(visit, django_assert_num_queries):
    snapshot = snapshot_of(visit)
    with django_assert_num_queries(0):
        html = report_html(snapshot)
    assert "The Good Shepherd" in html


def test_dates_are_written_as_in_the_country_of_the_building(visit):
    assert snapshot_of(visit)["survey"]["day_words"] == "12 May 2026"
    visit.building.country = "US"
    visit.building.save()
    visit.survey.refresh_from_db()
    assert snapshot_of(visit)["survey"]["day_words"] == "May 12, 2026"


# What is judged, agreed and changed.
def test_a_class_stands_with_the_rule_it_comes_from_or_with_the_surveyors_reason(visit):
    kept = {
        "condition": 2,
        "urgency": 1,
        "recommendation": 2,
        "reasons": [{"text": "Nine of 22 have let go.", "source": "A handbook, 1999"}],
    }
    Finding.objects.filter(survey=visit.survey, number=4).update(
        proposal=kept, classes_reason="The panel can be felt to give."
    )
    snapshot = snapshot_of(visit)
    (finding,) = (each for each in all_findings(snapshot) if each["number"] == 4)
    assert finding["reasons"] == {
        "because": [{"text": "Nine of 22 have let go.", "source": "A handbook, 1999"}],
        "proposed": "urgency 1",
        "why": "The panel can be felt to give.",
    }
    assert "Rules of the classes: A handbook, 1999." in snapshot["sources"]


def test_classes_set_for_a_whole_window_stand_with_their_reason(visit):
    SubjectAssessment.objects.create(
        survey=visit.survey,
        opening=visit.openings["nII"],
        proposal={},
        reason="Its neighbour shelters it.",
        set_by=visit.user,
        **classed(1, 1, 1),
    )
    snapshot = snapshot_of(visit)
    (window,) = (each for each in snapshot["openings"] if each["number"] == "nII")
    (line,) = (each for each in snapshot["opening_lines"] if each["number"] == "nII")
    assert window["assessment"]["is_set"]
    assert window["assessment"]["reason"] == "Its neighbour shelters it."
    assert window["assessment"]["condition"]["level"] == line["condition"]["level"] == 1
    others = [each["assessment"]["is_set"] for each in snapshot["openings"]]
    assert others.count(True) == 1


def test_what_changed_since_the_last_visit_is_told_once_for_each_thing(visit):
    change = snapshot_of(visit)["change"]
    assert (change["day"], change["findings_then"], change["findings_now"]) == ("2021-06-03", 1, 7)
    assert [
        (row["state"], row["earlier"], row["later"]) for row in change["rows"] if row["earlier"]
    ] == [("worse", 3, 4)]


def test_recommendations_name_their_findings_and_the_usual_steps(visit):
    (window,) = (each for each in snapshot_of(visit)["openings"] if each["number"] == "nII")
    assert [(each["level"], each["findings"]) for each in window["advice"]] == [(2, [4]), (1, [5])]
    assert window["advice"][0]["steps"] == ["Monitor by measuring", "Resolder a joint in place"]


def test_cautions_stand_where_they_are_needed(visit):
    snapshot = snapshot_of(visit)
    here = {each["number"]: {c["code"] for c in each["cautions"]} for each in snapshot["openings"]}
    assert "falling-glass-and-plaques" in here["sII"]
    assert "bowed-panels-lifting" in here["nIII"]
    assert "falling-glass-and-plaques" not in here["nIII"]
    whole = {each["code"] for each in snapshot["cautions"]}
    assert set().union(*here.values()) <= whole


def test_who_gets_the_report_is_listed_as_written(visit):
    visit.survey.distribution = "The vestry\nThe diocesan office"
    visit.survey.save()
    assert snapshot_of(visit)["survey"]["distribution"] == ["The vestry", "The diocesan office"]
