"""The four answers to an earlier finding, and what each leaves behind."""

from decimal import Decimal

import pytest

from condition.models import Finding, Inspection
from condition.services.answering import (
    say_gone,
    say_not_seen,
    say_still_there,
    say_worse,
)
from condition.services.comparing import compare_surveys
from condition.services.continuing import offered
from sites.services.recording import NotRecordedError
from tests.condition.trend.two_surveys import OUT_OF_PLANE, Visits
from tests.factories import InspectionFactory, SurveyFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def visits(building):
    return Visits(building)


def state(visits):
    (row,) = compare_surveys(visits.then, visits.now).rows
    return row.state


def test_still_there_copies_the_place_and_what_was_counted(visits):
    left = visits.found(
        amount=2, unit="count", of_total=9, position="lower bar", condition_class=2, hazard=True
    )
    new = say_still_there(visits.now, left, visits.user)
    assert (new.continues, new.panel, new.kind) == (left, visits.panel, visits.tie)
    assert (new.amount, new.of_total, new.position) == (2, 9, "lower bar")
    assert (new.condition_class, new.hazard, new.danger) == (2, True, left.danger)
    assert new.note == "As on 9 June 2015."
    assert offered(visits.now) == []
    assert state(visits) == "same"


def test_a_reading_off_a_rule_is_not_copied_but_how_it_was_taken_is(visits):
    left = visits.found(
        kind=visits.bow, amount=14, unit=OUT_OF_PLANE, span_typed="760", span_mm=Decimal(760)
    )
    new = say_still_there(visits.now, left, visits.user)
    assert (new.amount, new.unit) == (None, "")
    assert new.span_mm == 760


def test_worse_raises_the_condition_by_one_and_leaves_the_rest_to_be_said(visits):
    left = visits.found(condition_class=2, urgency_class=1, amount=2, unit="count")
    new = say_worse(visits.now, left, visits.user)
    assert (new.condition_class, new.urgency_class, new.amount) == (3, None, None)
    assert state(visits) == "worse"


def test_gone_is_a_look_where_nothing_else_stands_on_the_same_thing(visits):
    left = visits.found()
    kept = say_gone(visits.now, left, "ladder", visits.user)
    assert isinstance(kept, Inspection)
    assert (kept.panel, kept.outcome, kept.seen_from) == (visits.panel, "nothing found", "ladder")
    assert (offered(visits.now), state(visits)) == ([], "gone")


def test_gone_is_a_finding_of_nothing_wrong_where_something_else_stands_there(visits):
    left, other = visits.found(amount=3, unit="count"), visits.found(kind=visits.crack)
    type(other).objects.filter(pk=other.pk).update(condition_class=1)
    other.refresh_from_db()
    kept = say_gone(visits.now, left, "ladder", visits.user)
    assert isinstance(kept, Finding)
    assert (kept.seen_from, kept.continues, kept.amount, kept.condition_class) == (
        "ladder",
        left,
        0,
        0,
    )
    assert offered(visits.now) == [other]
    say_still_there(visits.now, other, visits.user)
    assert not visits.now.inspections.exists()
    states = {row.earlier: row.state for row in compare_surveys(visits.then, visits.now).rows}
    assert states == {left: "repaired", other: "same"}


def test_a_danger_is_not_gone_from_the_floor(visits):
    with pytest.raises(NotRecordedError, match="From the floor"):
        say_gone(visits.now, visits.found(hazard=True), "floor", visits.user)
    assert not visits.now.inspections.exists()


def test_what_was_seen_from_nearer_is_not_gone_from_the_floor(visits):
    for seen_from in ("ladder", ""):
        with pytest.raises(NotRecordedError, match="it was not seen from there before"):
            say_gone(visits.now, visits.found(seen_from=seen_from), "floor", visits.user)
    from_floor = visits.found(kind=visits.crack, seen_from="floor", panel=None)
    say_gone(visits.now, from_floor, "floor", visits.user)
    assert from_floor not in offered(visits.now)


def test_an_answer_says_from_where_it_was_given(visits):
    left, other = visits.found(seen_from="ladder"), visits.found(seen_from="ladder")
    assert say_still_there(visits.now, left, visits.user, "floor").seen_from == "floor"
    assert say_worse(visits.now, other, visits.user).seen_from == ""


def test_one_look_says_of_all_on_a_thing_that_it_could_not_be_seen(visits):
    left, other = visits.found(), visits.found(kind=visits.crack)
    inspection = say_not_seen(visits.now, left, " The loft was locked. ", "floor", visits.user)
    assert inspection.reason == "The loft was locked."
    assert offered(visits.now) == []
    assert (
        say_not_seen(visits.now, other, "The loft was locked.", "floor", visits.user) == inspection
    )
    with pytest.raises(NotRecordedError, match="Say why"):
        say_not_seen(visits.now, other, "  ", "floor", visits.user)


def test_an_answer_is_given_once(visits):
    left = visits.found()
    new = say_still_there(visits.now, left, visits.user)
    for answer in (say_still_there, say_worse):
        with pytest.raises(NotRecordedError, match=f"finding {new.number} of 12 May 2026"):
            answer(visits.now, left, visits.user)


def test_an_answer_does_not_contradict_what_the_survey_says(visits):
    left = visits.found(hazard=True)
    InspectionFactory(survey=visits.now, opening=visits.opening, seen_from="floor")
    with pytest.raises(NotRecordedError, match="“nothing found” of nII"):
        say_still_there(visits.now, left, visits.user)
    InspectionFactory(
        survey=visits.now, opening=visits.opening, panel=visits.panel, seen_from="floor"
    )
    with pytest.raises(NotRecordedError, match="recorded already: nothing found"):
        say_not_seen(visits.now, left, "Boarded over", "floor", visits.user)


def test_a_finding_of_another_building_is_not_answered_here(visits):
    with pytest.raises(NotRecordedError, match="earlier survey of this building"):
        say_still_there(SurveyFactory(), visits.found(), visits.user)


def test_a_bow_that_lies_throughout_is_answered_from_the_floor_as_not_reached(visits):
    visits.bow.units = [OUT_OF_PLANE]
    visits.bow.save()
    left = visits.found(kind=visits.bow, amount=14, unit=OUT_OF_PLANE, extent="throughout")
    with pytest.raises(NotRecordedError, match="judged by its depth"):
        say_still_there(visits.now, left, visits.user, "ladder")
    new = say_still_there(visits.now, left, visits.user, "floor")
    assert (new.amount, new.not_measured) == (None, "not reached")
