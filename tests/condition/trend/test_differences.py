"""Two records of one thing set side by side, fact by fact."""

import tomllib
from datetime import date
from itertools import permutations
from pathlib import Path
from uuid import UUID, uuid5

import pytest

from condition.compute.comparing import Between, InspectionFacts, State, compare
from condition.compute.differences import KIND_ORDERS, Seen, Sort, differences, kind_order
from condition.compute.readings import Taken
from condition.compute.trend import Reading

VOCABULARY = Path(__file__).resolve().parents[3] / "fixtures" / "vocabulary"
SPACE = UUID(int=11)
OPENING, PANEL, BESIDE = (uuid5(SPACE, name) for name in ("nII", "nII 2a", "nII 2b"))


def seen(name="then", *, subject=PANEL, kind="cracked-glass", amount=None, unit="count", **facts):
    taken = None
    if amount is not None:
        measured = {name: facts.pop(name) for name in ("span_mm", "datum") if name in facts}
        reading = Reading(date(2015, 6, 1), amount, facts.pop("off", 0.0))
        taken = Taken(name, reading, kind, unit, **measured)
    place = "nII 2b" if subject == BESIDE else "nII 2a"
    return Seen(uuid5(SPACE, name), subject, OPENING, kind, taken=taken, place=place, **facts)


def now(before, *, name="now", subject=PANEL, **facts):
    return seen(name, subject=subject, ancestors=(before.key,), **facts)


def verdict(before, after, *looks):
    (pair,) = compare([before], [after] if after else [], Between(looks))
    return pair.state, pair.reason


def test_every_kind_in_an_order_is_one_of_the_vocabulary_and_no_two_orders_disagree():
    with (VOCABULARY / "finding_kinds.toml").open("rb") as file:
        codes = {kind["code"] for kind in tomllib.load(file)["kind"]}
    assert {code for order in KIND_ORDERS for code in order} <= codes
    pairs = {pair for order in KIND_ORDERS for pair in permutations(order, 2)}
    before = {
        (one, other)
        for order in KIND_ORDERS
        for place, one in enumerate(order)
        for other in order[place + 1 :]
    }
    assert not {(other, one) for one, other in before} & before
    for one, other in pairs:
        assert kind_order(one, other) is (Sort.WORSE if (one, other) in before else Sort.BETTER)


@pytest.mark.parametrize(
    ("then", "later", "state", "reason"),
    [
        (
            {"kind": "cracked-glass"},
            {"kind": "holed-glass"},
            State.WORSE,
            "cracked-glass then, holed-glass now: a graver kind of damage",
        ),
        (
            {"kind": "slipped-glass"},
            {"kind": "loose-glass"},
            State.BETTER,
            "slipped-glass then, loose-glass now: a milder kind of damage",
        ),
        (
            {"kind": "bowed-panel", "condition": 1},
            {"kind": "paint-loss", "condition": 1},
            State.NOT_COMPARABLE,
            "bowed-panel then, paint-loss now: of these two kinds neither is the graver",
        ),
        (
            {"extent": "grouped"},
            {"extent": "along one line"},
            State.WORSE,
            "grouped then, along one line now",
        ),
        (
            {"extent": "throughout"},
            {"extent": "along one line"},
            State.BETTER,
            "throughout then, along one line now",
        ),
        ({"water": False}, {"water": True}, State.WORSE, "water coming in recorded now, not then"),
        (
            {"hazard": True},
            {"hazard": False},
            State.BETTER,
            "a danger to people recorded then, not now",
        ),
        (
            {"amount": 4, "of_total": 22},
            {"amount": 4, "of_total": 10},
            State.WORSE,
            "4 of 22 then, 4 of 10 now: a larger share",
        ),
        (
            {"amount": 4, "of_total": 10},
            {"amount": 5, "of_total": 22},
            State.WORSE,
            "4 then, 5 now; but better in this: 4 of 10 then, 5 of 22 now: a smaller share",
        ),
        (
            {"condition": 2, "extent": "isolated"},
            {"condition": 1, "extent": "throughout"},
            State.WORSE,
            "isolated then, throughout now; but better in this: condition class 2 then, 1 now",
        ),
        (
            {"amount": 3, "condition": 1},
            {"condition": 1},
            State.NOT_COMPARABLE,
            "an amount is recorded then, not now",
        ),
        ({}, {}, State.NOT_COMPARABLE, "no class and no amount that stands in both records"),
        ({"condition": 1}, {"condition": 1}, State.SAME, "condition class 1 both times"),
    ],
)
def test_every_fact_counts_and_what_cannot_be_compared_is_not_the_same(then, later, state, reason):
    before = seen(**then)
    found, words = verdict(before, now(before, **later))
    assert found is state
    assert words == reason


BOW = {"kind": "bowed-panel", "unit": "mm out of plane", "off": 1.0}


