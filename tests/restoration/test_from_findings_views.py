"""From findings to actions, many at once."""

import datetime as dt
from decimal import Decimal

import pytest

from restoration.forms.from_findings import _name
from restoration.models import RepairAction
from tests.factories import (
    ActionKindFactory,
    EstimateFactory,
    FindingFactory,
    FindingKindFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)
from tests.restoration.priced import COST_FIGURES, priced_estimate

pytestmark = pytest.mark.django_db


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def estimate(building, survey):
    return EstimateFactory(building=building, survey=survey)


@pytest.fixture
def mild(building):
    return ActionKindFactory(
        studio=building.studio, code="mild", name="Watch it", unit="visit", step="monitor"
    )


@pytest.fixture
def resolder(building):
    return ActionKindFactory(
        studio=building.studio, code="resolder", name="Resolder joints", cautions=["lead"]
    )


@pytest.fixture
def finding(building, survey, mild, resolder):
    kind = FindingKindFactory(studio=building.studio, name="Failed joint", actions=[mild, resolder])
    panel = PanelFactory(opening=OpeningFactory(building=building, number="nII"), number="2b")
    return FindingFactory(
        survey=survey,
        opening=panel.opening,
        panel=panel,
        kind=kind,
        amount=Decimal(6),
        unit="count",
        of_total=40,
    )


def url(estimate):
    return f"/estimates/{estimate.pk}/actions/from-findings/"


def blank(*findings):
    """What the page sends for findings of which nothing is ticked."""
    return {
        key: value
        for finding in findings
        for key, value in (
            (_name("option", finding), "advised"),
            (_name("phase", finding), "1"),
            (_name("other", finding), ""),
            (_name("amount", finding), ""),
        )
    }


def test_each_finding_is_offered_its_usual_actions_with_a_first_quantity(owner, estimate, finding):
    text = owner.get(url(estimate)).content.decode()
    assert "nII" in text
    assert "Failed joint" in text
    assert "6 of 40" in text
    assert text.index("Watch it") < text.index("Resolder joints")
    assert "Repair in place, step 3 of 6" in text
    assert f'name="{_name("quantity", finding)}-' in text
    assert 'value="6"' in text
    assert "Lead in came, solder, old paint and dust" in text


def test_what_is_ticked_becomes_actions(owner, estimate, finding, mild, resolder):
    sent = blank(finding) | {
        _name("do", finding, resolder): "on",
        _name("quantity", finding, resolder): "7,0",
        _name("quantity", finding, mild): "1",
        _name("option", finding): "must",
        _name("phase", finding): "2",
    }
    response = owner.post(url(estimate), sent, follow=True)
    assert "1 action is added" in response.content.decode()
    action = RepairAction.objects.get()
    assert (action.kind, action.panel, action.quantity) == (resolder, finding.panel, Decimal(7))
    assert (action.option, action.phase, action.number) == ("must", 2, 1)
    assert list(action.findings.all()) == [finding]


@pytest.mark.parametrize(
    ("amount", "words"),
    [("7,5", "7.5 is no whole number of joints."), ("0", "0 is not possible here. Give 0.001 to")],
)
def test_a_ticked_quantity_is_held_by_the_rules_of_its_action(
    owner, estimate, finding, resolder, amount, words
):
    box = _name("quantity", finding, resolder)
    sent = blank(finding) | {_name("do", finding, resolder): "on", box: amount}
    response = owner.post(url(estimate), sent)
    assert response.status_code == 422
    assert words in response.context["form"].errors[box][0]
    assert not RepairAction.objects.exists()


def test_a_ticked_action_without_a_quantity_is_added_and_said(owner, estimate, finding, mild):
    sent = blank(finding) | {_name("do", finding, mild): "on"}
    response = owner.post(url(estimate), sent, follow=True)
    assert "1 has no quantity yet" in response.content.decode()
    assert RepairAction.objects.get().quantity is None


def test_another_kind_of_work_may_be_chosen(owner, estimate, finding, building):
    other = ActionKindFactory(studio=building.studio, name="Board over", unit="m2")
    sent = blank(finding) | {_name("other", finding): other.pk, _name("amount", finding): "0.8"}
    assert owner.post(url(estimate), sent).status_code == 302
    action = RepairAction.objects.get()
    assert (action.kind, action.quantity) == (other, Decimal("0.8"))


