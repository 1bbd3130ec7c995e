"""The rules of a closed area: who opens it again, and what they must say. No database."""

import datetime as dt
from dataclasses import replace

import pytest

from condition.compute.danger.closing import (
    ClosureEndData,
    KnownClosure,
    closing_problems,
    opening_problems,
)
from condition.compute.danger.facts import ANYTHING_ELSE, DangerRow, MeasureKind, Trade

DAY = dt.date(2026, 5, 20)
STONE = DangerRow(
    "stone", frozenset({MeasureKind.HELD}), frozenset(), frozenset({Trade.MASON, Trade.ENGINEER})
)
KNOWN = KnownClosure(
    area="The porch",
    row=ANYTHING_ELSE,
    closed_on=dt.date(2026, 5, 12),
    today=dt.date(2026, 5, 28),
    danger_ended=False,
    is_open=False,
    may_withdraw=False,
)
REOPENED = ClosureEndData(
    kind="reopened",
    day=DAY,
    safe_by="Ines Larkmoor",
    safe_trade="glazier",
    how_known="there",
    reopened_by="Edith Marlowe",
    authority="Churchwarden",
    because="The plaque is down.",
)
WITHDRAWN = ClosureEndData(kind="withdrawn", day=DAY, because="It was the wrong window.")


def refused(data: ClosureEndData, known: KnownClosure = KNOWN) -> list[str]:
    return [each.field for each in opening_problems(data, known)]


def test_two_people_reopen_an_area():
    assert refused(REOPENED) == []


@pytest.mark.parametrize(
    "name", ["safe_by", "safe_trade", "how_known", "reopened_by", "authority", "because"]
)
def test_each_of_the_two_says_all_that_they_answer_for(name):
    assert refused(replace(REOPENED, **{name: ""})) == [name]


@pytest.mark.parametrize(
    "name", ["Ines Larkmoor", "ines  larkmoor", "INES LARKMOOR.", "Ines-Larkmoor"]
)
def test_one_person_is_not_two_however_the_name_is_written(name):
    assert refused(replace(REOPENED, reopened_by=name)) == ["reopened_by"]


@pytest.mark.parametrize(
    ("day", "fields"),
    [
        (dt.date(2026, 5, 11), ["day"]),
        (dt.date(2026, 5, 12), []),
        (dt.date(2026, 5, 28), []),
        (dt.date(2026, 5, 29), ["day"]),
    ],
)
@pytest.mark.parametrize("data", [REOPENED, WITHDRAWN])
def test_an_area_is_opened_on_a_day_on_which_it_was_closed(data, day, fields):
    assert refused(replace(data, day=day), replace(KNOWN, may_withdraw=True)) == fields


@pytest.mark.parametrize(
    ("trade", "row", "ended", "fields"),
    [
        ("surveyor", ANYTHING_ELSE, False, []),
        ("glazier", STONE, False, ["safe_trade"]),
        ("surveyor", STONE, False, ["safe_trade"]),
        ("mason", STONE, False, []),
        ("anyone", ANYTHING_ELSE, False, ["safe_trade"]),
        ("glazier", STONE, True, []),
    ],
)
def test_while_a_danger_is_open_who_may_judge_it_says_that_it_is_safe(trade, row, ended, fields):
    known = replace(KNOWN, row=row, danger_ended=ended)
    assert refused(replace(REOPENED, safe_trade=trade), known) == fields


def test_a_notice_is_taken_back_by_its_author_with_a_reason_and_by_nobody_else():
    assert refused(WITHDRAWN) == [""]
    own = replace(KNOWN, may_withdraw=True)
    assert refused(WITHDRAWN, own) == []
    assert refused(replace(WITHDRAWN, because=" "), own) == ["because"]


@pytest.mark.parametrize("data", [REOPENED, WITHDRAWN])
def test_an_area_that_is_open_again_is_not_opened_once_more(data):
    assert refused(data, replace(KNOWN, is_open=True, may_withdraw=True)) == ["areas"]


def test_an_area_is_closed_from_a_moment_that_has_come():
    now = dt.datetime(2026, 5, 12, 14, 30)
    assert [each.field for each in closing_problems(now, now, 1)] == []
    assert [each.field for each in closing_problems(now, now, 0)] == ["areas"]
    late = now + dt.timedelta(minutes=11)
    assert [each.field for each in closing_problems(late, now, 1)] == ["closed_at"]
    assert [each.field for each in closing_problems(now.replace(year=1899), now, 1)] == [
        "closed_at"
    ]
