"""Where photographs may belong by the clock; offered, and only where it is plain."""

import datetime as dt

from condition.compute.photo_times import (
    BETWEEN_VIEWS,
    WITH_FINDING,
    Noted,
    Offer,
    Taken,
    offers_by_time,
)


def at(minute: float) -> dt.datetime:
    return dt.datetime(2026, 5, 12, 9, tzinfo=dt.UTC) + dt.timedelta(minutes=minute)


def offers(taken, findings=(), views=(), minutes=5):
    return offers_by_time(
        [Taken("photograph", at(taken))],
        [Noted(place, at(when)) for place, when in findings],
        [Noted(place, at(when)) for place, when in views],
        minutes,
    )


def test_a_photograph_goes_with_the_finding_logged_nearest_to_it():
    assert offers(10, [("crack", 7), ("tie", 12), ("bow", 90)]) == [
        Offer("photograph", "tie", WITH_FINDING)
    ]


def test_the_minutes_hold_to_the_second_and_either_way():
    assert offers(10, [("tie", 5)])
    assert offers(10, [("tie", 15)])
    assert not offers(10, [("tie", 15.02)])


def test_between_two_findings_as_near_nothing_is_guessed():
    assert offers(10, [("crack", 8), ("tie", 12)], [("nII", 0), ("nIII", 30)]) == []


def test_else_it_belongs_to_the_opening_whose_view_was_taken_before_it():
    views = [("nIII", 30), ("nII", 0)]
    assert offers(10, [], views) == [Offer("photograph", "nII", BETWEEN_VIEWS)]
    assert offers(0, [], views) == [Offer("photograph", "nII", BETWEEN_VIEWS)]


def test_before_the_first_view_and_past_the_last_nobody_says_where_it_was():
    views = [("nII", 0), ("nIII", 30)]
    assert offers(-1, [], views) == []
    assert offers(31, [], views) == []
    assert offers(5) == []
