"""Classes proposed from the records, set by a person, and what a change of the rules alters."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

import pytest

from condition.compute.classes.kept import from_kept
from condition.models import ClassRule
from condition.services.class_rules import add_shipped_rules, rules_of, rules_with, shipped_rules
from condition.services.classes import (
    accept_proposals,
    altered_by,
    levels_of,
    proposals_for,
    set_classes,
    set_subject,
)
from sites.services.recording import NotRecordedError
from tests.factories import (
    AttachedItemFactory,
    ConditionReportFactory,
    FixingFactory,
    SurveyFactory,
    endanger,
)


@pytest.fixture
def joints(found):
    """Six failed joints of 130, in one line: condition 3, urgency 2, recommendation 2."""
    return found(
        "failed-solder-joint", extent="along one line", amount=6, unit="count", of_total=130
    )


def proposed(finding):
    return proposals_for([finding])[finding.pk]


def test_a_finding_is_proposed_its_classes_with_reasons(joints):
    proposal = proposed(joints)
    assert proposal.levels == (3, 2, 2)
    assert "stand in one line" in proposal.because


def test_a_studio_without_its_own_copy_goes_by_the_shipped_rules(joints, studio):
    studio.class_rules.all().delete()
    assert rules_of(studio) == shipped_rules()
    assert proposed(joints).levels == (3, 2, 2)


def test_the_copy_says_what_is_shipped_and_is_added_to_once(whole_studio):
    assert rules_of(whole_studio) == shipped_rules()
    whole_studio.class_rules.get(code="grown").delete()
    assert [rule.code for rule in add_shipped_rules(whole_studio)] == ["grown"]
    assert add_shipped_rules(whole_studio) == []


def test_a_rule_switched_off_proposes_nothing(joints, studio):
    studio.class_rules.filter(code__contains="-in-line").update(in_use=False)
    assert proposed(joints).levels == (2, 1, 2)


def test_growth_since_the_earlier_survey_raises_urgency(found, building):
    earlier = SurveyFactory(building=building, day=dt.date(2015, 5, 12))
    bow = {"unit": "mm out of plane", "span_mm": 760, "span_typed": "760"}
    before = found("bowed-panel", survey=earlier, amount=14, **bow)
    after = found("bowed-panel", amount=22, continues=before, **bow)
    assert [proposed(each).urgency for each in (before, after)] == [0, 1]


def test_other_damage_on_the_same_panel_makes_a_bow_worse(found):
    bow = found("bowed-panel", amount=20, unit="mm out of plane", span_mm=760, span_typed="760")
    alone = proposed(bow).levels
    found("broken-tie", amount=0, unit="count")
    assert proposed(bow).levels == alone
    found("broken-tie", amount=1, unit="count", of_total=6)
    assert proposed(bow).levels == (3, 1, 1)
    assert alone == (2, 0, 1)


def test_an_item_that_one_more_lost_fixing_lets_fall_over_people_is_urgent(found, panel):
    item = AttachedItemFactory(
        opening=panel.opening, material="brass", width_mm=200, height_mm=100, thickness_mm=3,
        width_typed="200", height_typed="100", thickness_typed="3",
    )  # fmt: skip
    finding = found("item-fixing-failed", panel=None, attached_item=item)
    assert proposed(finding).levels == (1, 1, 2)
    fixing = FixingFactory(item=item, count=1)
    assert proposed(finding).levels == (2, 3, 2)
    panel.opening.under_inside = "nobody"
    panel.opening.save()
    assert proposed(finding).levels == (2, 2, 2)
    fixing.delete()
    assert proposed(finding).levels == (1, 1, 2)


def test_queries_do_not_grow_with_the_findings(found, count_queries):
    few = [found("cracked-glass", amount=n, unit="count") for n in range(1, 3)]
    many = [*few, *(found("broken-tie", amount=n, unit="count") for n in range(1, 9))]
    used = count_queries(lambda: proposals_for(few))
    assert used == count_queries(lambda: proposals_for(many))
    assert used <= 9


def test_setting_as_proposed_keeps_who_and_what_was_proposed(joints, user):
    set_classes(joints, (3, 2, 2), "", user)
    joints.refresh_from_db()
    assert levels_of(joints) == (3, 2, 2)
    assert (joints.classes_set_by, joints.classes_reason) == (user, "")
    assert joints.classes_set_at is not None
    assert from_kept(joints.proposal) == proposed(joints)


def test_setting_otherwise_wants_a_reason_and_keeps_it(joints, user):
    with pytest.raises(NotRecordedError, match="why these classes") as refused:
        set_classes(joints, (2, 1, 2), "  ", user)
    assert refused.value.problems[0].field == "classes_reason"
    set_classes(joints, (2, 1, 2), " The panel was firm. ", user)
    joints.refresh_from_db()
    assert joints.classes_reason == "The panel was firm."
    assert from_kept(joints.proposal).levels == (3, 2, 2)


def test_a_danger_cannot_wait_for_the_long_term(joints, user):
    endanger(joints)
    with pytest.raises(NotRecordedError, match="It can hurt someone") as refused:
        set_classes(joints, (3, 0, 2), "It has hung there for years.", user)
    assert refused.value.problems[0].field == "urgency_class"


def test_a_major_intervention_needs_its_diagnosis(joints, user):
    with pytest.raises(NotRecordedError, match="Record the diagnosis first"):
        set_classes(joints, (3, 2, 3), "It is past mending.", user)
    joints.diagnosis = "The lead is tired throughout."
    set_classes(joints, (3, 2, 3), "It is past mending.", user)
    assert joints.recommendation_class == 3


def test_all_that_is_open_is_accepted_at_once_and_what_is_set_stays(found, joints, user):
    crack = found("cracked-glass", condition_class=2)
    assert accept_proposals([joints, crack], user) == [joints]
    crack.refresh_from_db()
    assert levels_of(crack) == (2, None, None)


def test_a_subject_is_set_once_and_set_again(joints, found, panel, survey, user):
    set_classes(joints, (3, 2, 2), "", user)
    row = set_subject(survey, panel, (3, 2, 2), "", user)
    assert "finding" in from_kept(row.proposal).because
    with pytest.raises(NotRecordedError):
        set_subject(survey, panel, (2, 2, 2), "", user)
    again = set_subject(survey, panel, (2, 2, 2), "The rest is sound.", user)
    assert again.pk == row.pk
    assert survey.assessments.get().reason == "The rest is sound."


def test_changing_one_default_alters_exactly_the_findings_it_speaks_of(found, studio):
    """The default: 2 % of a panel's joints. At 1 % two more findings cross it, at 5 % one falls."""
    counts = {1: 130, 2: 130, 4: 250, 5: 350, 6: 130, 20: 130}
    by_count = {
        amount: found("failed-solder-joint", amount=amount, unit="count", of_total=total)
        for amount, total in counts.items()
    }
    found("cracked-glass", amount=4, unit="count", of_total=250)
    rule = studio.class_rules.get(code="failed-solder-joint-share-2")
    rule.share_at_least = Decimal(1)
    told = altered_by(studio, rules_with(rule))
    assert [each.finding for each in told] == [by_count[4], by_count[5]]
    assert {(each.before.levels, each.after.levels) for each in told} == {((1, 0, 1), (2, 1, 2))}
    rule.share_at_least = Decimal(5)
    told = altered_by(studio, rules_with(rule))
    assert [(each.finding, each.after.levels) for each in told] == [(by_count[6], (1, 0, 1))]
    assert ClassRule.objects.get(pk=rule.pk).share_at_least == 2


def test_a_reason_put_otherwise_alters_no_finding(joints, studio):
    rules = tuple(replace(rule, reason="In our own words.") for rule in rules_of(studio))
    assert altered_by(studio, rules) == []


def test_findings_of_issued_reports_are_marked(joints, studio, survey):
    ConditionReportFactory(survey=survey)
    assert [each.issued for each in altered_by(studio, ())] == [True]
