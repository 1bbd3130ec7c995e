"""What planned work is to mind on site, where it is planned."""

from decimal import Decimal

import pytest
from django.urls import reverse

from restoration.services.site_safety import highest_head, site_safety
from tests.factories import ActionKindFactory, EstimateFactory, OpeningFactory, RepairActionFactory


@pytest.fixture
def action(building):
    opening = OpeningFactory(
        building=building,
        under_inside="people",
        sill_height_typed="2000",
        sill_height_mm=Decimal(2000),
        height_typed="3000",
        height_mm=Decimal(3000),
    )
    kind = ActionKindFactory(
        studio=building.studio, cautions=["lead", "hot-work", "work-at-height", "asbestos"]
    )
    estimate = EstimateFactory(building=building, title="Tabs of the plaque")
    return RepairActionFactory(estimate=estimate, opening=opening, kind=kind)


def words(response) -> str:
    return " ".join(response.content.decode().split())


@pytest.mark.published("29 CFR 1926.1053(b)(5)(i); NFPA 51B (2019) 5.5, from memory")
def test_an_action_shows_what_its_kind_and_its_opening_call_for(estimator, action):
    page = words(estimator.get(reverse("restoration:action-edit", args=[action.pk])))
    assert "For a top support at 5 m the foot stands 1.29 m out" in page
    assert "Watch for at least 60 minutes" in page
    assert "Whether people pass below is not recorded" not in page
    assert "Asbestos not ruled out" in page


def test_an_estimate_shows_it_for_all_its_work_and_offers_a_sheet_with_the_facts(estimator, action):
    page = words(estimator.get(action.estimate.get_absolute_url()))
    assert "Make a site safety sheet" in page
    work = [(action.kind, action.opening)]
    told = site_safety(action.estimate.building, action.estimate.title, work)
    assert told.sheet_url.replace("&", "&amp;") in page
    form = words(estimator.get(told.sheet_url))
    assert 'value="flame" selected' in form
    assert 'value="Tabs of the plaque"' in form
    assert "5000" in form


def test_without_work_there_is_nothing_to_mind(building):
    assert site_safety(building, "Nothing", []) is None


def test_one_opening_without_its_height_makes_the_highest_unknown(action, building):
    assert highest_head([action.opening]) == 5000
    assert highest_head([action.opening, OpeningFactory(building=building)]) is None
    assert highest_head([]) is None


def test_a_new_action_shows_nothing_before_its_kind_is_chosen(estimator, action):
    address = reverse("restoration:action-add", args=[action.estimate.pk])
    assert "Make a site safety sheet" not in words(estimator.get(address))
    page = words(estimator.get(f"{address}?kind={action.kind.pk}"))
    assert "The height is not recorded" in page