@pytest.mark.parametrize(
    ("then", "later", "state"),
    [
        # Deeper over a shorter straight edge: worse whatever the bow's form.
        ({"amount": 14, "span_mm": 760}, {"amount": 16, "span_mm": 500}, State.WORSE),
        # A greater part of a shorter span, though the depth is less.
        ({"amount": 14, "span_mm": 760}, {"amount": 13, "span_mm": 500}, State.WORSE),
        ({"amount": 14, "span_mm": 500}, {"amount": 13, "span_mm": 760}, State.BETTER),
        # Deeper over a longer one: that a longer one reads deeper is no growth.
        ({"amount": 14, "span_mm": 500}, {"amount": 30, "span_mm": 760}, State.NOT_COMPARABLE),
        ({"amount": 14, "span_mm": 760}, {"amount": 22}, State.NOT_COMPARABLE),
        (
            {"amount": 14, "span_mm": 760, "datum": "the bar"},
            {"amount": 16, "span_mm": 500, "datum": "the frame"},
            State.NOT_COMPARABLE,
        ),
    ],
)
def test_a_depth_out_of_plane_is_told_by_its_own_span(then, later, state):
    before = seen(**BOW, **then)
    assert verdict(before, now(before, **BOW, **later))[0] is state


# Elementary geometry: the depth of a circle's arc over a span is r - sqrt(r² - (span / 2)²).
@pytest.mark.parametrize("radius", [800.0, 3000.0, 20000.0])
def test_one_bow_read_over_two_spans_is_never_worse_or_better(radius):
    spans = [300.0, 500.0, 760.0, 900.0]
    for one, other in permutations(spans, 2):
        depths = [radius - (radius**2 - (span / 2) ** 2) ** 0.5 for span in (one, other)]
        facts = BOW | {"off": 0.0}
        before = seen(**facts, amount=depths[0], span_mm=one)
        after = now(before, **facts, amount=depths[1], span_mm=other)
        found = differences(before, after)
        assert (found.worse, found.better) == ((), ())


def look(**facts):
    return InspectionFacts(**({"subject": PANEL, "side": "inside", "nothing_found": True} | facts))


@pytest.mark.parametrize(
    ("then", "looks", "state"),
    [
        ({"seen_from": "floor"}, [look(from_floor=True)], State.GONE),
        ({"seen_from": "ladder"}, [look(from_floor=True)], State.NOT_LOOKED_AT),
        ({"seen_from": ""}, [look(from_floor=True)], State.NOT_LOOKED_AT),
        ({"seen_from": "floor", "hazard": True}, [look(from_floor=True)], State.NOT_LOOKED_AT),
        ({"side": "both"}, [look()], State.NOT_LOOKED_AT),
        ({"side": "both"}, [look(), look(side="outside")], State.GONE),
        ({"side": "unknown"}, [look(side="unknown")], State.NOT_LOOKED_AT),
        ({"side": "unknown"}, [look(side="both")], State.GONE),
        ({"side": "outside"}, [look()], State.NOT_LOOKED_AT),
    ],
)
def test_gone_takes_a_look_at_every_side_from_where_it_could_be_seen(then, looks, state):
    assert verdict(seen(**then), None, *looks)[0] is state


def test_a_reason_for_the_other_side_is_no_reason_for_this_one():
    outside = look(side="outside", nothing_found=False, reason="Ivy")
    state, reason = verdict(seen(), None, outside)
    assert state is State.NOT_LOOKED_AT
    assert "Ivy" not in reason


def test_what_was_seen_from_nearer_is_not_mended_by_a_look_from_the_floor():
    before = seen(seen_from="ladder")
    in_order = {"mended": True, "condition": 0}
    state, reason = verdict(before, now(before, seen_from="floor", **in_order))
    assert state is State.NOT_COMPARABLE
    assert reason == "recorded as in order, but seen from the floor only, and from nearer before"
    assert verdict(before, now(before, seen_from="ladder", **in_order))[0] is State.REPAIRED
    from_floor = seen(seen_from="floor")
    assert verdict(from_floor, now(from_floor, seen_from="floor", **in_order))[0] is State.REPAIRED


def test_a_thing_on_another_subject_says_how_that_came_about():
    before = seen(condition=1)
    moved = now(before, subject=BESIDE, condition=1, moved=("The panels were renumbered.",))
    assert verdict(before, moved) == (
        State.SAME,
        "condition class 1 both times; it was on nII 2a, it is on nII 2b now: "
        "The panels were renumbered",
    )
    silent = now(before, subject=BESIDE, condition=1)
    assert "how that came about is not recorded" in verdict(before, silent)[1]


def test_mended_in_between_and_damaged_again_is_worse():
    before = seen(condition=1)
    between = seen("between", condition=0, mended=True)
    after = seen("now", condition=1, ancestors=(between.key, before.key))
    (pair,) = compare([before], [after], Between(latest={before.key: between}))
    assert pair.state is State.WORSE


def test_several_that_came_together_without_a_main_line_are_not_new():
    one, other = seen("one", number=1, condition=1), seen("other", number=2, condition=1)
    both = seen("both", number=5, condition=1, joined=(one.key, other.key))
    pairs = compare([one, other], [both])
    assert [pair.state for pair in pairs] == [State.SAME, State.SAME]
    assert {pair.regrouped for pair in pairs} == {
        "findings 1, 2 then, finding 5 now: they came together"
    }


def test_what_was_never_looked_at_before_is_not_new():
    (pair,) = compare([], [seen()], Between(first_look={OPENING}))
    assert (pair.state, pair.reason) == (
        State.NOT_COMPARABLE,
        "no earlier survey looked at this opening",
    )


def test_in_order_without_an_earlier_finding_repairs_nothing():
    (pair,) = compare([], [seen(mended=True, condition=0)])
    assert pair.state is State.NOT_COMPARABLE
