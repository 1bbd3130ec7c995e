"""How classes are proposed: what holds for any rules and any amount."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from condition.compute.classes.kept import as_kept, from_kept
from condition.compute.classes.propose import Found, propose, propose_subject
from condition.compute.classes.rules import CIRCUMSTANCES, CLASSES, RAISES, SETS, Rule
from condition.compute.classes.situation import Situation
from condition.compute.classes.words import asked_in_words, given_in_words
from condition.services.class_rules import shipped_rules
from tests.properties import examples

KINDS = sorted({rule.kind for rule in shipped_rules() if rule.kind})
EXTENTS = ["isolated", "grouped", "along one line", "throughout"]
UNITS = ["count", "mm", "percent of pieces", "percent of area", "mm out of plane"]
LEVEL = st.none() | st.integers(0, 3)
AMOUNT = st.decimals(0, 100, places=2)


@st.composite
def situations(draw) -> Situation:
    unit = draw(st.sampled_from(UNITS))
    return Situation(
        kind=draw(st.sampled_from(KINDS)),
        group=draw(st.sampled_from(["glass", "came", "attached-item"])),
        extent=draw(st.sampled_from(EXTENTS)),
        amount=draw(AMOUNT),
        unit=unit,
        of_total=draw(st.none() | st.integers(100, 500)),
        span_mm=draw(st.none() | st.decimals(100, 2000, places=0)),
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


@st.composite
def rules(draw) -> Rule:
    return Rule(
        code=draw(st.text("abc", min_size=1, max_size=6)),
        reason="Because.",
        kind=draw(st.sampled_from(["", *KINDS[:3], "other"])),
        extent=draw(st.sampled_from(["", *EXTENTS])),
        unit=draw(st.sampled_from(["", *UNITS])),
        at_least=draw(st.none() | AMOUNT),
        share_at_least=draw(st.none() | AMOUNT),
        least_count=draw(st.none() | st.integers(1, 20)),
        when=draw(st.sampled_from(sorted(CIRCUMSTANCES))),
        effect=draw(st.sampled_from([SETS, RAISES])),
        condition=draw(LEVEL),
        urgency=draw(LEVEL),
        recommendation=draw(LEVEL),
    )


def never_falls(situation: Situation, more: Decimal, of: tuple[Rule, ...]) -> bool:
    before = propose(situation, of).levels
    after = propose(replace(situation, amount=(situation.amount or 0) + more), of).levels
    # A class nobody proposes is neither above nor below another.
    return all(
        old is None or new is None or old <= new for old, new in zip(before, after, strict=True)
    )


@given(situations(), AMOUNT)
@examples(300)
def test_a_proposal_never_falls_when_the_amount_grows(situation, more):
    assert never_falls(situation, more, shipped_rules())


@given(situations(), AMOUNT, st.lists(rules(), max_size=12))
@examples(200)
def test_nor_does_it_by_whatever_rules_a_studio_makes(situation, more, own):
    assert never_falls(situation, more, tuple(own))


@given(situations(), st.lists(rules(), max_size=12))
@examples(200)
def test_classes_stay_from_0_to_3_and_every_one_has_its_reason(situation, own):
    proposal = propose(situation, own)
    told = {name for reason in proposal.reasons for name in reason.touched}
    for name, level in zip(CLASSES, proposal.levels, strict=True):
        assert level is None or 0 <= level <= 3
        assert (level is not None) == (name in told)


@given(situations())
def test_danger_over_people_is_always_urgent_and_immediate(situation):
    danger = replace(situation, hazard=True, people_below=True)
    assert propose(danger, shipped_rules()).urgency == 3


@given(situations())
def test_a_major_intervention_is_never_proposed_without_a_diagnosis(situation):
    assert propose(replace(situation, diagnosed=False), shipped_rules()).recommendation != 3


@given(situations())
def test_what_is_proposed_is_kept_and_read_back_whole(situation):
    proposal = propose(situation, shipped_rules())
    assert from_kept(as_kept(proposal)) == proposal


@pytest.mark.parametrize("kind", ["failed-solder-joint", "fractured-came", "narrow-strip-cracked"])
@pytest.mark.parametrize("amount", range(2, 11))
def test_in_one_line_it_is_worse_than_the_same_number_scattered(kind, amount):
    scattered = Situation(kind, amount=Decimal(amount), unit="count", of_total=120)
    lined = replace(scattered, extent="along one line")
    low, high = (propose(each, shipped_rules()).levels for each in (scattered, lined))
    assert low != high
    assert all(a <= b for a, b in zip(low, high, strict=True))


@pytest.mark.parametrize("kind", ["broken-tie", "missing-tie"])
@pytest.mark.parametrize("amount", range(2, 6))
def test_neighbouring_ties_are_worse_than_the_same_number_scattered(kind, amount):
    scattered = Situation(kind, amount=Decimal(amount), unit="count", of_total=9)
    for extent in ("grouped", "along one line"):
        beside = propose(replace(scattered, extent=extent), shipped_rules()).levels
        alone = propose(scattered, shipped_rules()).levels
        assert beside != alone
        assert all(a <= b for a, b in zip(alone, beside, strict=True))


@given(situations())
def test_growth_raises_urgency_by_one_step_and_no_more(situation):
    calm = replace(situation, grown=False, water=False, significance="", part="", hazard=False)
    before, after = (propose(each, shipped_rules()) for each in (calm, replace(calm, grown=True)))
    if calm.amount:
        assert after.urgency == min(3, before.urgency + 1)


def test_growth_water_and_rarity_together_raise_once():
    found = Situation("paint-loss", "glass", water=True, grown=True, significance="outstanding")
    proposal = propose(found, shipped_rules())
    assert proposal.levels == (1, 1, 1)
    assert {reason.rule for reason in proposal.reasons} >= {"water", "grown", "outstanding"}


@pytest.mark.parametrize(("kind", "raised"), [("cracked-glass", True), ("leaking-panel", False)])
def test_water_raises_what_does_not_say_by_its_kind_that_water_comes_in(kind, raised):
    dry, wet = (
        propose(Situation(kind, "glass", water=water), shipped_rules()) for water in (False, True)
    )
    assert (dry != wet) == raised


def test_a_kind_without_rules_of_its_own_is_judged_as_another_finding():
    own = Situation("a-kind-of-the-studio", extent="throughout")
    assert propose(own, shipped_rules()) == propose(replace(own, kind="other"), shipped_rules())


def test_without_any_rule_nothing_is_proposed():
    assert propose(Situation("cracked-glass"), ()).levels == (None, None, None)


def test_a_danger_of_which_none_is_counted_is_still_a_danger():
    gone = Situation("loose-glass", "glass", amount=Decimal(0), unit="count", hazard=True)
    assert propose(gone, shipped_rules()).urgency == 2


def test_one_piece_of_a_small_panel_is_no_share():
    """33 % of three pieces is one piece; counted, it is not enough to speak of a share."""
    share = Situation(
        "cracked-glass", "glass", amount=Decimal(33), unit="percent of pieces", of_total=3
    )
    assert propose(share, shipped_rules()).condition == 1
    assert propose(replace(share, of_total=60), shipped_rules()).condition == 3


def test_a_subject_is_as_bad_as_its_worst_finding_and_says_which():
    proposal = propose_subject(
        [Found("finding 1", 1, 0, 1), Found("finding 2", 3, 0, None), Found("finding 3", 1, 2, 2)]
    )
    assert proposal.levels == (3, 2, 2)
    assert proposal.because == (
        "The worst condition here is that of finding 2. "
        "The worst urgency and recommendation here are those of finding 3."
    )


def test_a_subject_with_one_worst_finding_names_it_once():
    proposal = propose_subject([Found("finding 1", 2, 2, 2), Found("finding 2", 1, 0, 1)])
    assert proposal.because == "All three are those of finding 1, the worst here."


def test_a_subject_without_classes_is_proposed_none():
    assert propose_subject([Found("finding 1")]).levels == (None, None, None)


def test_a_rule_in_words():
    rule = next(each for each in shipped_rules() if each.code == "failed-solder-joint-share-2")
    assert (
        asked_in_words(rule)
        == "2 % or more of the whole, and 4 or more in number while some remain"
    )
    assert given_in_words(rule) == "condition 2, urgency 1, recommendation 2"
    grown = next(each for each in shipped_rules() if each.code == "grown")
    assert asked_in_words(grown) == "It has grown by more than it can be measured"
    assert given_in_words(grown) == "raises urgency by 1"
