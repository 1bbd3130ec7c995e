"""What is not in its place hangs over nobody, and is asked about anew when it hangs again."""

import datetime as dt

import pytest
from django.urls import reverse

from condition.documents.drawing import drawing_of
from condition.documents.facts import item_entry
from condition.models import Danger, DangerAct
from sites.models import AttachedItem
from sites.services.fixings import fixing_verdict
from tests.factories import (
    AttachedItemFactory,
    FindingFactory,
    FixingFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)
from tests.sites.pages import boxes

pytestmark = pytest.mark.django_db
AWAY = {"placement": "taken down", "placed_at": "Vestry safe", "held_by": "The warden"}


@pytest.fixture
def opening(building):
    opening = OpeningFactory(building=building, number="nII", under_inside="people")
    PanelFactory(opening=opening)
    return opening


@pytest.fixture
def item(opening):
    item = AttachedItemFactory(opening=opening, number="P1", material="brass")
    FixingFactory(item=item, count=1, state="failed")
    return item


@pytest.fixture
def finding(building, opening, item):
    survey = SurveyFactory(building=building)
    return FindingFactory(survey=survey, opening=opening, attached_item=item, hazard=True)


def change(client, item, **changed):
    url = reverse("sites:item-edit", args=[item.pk])
    sent = boxes(client.get(url)) | changed
    assert client.post(url, sent).status_code == 302
    return client.post(url, sent)  # pressed twice


def act(client, danger, kind, **said):
    url = reverse("condition:danger-act", args=[danger.pk, kind])
    response = client.post(url, {"day": dt.date.today().isoformat(), **said})
    assert response.status_code == 302, response.context["form"].errors


def put_back(danger):
    return danger.acts.filter(act="put back").count()


def test_an_item_hung_again_is_asked_about_anew_once(owner, surveyor, item, finding):
    danger = finding.danger
    act(surveyor, danger, "end", end="taken away", placed="Vestry safe", holder="The warden")
    item.refresh_from_db()
    assert (item.placement, item.held_by) == ("taken down", "The warden")
    assert danger.state_on().end is not None
    change(owner, item, placement="in place")
    state = danger.state_on()
    assert (state.end, state.falls, state.is_dangerous) == (None, "", True)
    assert put_back(danger) == 1
    assert DangerAct.objects.get(act="put back").recorded_by is not None
    change(owner, item, donors="Her sisters")
    assert put_back(danger) == 1


def test_an_end_taken_back_hangs_the_thing_again_in_the_register(surveyor, item, finding):
    act(surveyor, finding.danger, "end", end="gone", because="Nobody knows who has it")
    item.refresh_from_db()
    assert item.placement == "missing"
    act(surveyor, finding.danger, "take-back", because="It hangs there still")
    item.refresh_from_db()
    assert (item.placement, item.placed_since) == ("in place", None)
    assert finding.danger.state_on().is_dangerous


def test_a_thing_said_to_be_taken_away_and_found_hanging_is_held_by_nothing(
    surveyor, item, finding
):
    act(surveyor, finding.danger, "measure", measure="taken away", placed="Safe", holder="Warden")

    def stands():
        state = Danger.objects.with_facts().get(pk=finding.danger.pk).state_on()
        return state.is_held, state.is_away

    assert stands() == (True, True)
    measure = finding.danger.acts.get(act="measure")
    act(surveyor, finding.danger, "look", of=measure.pk, holds="false")
    assert stands() == (False, False)


def test_an_item_not_in_its_place_has_no_fixing_figures_on_its_page(reader, owner, item):
    page = reader.get(item.get_absolute_url()).content.decode()
    assert "Keep people out from under it" in page
    assert 'id="fixing-margins"' in page
    change(owner, item, **AWAY)
    page = reader.get(item.get_absolute_url()).content.decode()
    for words in ("Keep people out", "keep people out", 'id="fixing-margins"', 'id="remedy"'):
        assert words not in page
    assert "Taken down; Vestry safe; held by The warden" in page


def test_an_item_not_in_its_place_has_no_figures_and_no_sign_in_the_report(item, finding, opening):
    def told():
        there = AttachedItem.objects.select_related("opening__building").get(pk=item.pk)
        finding.refresh_from_db()
        entry = item_entry(there, fixing_verdict(there))
        pins = drawing_of(opening, [there], [finding]).pins
        facts = {fact.name: fact.value for fact in entry.facts}
        return entry.may_fall, entry.holding != "", facts.get("Where it is"), pins[0].hazard

    assert told() == (True, True, None, True)
    AttachedItem.objects.filter(pk=item.pk).update(**AWAY)
    assert told() == (False, False, "Taken down; Vestry safe; held by The warden", False)
