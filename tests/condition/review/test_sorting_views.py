"""Photographs filed by a press, a number or the clock; taken back; wrong input mended in place."""

import datetime as dt
from uuid import uuid4

import pytest

from condition.services.sorting import logged_at
from tests.factories import FindingFactory, OpeningFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def url(address):
    return address("photographs-in-order")


@pytest.fixture
def finding(survey, opening):
    return FindingFactory(survey=survey, opening=opening, number=12)


def filed(row):
    row.refresh_from_db()
    return row.opening, row.findings.first()


@pytest.mark.parametrize("typed", ["12", " 12 "])
def test_the_number_of_a_finding_files_and_one_step_takes_it_back(
    surveyor, photograph, finding, url, typed
):
    rows = [photograph(), photograph()]
    left = photograph()
    sent = {"photographs": [row.pk for row in rows], "typed": typed}
    page = surveyor.post(url, sent, follow=True)
    assert "2 photographs are sorted in." in page.content.decode()
    assert [filed(row) for row in rows] == [(finding.opening, finding)] * 2
    assert filed(left) == (None, None)
    assert "Take the last step back" in page.content.decode()
    page = surveyor.post(url, {"undo": "1"}, follow=True)
    assert "2 photographs are back where they were." in page.content.decode()
    assert filed(rows[0]) == (None, None)
    page = surveyor.post(url, {"undo": "1"}, follow=True)
    assert "There is nothing to take back here." in page.content.decode()


def test_the_number_of_an_opening_in_any_letters_files_at_the_whole(
    surveyor, photograph, opening, url
):
    row = photograph()
    surveyor.post(url, {"photographs": row.pk, "typed": "NIV"})
    assert filed(row) == (opening, None)


def test_a_pressed_place_counts_and_not_what_was_typed(surveyor, photograph, finding, url):
    row = photograph()
    sent = {"photographs": row.pk, "typed": "nothing", "place": f"finding:{finding.pk}"}
    surveyor.post(url, sent)
    assert filed(row) == (finding.opening, finding)


def test_what_was_filed_elsewhere_since_stays_there(surveyor, photograph, opening, finding, url):
    row = photograph()
    surveyor.post(url, {"photographs": row.pk, "typed": "12"})
    row.finding_links.all().delete()
    surveyor.post(url, {"undo": "1"})
    assert filed(row) == (opening, None)


@pytest.mark.parametrize(
    ("sent", "told"),
    [
        ({"typed": "12"}, "Choose the photographs first."),
        ({"photographs": "here", "typed": ""}, "Choose what the photographs show."),
        ({"photographs": "here", "typed": "99"}, "has the number “99”"),
        ({"photographs": "here", "typed": "a\0b"}, "Null characters"),
        ({"photographs": "here", "typed": "x" * 41}, "40"),
        ({"photographs": "here", "place": f"finding:{uuid4()}"}, "no longer there"),
        ({"photographs": "here", "place": "nonsense"}, "no longer there"),
        ({"photographs": "nonsense", "typed": "12"}, "not a valid"),
        ({"photographs": str(uuid4()), "typed": "12"}, "not of this survey"),
        ({"by_time": "1", "offers": "x y"}, "has changed meanwhile"),
        ({"by_time": "1", "within": "9" * 30}, "Tick the photographs first."),
    ],
)
def test_what_cannot_be_filed_comes_back_with_what_to_mend(
    surveyor, photograph, finding, url, sent, told
):
    row = photograph()
    sent = {key: row.pk if value == "here" else value for key, value in sent.items()}
    page = surveyor.post(url, sent)
    assert page.status_code == 422
    assert told in page.content.decode()
    assert filed(row) == (None, None)


def test_several_numbers_file_at_several_findings_of_one_opening(
    surveyor, photograph, survey, finding, url
):
    other = FindingFactory(survey=survey, opening=finding.opening, number=14)
    FindingFactory(survey=survey, number=15)
    row = photograph()
    page = surveyor.post(url, {"photographs": row.pk, "typed": "12; 15"})
    assert "Finding 15 of 2026-05-12 is of opening" in page.content.decode()
    assert filed(row) == (None, None)
    surveyor.post(url, {"photographs": row.pk, "typed": "14, 12"})
    row.refresh_from_db()
    assert (row.opening, list(row.findings.all())) == (finding.opening, [finding, other])
    surveyor.post(url, {"undo": "1"})
    assert filed(row) == (None, None)


def test_a_number_that_is_both_is_not_guessed(surveyor, photograph, survey, finding, url):
    OpeningFactory(building=survey.building, number="12")
    page = surveyor.post(url, {"photographs": photograph().pk, "typed": "12"})
    assert "of a finding and of an opening" in page.content.decode()


def test_a_photograph_of_another_survey_is_never_filed(surveyor, photograph, finding, url):
    other = photograph(survey=None)
    assert surveyor.post(url, {"photographs": other.pk, "typed": "12"}).status_code == 422
    assert filed(other) == (None, None)


def test_by_time_is_offered_and_only_done_when_said(surveyor, photograph, finding, url):
    logged = logged_at(finding)
    near = photograph(taken_at=logged + dt.timedelta(minutes=3))
    far = photograph(taken_at=logged + dt.timedelta(minutes=40))
    shown = surveyor.get(url).context["offers"]
    assert [value for offer in shown for value, _picture in offer.photographs] == [
        f"{near.pk} {finding.pk}"
    ]
    assert filed(near) == (None, None)
    assert surveyor.get(f"{url}?within=1").context["offers"] == []
    surveyor.post(url, {"by_time": "1", "within": "5", "offers": f"{near.pk} {finding.pk}"})
    assert filed(near) == (finding.opening, finding)
    assert filed(far) == (None, None)


@pytest.mark.parametrize("within", ["", "-3", "NaN", "²", "9" * 40, "1e9"])
def test_minutes_that_are_no_number_do_no_harm(surveyor, photograph, url, within):
    photograph()
    assert surveyor.get(url, {"within": within}).status_code == 200


def test_queries_of_sorting_do_not_grow(surveyor, photograph, survey, opening, url, count_queries):
    def add(number):
        for _ in range(number):
            photograph(opening=opening)
            photograph(findings=[FindingFactory(survey=survey, opening=opening)], opening=opening)
            photograph()

    add(1)
    few = count_queries(lambda: surveyor.get(url))
    add(4)
    assert count_queries(lambda: surveyor.get(url)) == few <= 12
