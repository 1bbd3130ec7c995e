"""Where a photograph may belong by its time: offered where one place is likely, never guessed."""

from datetime import datetime, timedelta

from condition.compute.photo_times import (
    BETWEEN_VIEWS,
    WITH_FINDING,
    Noted,
    Offer,
    Taken,
    offers_by_time,
)

NOON = datetime(2026, 5, 12, 12, 0)


def at(minutes: float) -> datetime:
    return NOON + timedelta(minutes=minutes)


def test_a_photograph_belongs_with_the_finding_logged_nearest_to_it():
    findings = [Noted("early", at(0)), Noted("late", at(10))]
    found = offers_by_time([Taken("p", at(3))], findings, [], minutes=5)
    assert found == [Offer("p", "early", WITH_FINDING)]


def test_two_findings_as_near_are_no_offer():
    findings = [Noted("one", at(-2)), Noted("other", at(2))]
    assert offers_by_time([Taken("p", at(0))], findings, [], minutes=5) == []


def test_beyond_the_minutes_it_belongs_between_two_whole_views():
    views = [Noted("nII", at(0)), Noted("nIII", at(30))]
    found = offers_by_time([Taken("p", at(20))], [Noted("f", at(0))], views, minutes=5)
    assert found == [Offer("p", "nII", BETWEEN_VIEWS)]


def test_before_the_first_view_and_after_the_last_nobody_says_where_it_was():
    views = [Noted("nII", at(0)), Noted("nIII", at(30))]
    assert offers_by_time([Taken("a", at(-1)), Taken("b", at(31))], [], views, minutes=5) == []
