"""Reasons claim only what is recorded, and nothing gets milder as it gets worse: over all kinds."""

import re
from dataclasses import replace
from decimal import Decimal
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from condition.compute.classes.propose import propose
from condition.compute.classes.rules import FACTS
from condition.compute.classes.situation import Situation
from condition.compute.recording.classes import Grounds, class_problems, reason_asked
from condition.models.choices import RuleFact
from condition.services.class_rules import shipped_rules
from tests.condition.classes.told import KINDS
from tests.properties import examples

RULES = shipped_rules()
BY_CODE = {entry["code"]: entry for entry in KINDS.values()}
EXTENTS = ["isolated", "grouped", "along one line", "throughout"]
# Of these is counted what still holds.
HOLDING = {"loose-item"}
# Kinds of which all that was counted can be lost: common practice, no source.
CAN_BE_LOST_WHOLE = """
fractured-came failed-solder-joint missing-came cracked-glass holed-glass missing-glass
loose-glass slipped-glass narrow-strip-cracked paint-loss unstable-paint impact-or-shot-hole
failed-glue-line broken-tie missing-tie corroded-bar bent-bar loose-bar-end missing-bar
flat-bar-come-away failed-t-bar loose-guard loose-glazing-bead blocked-drain
broken-protective-glazing item-fixing-failed illegible-inscription other
"""
# One thing each, or at its worst wherever it lies: how far it reaches says nothing more.
REACHES_NOWHERE = """
sagged-panel racked-panel hinged-panel panel-set-in-reversed loose-item missing-item bent-item
wrong-inscription suspect-putty bird-or-bat-activity damaged-electric
corroded-bar-with-stone-damage failed-t-bar loose-stone-fragment loose-ventilator
"""


@st.composite
def situations(draw) -> Situation:
    code = draw(st.sampled_from(sorted(BY_CODE)))
    unit = draw(st.sampled_from(BY_CODE[code]["units"]))
    total = draw(st.none() | st.integers(1, 12) | st.integers(1, 300))
    most = {"count": total or 12, "mm": 4000, "mm out of plane": 80}.get(unit, 100)
    amount = draw(st.none() | st.integers(0, most).map(Decimal) | st.just(Decimal(most)))
    return Situation(
        kind=code,
        group=BY_CODE[code]["group"],
        extent=draw(st.sampled_from(EXTENTS)),
        amount=amount,
        unit=unit if amount is not None else "",
        of_total=total if unit in ("count", "percent of pieces") and amount is not None else None,
        span_mm=draw(st.none() | st.integers(100, 2000).map(Decimal)),
        part=draw(st.sampled_from(["", "background", "head or hand", "inscription"])),
        significance=draw(st.sampled_from(["", "outstanding"])),
        **{
            name: draw(st.booleans())
            for name in (
                *("hazard", "water", "people_below", "grown"),
                *("one_more_lost", "other_damage", "diagnosed"),
            )
        },
    )


def lost(s: Situation) -> Decimal | None:
    """How many are affected, worked out apart from the rules."""
    if s.amount is None:
        return None
    if s.unit == "percent of pieces" and s.of_total:
        return s.amount * s.of_total / 100
    if s.unit != "count":
        return None
    if s.kind not in HOLDING:
        return s.amount
    return None if s.of_total is None else s.of_total - s.amount


def percent(s: Situation) -> Decimal | None:
    if s.amount is None or s.unit == "mm":
        return None
    if s.unit.startswith("percent"):
        return s.amount
    if s.unit == "mm out of plane":
        return s.amount * 100 / s.span_mm if s.span_mm else None
    number = lost(s)
    return None if number is None or not s.of_total else number * 100 / s.of_total


def none_left(s: Situation) -> bool:
    if s.kind in HOLDING and s.unit == "count":
        return s.amount == 0
    return s.unit != "mm out of plane" and (percent(s) or 0) >= 100


def some_left(s: Situation) -> bool:
    return s.unit != "mm out of plane" and percent(s) is not None and not none_left(s)


def several(s: Situation) -> bool:
    return s.extent != "isolated" if lost(s) is None else lost(s) >= 2


def half_or_more(s: Situation) -> bool:
    known = None if s.unit == "mm out of plane" else percent(s)
    return s.extent == "throughout" and several(s) and (known is None or known >= 50)


def at_least(share: str):
    return lambda s: percent(s) is not None and percent(s) >= Decimal(share)


def counted(number: int):
    return lambda s: lost(s) is not None and lost(s) >= number


