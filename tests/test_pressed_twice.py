"""Small forms inside other pages, pressed twice: one decision, one approval, one of everything."""

import datetime as dt
from types import SimpleNamespace

import pytest
from django.urls import reverse
from django.utils import timezone

from restoration.forms.from_findings import FromFindingsForm, _name
from restoration.models import QuoteEvent, RepairAction
from sites.forms.base import RecordForm
from sites.models import OlderNumber, ProofApproval
from tests import factories
from tests.sites.pages import boxes
from tests.sites.plaques import plaque, unprinted

pytestmark = pytest.mark.django_db

TODAY = timezone.now().date()


def decision(decided, **fields):
    return {
        "decision": decided,
        "day": TODAY.isoformat(),
        "by_whom": "Tobias Wrenfield, treasurer",
        "authority": "Minute 14 of 3 June",
        **fields,
    }


@pytest.fixture
def quote(building):
    """A quote that still stands, dated a week ago."""
    return factories.QuoteFactory(
        estimate=factories.EstimateFactory(building=building),
        dated=TODAY - dt.timedelta(days=7),
        valid_until=TODAY + dt.timedelta(days=53),
    )


def a_quote(quote, people):
    return SimpleNamespace(
        page=quote.get_absolute_url(),
        address=reverse("restoration:quote-event-add", args=[quote.pk]),
        typed=decision("sent"),
        other={"day": (TODAY - dt.timedelta(days=1)).isoformat()},
        rows=QuoteEvent.objects,
    )


def a_proof(quote, people):
    proof = unprinted(plaque(quote.building), people["owner"])
    return SimpleNamespace(
        page=proof.get_absolute_url(),
        address=reverse("sites:proof-approve", args=[proof.pk]),
        typed={
            "approved_by": "Wilfred Tolliver",
            "authority": "Family: her grandson",
            "approved_on": dt.date.today().isoformat(),
        },
        other={"authority": "Minute 3 of the congregation"},
        rows=ProofApproval.objects,
    )


def an_opening(quote, people):
    opening = factories.OpeningFactory(building=quote.building)
    return SimpleNamespace(
        page=opening.get_absolute_url(),
        address=reverse("sites:older-number-add", args=[opening.pk]),
        typed={"number": "14", "system": "List of 1931"},
        other={"system": "List of 1958"},
        rows=OlderNumber.objects,
    )


MADE = {"quote": a_quote, "proof": a_proof, "opening": an_opening}


@pytest.fixture(params=MADE)
def small(request, quote, people, files):
    """A page with a small form in it: where it is sent, what is typed, and what it makes."""
    return MADE[request.param](quote, people)


def filled(client, small):
    return boxes(client.get(small.page)) | small.typed


def test_pressed_twice_it_is_recorded_once_and_answered_the_same(owner, small):
    sent = filled(owner, small)
    first, second = (owner.post(small.address, sent, follow=True) for _ in range(2))
    assert first.redirect_chain == second.redirect_chain != []
    assert [str(said) for said in first.context["messages"]] == [
        str(said) for said in second.context["messages"]
    ]
    assert small.rows.count() == 1


def test_sent_with_other_words_it_is_another(owner, small):
    sent = filled(owner, small)
    for content in (sent, sent | small.other, sent):
        assert owner.post(small.address, content).status_code == 302
    assert small.rows.count() == 2


@pytest.mark.both_engines
def test_the_second_of_two_at_once_finds_what_the_first_recorded(owner, small, monkeypatch):
    sent = filled(owner, small)
    first = owner.post(small.address, sent)
    asked = []

    def too_early(form):
        asked.append(form)
        return len(asked) > 1 and was_saved(form)

    was_saved = RecordForm.saved_before
    monkeypatch.setattr(RecordForm, "saved_before", too_early)
    second = owner.post(small.address, sent)
    assert (second.status_code, second.url) == (302, first.url)
    assert small.rows.count() == 1


def test_a_second_press_of_withdraw_does_not_take_back_the_quote_itself(owner, quote):
    small = a_quote(quote, {})
    owner.post(small.address, filled(owner, small) | {"decision": "accepted"})
    sent = filled(owner, small) | {"decision": "withdrawn"}
    for _ in range(2):
        assert owner.post(small.address, sent).status_code == 302
    assert sorted(quote.events.values_list("decision", flat=True)) == ["accepted", "withdrawn"]
    assert "Record what happened" in owner.get(small.page).content.decode()


@pytest.fixture
def priced(building):
    """A finding to be priced, another kind of work to choose for it, and the page's boxes."""
    survey = factories.SurveyFactory(building=building)
    estimate = factories.EstimateFactory(building=building, survey=survey)
    finding = factories.FindingFactory(
        survey=survey, opening=factories.OpeningFactory(building=building)
    )
    kind = factories.ActionKindFactory(studio=building.studio, code="scaffold")
    typed = {
        _name("option", finding): "advised",
        _name("phase", finding): "1",
        _name("other", finding): str(kind.pk),
        _name("amount", finding): "2",
    }
    url = reverse("restoration:actions-from-findings", args=[estimate.pk])
    return SimpleNamespace(url=url, typed=typed, finding=finding)


def key_on(client, url) -> str:
    page = client.get(url).content.decode()
    return page.split('name="key" value="')[1].split('"')[0]


def test_work_chosen_from_findings_is_added_once(owner, priced):
    sent = priced.typed | {"key": key_on(owner, priced.url)}
    first, second = (owner.post(priced.url, sent, follow=True) for _ in range(2))
    assert "1 action is added." in first.content.decode()
    assert "The actions are added already." in second.content.decode()
    assert RepairAction.objects.count() == 1
    more = sent | {_name("amount", priced.finding): "3"}
    assert owner.post(priced.url, more).status_code == 302
    again = priced.typed | {"key": key_on(owner, priced.url)}
    assert owner.post(priced.url, again).status_code == 302
    assert RepairAction.objects.count() == 3


@pytest.mark.both_engines
def test_work_chosen_twice_at_once_is_added_once(owner, priced, monkeypatch):
    sent = priced.typed | {"key": key_on(owner, priced.url)}
    owner.post(priced.url, sent)
    asked = []

    def too_early(form):
        asked.append(form)
        return len(asked) > 2 and was_saved(form)

    was_saved = FromFindingsForm.saved_before
    monkeypatch.setattr(FromFindingsForm, "saved_before", too_early)
    assert owner.post(priced.url, sent).status_code == 302
    assert len(asked) == 3
    assert RepairAction.objects.count() == 1


def test_a_page_of_findings_sent_back_to_be_mended_keeps_its_key(owner, priced):
    sent = priced.typed | {"key": key_on(owner, priced.url), _name("amount", priced.finding): "x"}
    answer = owner.post(priced.url, sent)
    assert answer.status_code == 422
    assert f'name="key" value="{sent["key"]}"' in answer.content.decode()


@pytest.mark.parametrize("key", ["", "nonsense", "\x00", "0" * 400, "{}"])
def test_a_key_that_is_none_is_no_crash(owner, priced, key):
    assert owner.post(priced.url, priced.typed | {"key": key}).status_code == 302
    assert RepairAction.objects.get().pk.version == 7
