"""The studio's page of its rules: what a change would alter is shown before it is saved."""

import re

import pytest
from django.urls import reverse

from condition.models import ClassRule
from condition.services.classes import proposals_for
from tests.factories import ConditionReportFactory, FindingKindFactory, SurveyFactory

LIST = "/class-rules/"


@pytest.fixture
def rule(studio):
    return studio.class_rules.get(code="failed-solder-joint-share-2")


@pytest.fixture
def url(rule):
    return reverse("condition:class-rule-edit", args=[rule.pk])


@pytest.fixture
def typed(rule):
    return {
        "kind": rule.kind_id,
        "extent": "",
        "unit": "",
        "at_least": "",
        "share_at_least": "1",
        "least_count": "4",
        "when": "",
        "effect": "sets",
        "condition_class": "2",
        "urgency_class": "1",
        "recommendation_class": "2",
        "reason": "1 % or more of the joints have failed.",
        "source": "our own books, 2026",
        "in_use": "on",
    }


def previewed(response):
    found = re.search(r'name="previewed" value="(\w+)"', response.content.decode())
    return found.group(1) if found else ""


def test_the_list_names_every_rule_in_words(studio_owner, studio):
    page = studio_owner.get(LIST).content.decode()
    assert "2 % or more of the whole, and 4 or more in number while some remain" in page
    assert "condition 2, urgency 1, recommendation 2" in page
    assert "NPS Preservation Brief 33" in page
    assert page.count('id="rule-') == studio.class_rules.count()


def test_a_studio_without_rules_gets_the_shipped_ones(studio_owner, studio):
    count = studio.class_rules.count()
    studio.class_rules.all().delete()
    studio_owner.get(LIST)
    assert studio.class_rules.count() == count


def test_nothing_is_saved_before_what_it_alters_was_shown(studio_owner, url, typed, rule, found):
    crossing = found("failed-solder-joint", amount=4, unit="count", of_total=250)
    found("failed-solder-joint", amount=1, unit="count", of_total=250)
    response = studio_owner.post(url, typed)
    page = response.content.decode()
    assert response.status_code == 200
    assert [row.altered.finding for row in response.context["altered"]] == [crossing]
    assert f"{crossing.number} · {crossing.subject_label}: Failed solder joint" in page
    rule.refresh_from_db()
    assert rule.share_at_least == 2

    response = studio_owner.post(url, {**typed, "previewed": previewed(response)})
    assert response.status_code == 302
    rule.refresh_from_db()
    assert (rule.share_at_least, rule.source) == (1, "our own books, 2026")
    assert proposals_for([crossing])[crossing.pk].levels == (2, 1, 2)


def test_what_was_changed_after_it_was_shown_is_shown_again(studio_owner, url, typed, rule):
    seen = previewed(studio_owner.post(url, typed))
    changed = {**typed, "share_at_least": "3", "previewed": seen}
    response = studio_owner.post(url, changed)
    assert response.status_code == 200
    rule.refresh_from_db()
    assert rule.share_at_least == 2


def test_so_are_findings_logged_meanwhile(studio_owner, url, typed, found):
    seen = previewed(studio_owner.post(url, typed))
    found("failed-solder-joint", amount=4, unit="count", of_total=250)
    response = studio_owner.post(url, {**typed, "previewed": seen})
    assert len(response.context["altered"]) == 1


def test_findings_of_issued_reports_are_counted_apart(studio_owner, url, typed, found, building):
    issued = SurveyFactory(building=building)
    ConditionReportFactory(survey=issued)
    found("failed-solder-joint", survey=issued, amount=4, unit="count", of_total=250)
    response = studio_owner.post(url, typed)
    assert response.context["altered"] == []
    assert "One more finding would be judged otherwise" in response.content.decode()


def test_a_rule_is_switched_off(studio_owner, url, typed, rule):
    off = {**typed, "in_use": ""}
    studio_owner.post(url, {**off, "previewed": previewed(studio_owner.post(url, off))})
    rule.refresh_from_db()
    assert not rule.in_use
    assert "switched off" in studio_owner.get(LIST).content.decode()


def test_a_rule_is_added_at_the_end_with_a_code_of_its_own(studio_owner, typed, studio, found):
    joints = found("failed-solder-joint", amount=3, unit="count", of_total=250)
    url = reverse("condition:class-rule-add")
    new = {**typed, "unit": "count", "at_least": "3", "share_at_least": "", "least_count": ""}
    response = studio_owner.post(url, new)
    assert len(response.context["altered"]) == 1
    studio_owner.post(url, {**new, "previewed": previewed(response)})
    made = ClassRule.objects.order_by("order").last()
    assert made.code.startswith("failed-solder-joint-own-")
    assert proposals_for([joints])[joints.pk].levels == (2, 1, 2)


@pytest.mark.parametrize(
    "bad",
    [
        {"share_at_least": "101"},
        {"share_at_least": "NaN"},
        {"at_least": "5", "unit": ""},
        {"at_least": "9" * 40, "unit": "count"},
        {"least_count": "0"},
        {"condition_class": "", "urgency_class": "", "recommendation_class": ""},
        {
            "effect": "raises",
            "condition_class": "0",
            "urgency_class": "0",
            "recommendation_class": "",
        },
        {"reason": ""},
        {"reason": "a\x00b"},
        {"when": "moonlight"},
        {"kind": "01a2133e-0000-7000-8000-000000000000"},
    ],
)
def test_what_cannot_be_is_refused_and_what_was_typed_stays(studio_owner, url, typed, bad):
    response = studio_owner.post(url, {**typed, **bad})
    assert response.status_code == 422
    assert "our own books, 2026" in response.content.decode()


def test_another_studio_s_kind_is_refused(studio_owner, url, typed):
    assert studio_owner.post(url, {**typed, "kind": FindingKindFactory().pk}).status_code == 422


def test_what_a_reason_claims_is_kept_with_what_is_said_where_it_is_not_so(
    studio_owner, url, typed, rule
):
    said = {
        **typed,
        "reason": "The others still hold.",
        "needs": ["some remain"],
        "otherwise": "Some have failed.",
    }
    studio_owner.post(url, {**said, "previewed": previewed(studio_owner.post(url, said))})
    rule.refresh_from_db()
    assert (rule.needs, rule.otherwise) == (["some remain"], "Some have failed.")
    assert "Some have failed." in studio_owner.get(LIST).content.decode()
    assert studio_owner.post(url, {**said, "needs": ["moonlight"]}).status_code == 422
