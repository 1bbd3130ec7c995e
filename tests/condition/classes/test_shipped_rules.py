"""The rules that are shipped: every kind has its own, and each can be read."""

import re

import pytest

from condition.compute.classes.rules import CIRCUMSTANCES, RAISES
from condition.compute.classes.situation import Situation
from condition.models.choices import AmountUnit, Extent, Part, RuleWhen
from condition.services.class_rules import shipped_rules
from condition.services.situations import GIVING_WAY
from sites.models.choices import Significance
from tests.condition.classes.told import KINDS

BY_CODE = {entry["code"]: entry for entry in KINDS.values()}
SENTENCE = re.compile(r"[A-Z0-9][^.]*(\d\.\d[^.]*)*[.]")


@pytest.mark.parametrize("code", sorted(BY_CODE))
def test_every_kind_gives_all_three_classes_by_itself(code):
    always = [
        rule
        for rule in shipped_rules()
        if rule.kind == code and rule.speaks_of(Situation(code)) and rule.effect != RAISES
    ]
    assert all(any(rule.level(name) is not None for rule in always) for name in LEVELS)


LEVELS = ("condition", "urgency", "recommendation")


@pytest.mark.parametrize("rule", shipped_rules(), ids=lambda rule: rule.code)
def test_a_rule_is_of_the_lists_and_its_reason_is_a_sentence(rule):
    assert rule.kind in {"", *BY_CODE}
    assert rule.extent in {"", *Extent.values}
    assert rule.unit in {"", *AmountUnit.values}
    assert rule.when in RuleWhen.values
    assert SENTENCE.fullmatch(rule.reason), rule.reason
    assert (rule.at_least is None) or rule.unit


@pytest.mark.parametrize(
    "rule", [rule for rule in shipped_rules() if rule.unit], ids=lambda rule: rule.code
)
def test_a_rule_asks_for_units_that_its_kind_is_measured_in(rule):
    assert rule.unit in BY_CODE[rule.kind]["units"]


def test_codes_are_given_once():
    codes = [rule.code for rule in shipped_rules()]
    assert len(codes) == len(set(codes))


def test_what_a_rule_can_ask_is_what_the_evaluator_knows():
    assert set(CIRCUMSTANCES) == set(RuleWhen.values)


def test_the_words_of_the_evaluator_are_those_of_the_register():
    assert {"head or hand", "inscription"} <= set(Part.values)
    assert "outstanding" in Significance.values
    assert set(BY_CODE) >= GIVING_WAY


def test_only_published_anchors_name_a_source():
    named = {rule.source for rule in shipped_rules() if rule.source}
    assert all("Preservation Brief 33" in source or "no source" in source for source in named)
