"""What became of each thing between two surveys, each state from the facts that make it."""

import csv
from collections import Counter
from datetime import date
from pathlib import Path
from uuid import UUID, uuid5

import pytest

from condition.compute.comparing import Between, InspectionFacts, State, compare, counts_of
from condition.compute.differences import Seen
from condition.compute.readings import Taken
from condition.compute.trend import Reading

DEMO = Path(__file__).resolve().parents[3] / "fixtures" / "demo"
SPACE = UUID(int=7)
OPENING, PANEL, OTHER_PANEL = (uuid5(SPACE, name) for name in ("nII", "nII 2a", "nII 3a"))


def seen(name, *, subject=PANEL, amount=None, unit="count", year=2015, off=0.0, **facts):
    kind = facts.setdefault("kind", "broken-tie")
    taken = None
    if amount is not None:
        taken = Taken(name, Reading(date(year, 6, 1), amount, off), kind, unit)
    return Seen(uuid5(SPACE, name), subject, OPENING, taken=taken, **facts)


def after(before, *, name="later", **facts):
    facts.setdefault("kind", before.kind)
    return seen(name, subject=before.subject, year=2026, ancestors=(before.key,), **facts)


def state_of(earlier=(), later=(), inspections=(), repaired=None):
    (pair,) = compare(earlier, later, Between(tuple(inspections), repaired=repaired or {}))
    return pair.state


FIVE = seen("five", amount=5, condition=1)


@pytest.mark.parametrize(
    ("facts", "state"),
    [
        ({"amount": 6}, State.WORSE),
        ({"amount": 4}, State.BETTER),
        ({"amount": 5, "condition": 1}, State.SAME),
        ({"amount": 5, "condition": 2}, State.WORSE),
        ({"amount": 5, "condition": 0}, State.BETTER),
        ({"amount": 5, "hazard": True}, State.WORSE),
        ({"amount": 4, "hazard": True}, State.WORSE),
        ({"extent": "grouped"}, State.WORSE),
        ({"extent": "along one line"}, State.WORSE),
        ({"amount": 50, "unit": "mm"}, State.NOT_COMPARABLE),
        ({"amount": 9, "kind": "missing-tie"}, State.WORSE),
        ({"amount": 0, "mended": True, "condition": 0}, State.REPAIRED),
    ],
)
def test_a_thing_seen_again_is_worse_the_same_or_better(facts, state):
    assert state_of([FIVE], [after(FIVE, **facts)]) is state


@pytest.mark.parametrize(
    ("now", "state"), [(16, State.SAME), (17, State.WORSE), (11, State.BETTER)]
)
def test_a_change_within_what_the_readings_may_be_off_is_none(now, state):
    bow = seen("bow", kind="bowed-panel", amount=14, unit="mm out of plane", off=2.0)
    later = after(bow, amount=now, unit="mm out of plane", off=1.0)
    assert state_of([bow], [later]) is state


def inspection(subject=PANEL, side="inside", found=True, floor=False, reason=""):
    return InspectionFacts(subject, side, nothing_found=found, from_floor=floor, reason=reason)


@pytest.mark.parametrize(
    ("inspections", "state"),
    [
        ([], State.NOT_LOOKED_AT),
        ([inspection()], State.GONE),
        ([inspection(OPENING)], State.GONE),
        ([inspection(side="both")], State.GONE),
        ([inspection(side="outside")], State.NOT_LOOKED_AT),
        ([inspection(OTHER_PANEL)], State.NOT_LOOKED_AT),
        ([inspection(found=False, reason="boarded over")], State.NOT_LOOKED_AT),
    ],
)
def test_only_a_look_at_that_side_says_that_a_thing_is_gone(inspections, state):
    assert state_of([FIVE], inspections=inspections) is state


def test_a_danger_is_not_gone_because_nothing_was_seen_from_the_floor():
    danger = seen("danger", hazard=True)
    assert state_of([danger], inspections=[inspection(floor=True)]) is State.NOT_LOOKED_AT
    assert (
        state_of([danger], inspections=[inspection(floor=True), inspection(OPENING)]) is State.GONE
    )


def test_why_it_was_not_inspected_is_repeated():
    (pair,) = compare([FIVE], [], Between([inspection(found=False, reason="Boarded over.")]))
    assert pair.reason == "not inspected: Boarded over"


def test_what_another_room_knows_as_repaired_is_repaired():
    assert (
        state_of([FIVE], inspections=[inspection()], repaired={FIVE.key: "new ties"})
        is State.REPAIRED
    )