# What the words of a reason claim, and when that is so.
CLAIMS = {
    r"take over its|the others|that still hold|^The fixings counted that|to lean on the rest": (
        some_left
    ),
    r"\ball (of|the|its)\b|none of|no sound one|no piece of it": none_left,
    r"(?<!recorded as lying )throughout|all over|all round|all along": (half_or_more),
    r"recorded as lying throughout": lambda s: s.extent == "throughout",
    r"more than isolated": lambda s: s.extent != "isolated",
    r"side by side|stand together|neighbouring ": (
        lambda s: s.extent in ("grouped", "along one line") and several(s)
    ),
    r"in one line": lambda s: s.extent == "along one line" and several(s),
    r"^several|^two .* or more|^cracked pieces": several,
    r"one more fixing lost the rest": lambda s: s.one_more_lost and not none_left(s),
    r"\ba tenth": at_least("10"),
    r"\ba quarter": at_least("25"),
    r"\ba third": at_least("33"),
    r"\bhalf or": at_least("50"),
    r"\bmost of": at_least("60"),
    r"\btwo thirds": at_least("66"),
    r"\bthree quarters": at_least("75"),
    r"\bmore than 5 %": at_least("5.01"),
    r"^two (bar|bars|lengths) ": counted(2),
    r"^three (?!quarters|metres)|at three ": counted(3),
    r"^four ": counted(4),
    r"^five ": counted(5),
    r"people pass below": lambda s: s.people_below and (s.hazard or s.one_more_lost),
    r"can hurt someone|make it safe now": lambda s: s.hazard or s.one_more_lost,
    r"water comes in here": lambda s: s.water,
    r"it has grown|a bow that grows": lambda s: s.grown,
    r"outstanding": lambda s: s.significance == "outstanding",
    r"head, a hand": lambda s: s.part in ("head or hand", "inscription"),
    r"small bows": lambda s: s.amount is not None and s.amount < 25,
    r"nothing of it is left": lambda s: s.amount == 0,
}
MEASURED = re.compile(r"(\d+) mm (?:\(.*\) )?(?:across )?or more|more than (\d+) mm")


FLAGS = ({}, {"hazard": True}, {"hazard": True, "people_below": True}, {"water": True},
         {"grown": True}, {"one_more_lost": True, "people_below": True})  # fmt: skip


def plain_ones(kind):
    """Every small situation of a kind, one circumstance at a time."""
    units = BY_CODE[kind]["units"]
    figures = [{}] + [{"amount": Decimal(n), "unit": unit} for unit in units for n in (1, 2, 60)]
    if "count" in units:
        figures += [
            {"amount": Decimal(n), "unit": "count", "of_total": total}
            for n, total in (
                (0, 2),
                (1, 1),
                (1, 2),
                (2, 2),
                (1, 9),
                (2, 9),
                (6, 9),
                (9, 9),
                (3, 130),
            )
        ]
    for extent, figure, flags in product(EXTENTS, figures, FLAGS):
        yield Situation(kind, BY_CODE[kind]["group"], extent=extent, **figure, **flags)


@pytest.mark.parametrize("kind", sorted(BY_CODE))
def test_of_every_kind_all_of_this_holds_in_each_plain_situation(kind):
    for situation in plain_ones(kind):
        claims_only_what_is_so(situation)
        never_falls(situation)
        is_never_refused(situation)


@given(situations())
@examples(500)
def test_each_reason_claims_only_what_is_recorded(situation):
    claims_only_what_is_so(situation)


def claims_only_what_is_so(situation):
    for reason in propose(situation, RULES).reasons:
        said = reason.text.lower()
        for words, is_so in CLAIMS.items():
            assert not re.search(words, said) or is_so(situation), (reason.text, words)
        for size in MEASURED.findall(said):
            assert situation.amount >= int(size[0] or size[1]), reason.text
            assert situation.unit.startswith("mm"), reason.text


@given(situations())
@examples(500)
def test_no_reason_is_given_twice(situation):
    texts = [reason.text for reason in propose(situation, RULES).reasons]
    assert len(texts) == len(set(texts))


def worse(s: Situation):
    """Each way in which what was found can be one step worse."""
    if s.extent != "throughout":
        yield replace(s, extent=EXTENTS[EXTENTS.index(s.extent) + 1])
    for name in ("water", "hazard", "grown", "one_more_lost", "other_damage"):
        yield replace(s, **{name: True})
    yield replace(s, hazard=True, people_below=True)
    if s.amount is None:
        return
    if s.kind in HOLDING:
        yield replace(s, amount=max(s.amount - 1, Decimal(0)))
    elif s.unit.startswith("percent"):
        yield replace(s, amount=min(s.amount + 7, Decimal(100)))
    elif s.of_total is None or s.amount < s.of_total:
        yield replace(s, amount=s.amount + 1)
        yield replace(s, amount=Decimal(s.of_total) if s.of_total else s.amount + 50)


