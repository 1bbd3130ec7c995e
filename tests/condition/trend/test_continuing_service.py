"""Chains of findings, what has grown, and what an earlier survey left to look for again."""

import datetime as dt

import pytest

from condition.models import Finding
from condition.services.continuing import chain_of, grown_since, offered
from tests.condition.trend.two_surveys import NOW, THEN, Visits
from tests.factories import InspectionFactory, SurveyFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visits(building):
    return Visits(building)


def test_a_chain_is_newest_first_from_wherever_it_is_taken_up(visits):
    first = visits.bowed(dt.date(2004, 5, 1), 8)
    second = visits.bowed(THEN, 14, first)
    third = visits.bowed(NOW, 22, second)
    for start in (first, second, third):
        assert chain_of(start) == [third, second, first]
    assert chain_of(visits.found()) != []


@pytest.mark.parametrize(
    ("then", "now", "facts", "grown"),
    [
        (14, 22, {}, True),
        (14, 16, {}, False),
        (14, 16, {"within_typed": "1/2", "within_mm": "0.5"}, False),
        (14, 13, {}, False),
        (14, 22, {"span_typed": "600", "span_mm": 600}, False),
        (14, 22, {"datum": "the bar"}, False),
    ],
)
def test_a_finding_has_grown_by_more_than_its_measuring_may_be_off(visits, then, now, facts, grown):
    later = visits.bowed(NOW, now, visits.bowed(THEN, then), **facts)
    assert grown_since(Finding.objects.filter(pk=later.pk)) == {later.pk: grown}


def test_slow_growth_shows_against_the_oldest_reading_and_mending_starts_anew(visits):
    oldest = visits.bowed(dt.date(2004, 5, 1), 14)
    between = visits.bowed(THEN, 16, oldest)
    newest = visits.bowed(NOW, 18, between)
    assert grown_since([between, newest]) == {between.pk: False, newest.pk: True}
    between.condition_class = between.recommendation_class = 0
    between.save()
    assert grown_since([newest]) == {newest.pk: False}


def test_growth_is_looked_for_past_a_visit_that_measured_otherwise(visits):
    oldest = visits.bowed(dt.date(2004, 5, 1), 14)
    otherwise = visits.bowed(THEN, 16, oldest, datum="the bar")
    newest = visits.bowed(NOW, 22, otherwise)
    assert grown_since([newest]) == {newest.pk: True}


def test_growth_takes_as_many_queries_for_many_findings_as_for_one(visits, count_queries):
    one = [visits.bowed(NOW, 22, visits.bowed(THEN, 14))]
    many = [*one, *(visits.found(visits.now, amount=2, unit="count") for _ in range(5))]

    def queries(findings):
        rows = Finding.objects.filter(pk__in=[each.pk for each in findings])
        return count_queries(lambda: grown_since(rows.select_related("opening__building__studio")))

    assert queries(one) == queries(many) == 4


def test_what_nobody_answered_is_offered_and_what_was_answered_is_not(visits, count_queries):
    left = visits.found()
    continued = visits.found(number=970)
    visits.found(visits.now, continues=continued)
    visits.found(number=971, condition_class=0, recommendation_class=0)
    visits.found(visits.now, number=972)
    assert count_queries(lambda: offered(visits.now)) == 2
    assert offered(visits.now) == [left]
    assert offered(visits.then) == []


@pytest.mark.parametrize(
    ("inspection", "hazard", "still_offered"),
    [
        ({"outcome": "nothing found", "seen_from": "ladder"}, True, False),
        ({"outcome": "nothing found", "seen_from": "floor"}, True, True),
        ({"outcome": "nothing found", "seen_from": "floor"}, False, True),
        ({"outcome": "nothing found", "side": "outside"}, False, True),
        ({"outcome": "not inspected", "reason": "Boarded over"}, True, False),
    ],
)
def test_a_look_answers_for_its_own_side_and_clears_no_danger_from_the_floor(
    visits, inspection, hazard, still_offered
):
    left = visits.found(hazard=hazard)
    InspectionFactory(survey=visits.now, opening=visits.opening, **inspection)
    assert offered(visits.now) == ([left] if still_offered else [])


def test_what_a_survey_between_found_gone_is_not_asked_for_again(visits):
    visits.found()
    between = SurveyFactory(building=visits.building, day=dt.date(2020, 1, 1))
    InspectionFactory(
        survey=between, opening=visits.opening, panel=visits.panel, seen_from="ladder"
    )
    assert offered(between) == []
    assert offered(visits.now) == []
