"""Looked at and nothing found, or not inspected: in one tap, or with its reason."""

import pytest
from django.test import Client
from django.urls import reverse

from condition.models import Inspection
from tests.factories import (
    FindingFactory,
    InspectionFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nIV")


@pytest.fixture
def add_url(survey):
    return reverse("condition:inspection-add", args=[survey.pk])


@pytest.fixture
def tap_url(survey):
    return reverse("condition:inspection-nothing-found", args=[survey.pk])


def form(opening, **changes):
    return {
        "opening": str(opening.pk),
        "part": "",
        "outcome": "nothing found",
        "side": "inside",
        "seen_from": "tower",
        "reason": "",
    } | changes


def test_looks_are_for_those_who_survey(reader, stranger, survey, opening, add_url, tap_url):
    inspection = InspectionFactory(survey=survey, opening=opening)
    for url in (add_url, tap_url, reverse("condition:inspection-delete", args=[inspection.pk])):
        assert Client().post(url).status_code == 302
        assert reader.post(url).status_code == 403
        assert stranger.post(url).status_code == 404
    assert Inspection.objects.count() == 1


# In one tap.
def test_one_tap_logs_one_opening_whatever_is_ticked(surveyor, opening, tap_url):
    other = OpeningFactory(building=opening.building)
    posted = {"only": opening.pk, "openings": [opening.pk, other.pk], "seen_from": "ladder"}
    text = surveyor.post(tap_url, posted, follow=True).content.decode()
    inspection = Inspection.objects.get()
    assert (inspection.opening, inspection.outcome, inspection.side) == (
        opening,
        "nothing found",
        "inside",
    )
    assert inspection.seen_from == "ladder"
    assert "Looked at, nothing found: nIV." in text


def test_all_that_are_ticked_are_logged_and_named(surveyor, building, tap_url):
    ticked = [OpeningFactory(building=building) for _ in range(3)]
    OpeningFactory(building=building)
    posted = {"openings": [each.pk for each in ticked], "side": "outside"}
    text = surveyor.post(tap_url, posted, follow=True).content.decode()
    assert {inspection.opening for inspection in Inspection.objects.filter(side="outside")} == set(
        ticked
    )
    assert ", ".join(each.number for each in ticked) in text


def test_a_second_tap_changes_nothing(surveyor, opening, tap_url):
    surveyor.post(tap_url, {"only": opening.pk})
    text = surveyor.post(tap_url, {"only": opening.pk}, follow=True).content.decode()
    assert Inspection.objects.count() == 1
    assert "Left as it was" in text


def test_a_tap_does_not_contradict_a_finding(surveyor, survey, opening, tap_url):
    FindingFactory(survey=survey, opening=opening)
    text = surveyor.post(tap_url, {"only": opening.pk}, follow=True).content.decode()
    assert not Inspection.objects.exists()
    assert "Left as it was" in text


@pytest.mark.parametrize(
    "posted",
    [{}, {"openings": ["x"]}, {"only": "x"}, {"only": "{elsewhere}"}, {"side": "above"}],
    ids=str,
)
def test_a_tap_on_nothing_of_this_building_is_said(surveyor, opening, tap_url, posted):
    elsewhere = OpeningFactory()
    sent = {k: v.format(elsewhere=elsewhere.pk) if k == "only" else v for k, v in posted.items()}
    response = surveyor.post(tap_url, sent, follow=True)
    assert response.status_code == 200
    assert 'data-level="error"' in response.content.decode()
    assert not Inspection.objects.exists()


# With its reason.
def test_not_inspected_is_offered_ready_for_its_opening(surveyor, opening, add_url):
    asked = {"opening": opening.pk, "outcome": "not inspected"}
    page = surveyor.get(add_url, asked).content.decode()
    assert f'<option value="{opening.pk}" selected>' in page
    assert 'value="not inspected" id="id_outcome_1" required checked' in " ".join(page.split())


def test_not_inspected_keeps_its_reason(surveyor, survey, opening, add_url):
    posted = form(opening, outcome="not inspected", reason="The organ loft was locked.")
    assert surveyor.post(add_url, posted).url.startswith(survey.get_absolute_url())
    assert Inspection.objects.get().reason == "The organ loft was locked."


def test_a_look_at_a_panel_is_of_the_panel(surveyor, opening, add_url):
    panel = PanelFactory(opening=opening)
    surveyor.post(add_url, form(opening, part=f"panel:{panel.pk}"))
    assert Inspection.objects.get().panel == panel


WRONG = {
    "not inspected without a reason": {"outcome": "not inspected"},
    "no outcome": {"outcome": ""},
    "an opening of elsewhere": {"opening": "{elsewhere}"},
    "a part of another opening": {"part": "panel:{other_panel}"},
    "a side that is recorded": {"side": "outside"},
    "a contradiction": {"part": "panel:{found_panel}"},
    "a contradiction of the whole": {},
}


@pytest.mark.parametrize("what", WRONG)
def test_what_cannot_be_comes_back_with_the_words_kept(surveyor, survey, opening, add_url, what):
    InspectionFactory(survey=survey, opening=opening, side="outside")
    found = PanelFactory(opening=opening)
    FindingFactory(survey=survey, opening=opening, panel=found)
    keys = {
        "elsewhere": OpeningFactory().pk,
        "other_panel": PanelFactory(opening=OpeningFactory(building=survey.building)).pk,
        "found_panel": found.pk,
    }
    wrong = {name: text.format(**keys) for name, text in WRONG[what].items()}
    reason = {} if "reason" in what else {"reason": "Words to keep"}
    response = surveyor.post(add_url, form(opening) | reason | wrong)
    assert response.status_code == 422
    assert "Please mend this first" in response.content.decode()
    assert not reason or "Words to keep" in response.content.decode()
    assert Inspection.objects.count() == 1


def test_a_finding_outside_does_not_contradict_a_look_inside(surveyor, survey, opening, add_url):
    FindingFactory(survey=survey, opening=opening, side="outside")
    assert surveyor.post(add_url, form(opening)).status_code == 302


def test_a_look_is_taken_away(surveyor, survey, opening):
    inspection = InspectionFactory(survey=survey, opening=opening)
    url = reverse("condition:inspection-delete", args=[inspection.pk])
    assert surveyor.get(url).status_code == 405
    assert "Taken away: nIV" in surveyor.post(url, follow=True).content.decode()
    assert not Inspection.objects.exists()


def test_looks_of_one_side_at_several_things_are_each_kept(surveyor, building, opening, add_url):
    """The rule is one look a side of one thing, not one a side of the survey."""
    panel, other = PanelFactory(opening=opening), OpeningFactory(building=building)
    for posted in (form(opening), form(opening, part=f"panel:{panel.pk}"), form(other)):
        assert surveyor.post(add_url, posted).status_code == 302
    assert Inspection.objects.count() == 3


def test_a_wrong_look_is_told_what_is_wrong_and_nothing_else(surveyor, building, opening, add_url):
    surveyor.post(add_url, form(OpeningFactory(building=building)))
    response = surveyor.post(add_url, form(opening, outcome=""))
    assert list(response.context["form"].errors) == ["outcome"]