@given(situations())
@examples(500)
def test_no_class_falls_as_what_was_found_gets_worse(situation):
    never_falls(situation)


def never_falls(situation):
    before = propose(situation, RULES).levels
    for each in worse(situation):
        after = propose(each, RULES).levels
        assert all(low <= high for low, high in zip(before, after, strict=True)), each


@given(situations())
@examples(500)
def test_what_is_proposed_is_never_refused(situation):
    is_never_refused(situation)


def is_never_refused(situation):
    levels = propose(situation, RULES).levels
    grounds = Grounds(situation.hazard, situation.people_below, situation.diagnosed)
    assert not list(class_problems(levels, grounds))
    assert not list(reason_asked(levels, grounds, ""))


@pytest.mark.parametrize("total", [1, 2, 3, 9, 130])
@pytest.mark.parametrize("kind", CAN_BE_LOST_WHOLE.split())
def test_all_of_them_is_total_loss_whatever_the_least_count(kind, total):
    whole = Situation(kind, BY_CODE[kind]["group"], unit="count", amount=Decimal(total))
    proposal = propose(replace(whole, of_total=total), RULES)
    assert proposal.condition == 3
    # A T-bar that has failed is told as that; of all others it is said that none is left.
    assert kind == "failed-t-bar" or re.search(r"\b(All|None)\b", proposal.because)


@pytest.mark.parametrize("total", [1, 4])
def test_a_plaque_that_no_fixing_holds_is_total_loss(total):
    none = Situation("loose-item", unit="count", amount=Decimal(0), of_total=total)
    assert propose(none, RULES).levels == (3, 2, 2)
    assert "None of the fixings counted holds it" in propose(none, RULES).because


@pytest.mark.parametrize("extent", EXTENTS)
@pytest.mark.parametrize("kind", ["broken-tie", "missing-tie", "item-fixing-failed"])
def test_nobody_is_told_that_others_hold_where_none_is_left(kind, extent):
    both = Situation(kind, extent=extent, unit="count", amount=Decimal(2), of_total=2)
    assert not re.search("other|still|take over", propose(both, RULES).because)


def test_a_least_count_softens_only_while_some_of_a_known_total_remain():
    one = Situation("broken-tie", extent="grouped", unit="count", amount=Decimal(1))
    assert propose(replace(one, of_total=9), RULES).levels == (1, 0, 1)
    assert propose(one, RULES).levels == (2, 1, 2)
    assert propose(replace(one, of_total=1), RULES).levels == (3, 2, 2)


@pytest.mark.parametrize("kind", sorted(set(BY_CODE) - set(REACHES_NOWHERE.split())))
def test_what_lies_throughout_is_worse_than_the_same_in_one_place(kind):
    one = Situation(kind, BY_CODE[kind]["group"])
    low, high = (propose(each, RULES).levels for each in (one, replace(one, extent="throughout")))
    assert low != high
    assert all(a <= b for a, b in zip(low, high, strict=True))


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.code)
def test_a_rule_that_claims_something_has_another_sentence_for_where_it_is_not_so(rule):
    assert set(rule.needs) <= set(FACTS)
    assert bool(rule.needs) == bool(rule.otherwise)


def test_a_rule_without_another_sentence_does_not_speak_where_its_claim_is_not_so():
    rule = replace(next(r for r in RULES if r.code == "broken-tie-seen"), otherwise="")
    assert propose(Situation("broken-tie"), [rule]).levels == (None, None, None)


def test_what_a_sentence_may_claim_is_what_the_evaluator_knows():
    assert set(FACTS) == set(RuleFact.values)


@pytest.mark.parametrize("kind", sorted(set(BY_CODE) - {"other"}))
def test_a_kind_is_measured_only_in_units_that_its_rules_read(kind):
    read = set()
    for rule in RULES:
        if rule.kind != kind:
            continue
        if rule.unit:
            read.add(rule.unit)
        elif rule.share_at_least is not None or rule.when == "all of them":
            read |= {"count", "percent of pieces", "percent of area"}
    units = set(BY_CODE[kind]["units"])
    # Where no rule reads any, what is measured is noted and no class hangs on it.
    assert units <= read or not (units & read)
