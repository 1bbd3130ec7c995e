"""What the work adds to the pages of the register."""

from functools import partial

import pytest

from sites.compute.roles import ROLES
from tests.factories import (
    AttachedItemFactory,
    EstimateFactory,
    OpeningFactory,
    QuoteFactory,
    RepairActionFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db


def page(client, record):
    response = client.get(record.get_absolute_url())
    assert response.status_code == 200
    return response.content.decode()


def test_a_building_shows_its_estimates_and_quotes(owner, building):
    estimate = EstimateFactory(building=building, title="North side")
    quote = QuoteFactory(estimate=estimate)
    text = page(owner, building)
    assert estimate.get_absolute_url() in text
    assert quote.get_absolute_url() in text
    assert "No longer stands" in text
    assert "US$1,234.50" in text


def test_a_building_without_estimates_says_how_to_start_one(owner, committee, building):
    assert f"/buildings/{building.pk}/estimates/add/" in page(owner, building)
    assert "estimates/add" not in page(committee, building)


def test_each_role_sees_its_own(people, client_of, building):
    quote = QuoteFactory(estimate=EstimateFactory(building=building, title="North side"))
    seen = {role: page(client_of(people[role]), building) for role in ROLES}
    assert {role for role, text in seen.items() if "North side" in text} == {"owner", "estimator"}
    assert {role for role, text in seen.items() if quote.number in text} == {
        "owner",
        "estimator",
        "committee",
    }


def test_an_opening_and_an_item_show_the_work_proposed_there(owner, reader, building):
    item = AttachedItemFactory(opening=OpeningFactory(building=building))
    estimate = EstimateFactory(building=building)
    on_item = RepairActionFactory(
        estimate=estimate, opening=item.opening, attached_item=item, kind__name="Refix a plaque"
    )
    at_opening = RepairActionFactory(
        estimate=estimate, opening=item.opening, kind__name="Point the frame"
    )
    text = page(owner, item.opening)
    assert on_item.kind.name in text
    assert at_opening.kind.name in text
    assert f"#action-{on_item.pk}" in text
    text = page(owner, item)
    assert on_item.kind.name in text
    assert at_opening.kind.name not in text
    assert "Work proposed" not in page(reader, item)


def test_queries_do_not_grow_with_the_work(owner, building, count_queries):
    opening = OpeningFactory(building=building)

    def fill(times):
        for _ in range(times):
            estimate = EstimateFactory(building=building)
            QuoteFactory(estimate=estimate)
            RepairActionFactory(estimate=estimate, opening=opening)

    fill(2)
    few = [count_queries(partial(page, owner, each)) for each in (building, opening)]
    fill(6)
    assert [count_queries(partial(page, owner, each)) for each in (building, opening)] == few


def test_a_survey_leads_on_to_its_pricing(owner, surveyor, building):
    survey = SurveyFactory(building=building)
    start = f"/buildings/{building.pk}/estimates/add/?survey={survey.pk}"
    assert start in page(owner, survey)
    assert start not in page(surveyor, survey)
    estimate = EstimateFactory(building=building, survey=survey)
    text = page(owner, survey)
    assert start not in text
    assert estimate.get_absolute_url() in text