def test_what_was_mended_and_is_damaged_again_is_worse():
    mended = seen("mended", mended=True, condition=0, amount=0)
    assert state_of([mended], [after(mended, amount=1, condition=1)]) is State.WORSE
    assert state_of([mended], [after(mended, amount=0, mended=True)]) is State.SAME
    assert state_of([mended]) is State.NOT_LOOKED_AT
    assert state_of([mended], inspections=[inspection()]) is State.SAME


def test_what_comes_and_goes_by_itself_is_gone_and_not_repaired():
    nest = seen("nest", kind="bird-or-bat-activity", amount=1)
    assert state_of([nest], [after(nest, amount=0, mended=True)]) is State.GONE


def test_a_thing_is_followed_through_the_surveys_between():
    between = uuid5(SPACE, "between")
    later = seen("later", amount=5, year=2026, ancestors=(between, FIVE.key))
    assert state_of([FIVE], [later]) is State.SAME


def test_the_same_kind_on_the_same_thing_is_paired_only_where_there_is_no_choice():
    (pair,) = compare([FIVE], [seen("alike", amount=6, year=2026)])
    assert pair.assumed
    assert pair.state is State.WORSE
    two = [seen("alike", amount=6, year=2026), seen("too", amount=6, year=2026)]
    assert {each.state for each in compare([FIVE], two)} == {State.NOT_LOOKED_AT, State.NEW}


def rows(name):
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def demo_key(row):
    return uuid5(SPACE, f"{row['opening']} {row['item'] or row['panel']}".strip())


def demo_seen(row):
    """A row of the demo's table as a finding, without the code under test's own readers."""
    amount, unit = float(row["amount"]), row["unit"]
    off = {"mm out of plane": 2.0, "percent of area": 5.0}.get(unit, 0.0)
    off = amount / 10 if unit == "mm" else off
    reading = Reading(date(int(row["survey"]), 6, 1), amount, off)
    return Seen(
        key=uuid5(SPACE, row["finding"]),
        subject=demo_key(row),
        opening=uuid5(SPACE, row["opening"]),
        kind=row["kind"],
        side=row["side"],
        extent=row["extent"],
        taken=Taken(row["finding"], reading, row["kind"], unit),
        condition=int(row["condition class"]),
        hazard=row["can it come down"] in ("now", "could"),
        mended=(row["condition class"], row["recommendation class"]) == ("0", "0"),
        ancestors=(uuid5(SPACE, row["continues"]),) if row["continues"] else (),
    )


def demo_inspection(row):
    return InspectionFacts(
        demo_key(row),
        row["side"],
        nothing_found=row["outcome"] == "nothing found",
        from_floor=row["from"] == "floor",
        reason=row["reason"],
    )


# Read off the two tables by hand: by the number of the finding of 2015.
EXPECTED = {
    State.WORSE: {1, 4, 5, 6, 9, 10, 11, 12, 16, 18, 20},
    State.SAME: {8, 14, 19},
    State.REPAIRED: {7},
    State.GONE: {13, 17},
    State.NOT_LOOKED_AT: {2, 3, 15},
}


def test_the_two_surveys_of_the_demonstration_compare_as_read_off_by_hand():
    findings = rows("findings.csv")
    name_of = {uuid5(SPACE, row["finding"]): row["finding"] for row in findings}
    earlier, later = (
        [demo_seen(row) for row in findings if row["survey"] == year] for year in ("2015", "2026")
    )
    inspections = [demo_inspection(row) for row in rows("looked_at.csv") if row["survey"] == "2026"]
    pairs = compare(earlier, later, Between(inspections))
    found = {state: set() for state in EXPECTED}
    for pair in pairs:
        if pair.earlier:
            found[pair.state].add(int(name_of[pair.earlier.key].partition("-")[2]))
    assert found == EXPECTED
    # 56 findings of 2026, of which 16 continue one of 2015.
    assert counts_of(pairs)[State.NEW] == 56 - 16
    assert not any(pair.assumed for pair in pairs)


def test_the_counts_add_up_to_every_finding_of_both_surveys():
    findings = rows("findings.csv")
    sides = [
        [demo_seen(row) for row in findings if row["survey"] == year] for year in ("2015", "2026")
    ]
    pairs = compare(*sides)
    assert sum(counts_of(pairs).values()) == len(pairs)
    for place, side in enumerate(sides):
        told = Counter((pair.earlier, pair.later)[place] for pair in pairs)
        del told[None]
        assert told == Counter(side)