def test_a_kind_of_another_studio_is_no_choice(owner, estimate, finding):
    sent = blank(finding) | {_name("other", finding): ActionKindFactory().pk}
    assert owner.post(url(estimate), sent).status_code == 422
    assert not RepairAction.objects.exists()


def test_nothing_ticked_is_said(owner, estimate, finding):
    response = owner.post(url(estimate), blank(finding))
    assert response.status_code == 422
    assert "Tick at least one action" in response.content.decode()


def test_a_bad_quantity_comes_back_with_everything_kept(owner, estimate, finding, resolder):
    box = _name("quantity", finding, resolder)
    sent = blank(finding) | {
        _name("do", finding, resolder): "on",
        box: "a few",
        _name("option", finding): "if funds allow",
    }
    response = owner.post(url(estimate), sent)
    text = response.content.decode()
    assert response.status_code == 422
    assert 'value="a few"' in text
    assert f'href="#id_{box}"' in text
    assert "Quantity of Resolder joints, for finding" in text
    assert 'value="if funds allow" selected' in text
    assert f'id="id_{_name("do", finding, resolder)}" checked' in text
    assert not RepairAction.objects.exists()


def test_a_quantity_of_nothing_named_is_asked_about(owner, estimate, finding):
    sent = blank(finding) | {_name("amount", finding): "3"}
    response = owner.post(url(estimate), sent)
    assert response.status_code == 422
    assert "Choose the work this quantity is of" in response.content.decode()


def test_what_is_in_the_estimate_already_is_said_and_not_offered(
    owner, estimate, finding, mild, resolder
):
    owner.post(url(estimate), blank(finding) | {_name("do", finding, resolder): "on"})
    text = owner.get(url(estimate)).content.decode()
    assert "in the estimate" in text
    assert _name("do", finding, resolder) not in text
    again = blank(finding) | {_name("do", finding, resolder): "on"}
    assert owner.post(url(estimate), again).status_code == 422
    assert RepairAction.objects.count() == 1


def test_findings_of_another_survey_are_not_offered(owner, estimate, building, finding):
    older = SurveyFactory(building=building, day=dt.date(2015, 6, 9))
    FindingFactory(survey=older, kind__name="Long mended")
    assert "Long mended" not in owner.get(url(estimate)).content.decode()


def test_a_survey_without_findings_says_what_to_do(owner, estimate, building):
    assert "The survey has no findings" in owner.get(url(estimate)).content.decode()
    without = EstimateFactory(building=building)
    assert "Survey it first" in owner.get(url(without)).content.decode()


def test_a_great_survey_comes_in_pages_none_of_which_sends_too_many_boxes(
    owner, estimate, survey, building
):
    usual = ActionKindFactory.create_batch(6, studio=building.studio)
    kind = FindingKindFactory(studio=building.studio, actions=usual)
    opening = OpeningFactory(building=building)
    FindingFactory.create_batch(90, survey=survey, kind=kind, opening=opening)
    response = owner.get(url(estimate))
    assert "Page 1 of 3" in response.content.decode()
    assert len(response.context["form"].fields) < 1000
    third = owner.get(url(estimate) + "?page=3")
    assert len(third.context["form"].rows()) == 10


def test_who_may_choose(people, client_of, estimate, finding):
    for role, user in people.items():
        response = client_of(user).get(url(estimate))
        assert response.status_code == (200 if role in ("owner", "estimator") else 404)


def test_the_page_tells_no_rates(owner, building):
    text = owner.get(url(priced_estimate(building))).content.decode()
    for figure in COST_FIGURES:
        assert figure not in text


def test_queries_do_not_grow_with_the_findings(
    owner, estimate, survey, building, finding, count_queries
):
    few = count_queries(lambda: owner.get(url(estimate)))
    for _ in range(6):
        panel = PanelFactory(opening=OpeningFactory(building=building))
        FindingFactory(survey=survey, kind=finding.kind, opening=panel.opening, panel=panel)
    assert count_queries(lambda: owner.get(url(estimate))) == few
