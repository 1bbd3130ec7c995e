"""The plan in the report, and what is said there of the fixings of a plaque."""

import datetime as dt

import pytest

from condition.documents.layout import report_html
from condition.services.report_snapshot import build_snapshot
from sites.models import Fixing, PlanWall
from sites.models.choices import DocumentKind
from sites.services.numbers import reserve_number
from tests.factories import AttachedItemFactory, FindingFactory, OpeningFactory, SurveyFactory

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building, day=dt.date(2026, 5, 12))


def snapshot_of(survey, user):
    number = reserve_number(
        studio=survey.building.studio,
        kind=DocumentKind.REPORT,
        subject=survey.pk,
        dated=dt.date(2026, 5, 20),
        user=user,
    )
    return build_snapshot(survey, number, None)


def test_a_building_without_walls_has_no_plan(survey, user):
    FindingFactory(survey=survey, opening=OpeningFactory(building=survey.building))
    snapshot = snapshot_of(survey, user)
    assert snapshot["plan"] is None
    assert "The building and its windows" not in report_html(snapshot)


def test_the_plan_shows_each_opening_with_its_danger(survey, user):
    wall = PlanWall.objects.create(
        building=survey.building, order=1, x1_mm=0, y1_mm=0, x2_mm=9000, y2_mm=0
    )
    hit, other = (
        OpeningFactory(building=survey.building, number=number, plan_wall=wall)
        for number in ("nII", "nIII")
    )
    loose = OpeningFactory(building=survey.building, number="sII")
    FindingFactory(survey=survey, opening=hit, hazard=True)
    plan = snapshot_of(survey, user)["plan"]
    texts = [mark["text"] for mark in plan["marks"] if mark["kind"] == "plan-number"]
    assert sorted(texts) == [hit.number, other.number]
    assert any(mark["kind"] == "sign" for mark in plan["marks"])
    assert "Danger at nII" in plan["alt"]
    assert any(loose.number in line for line in plan["caption"])


@pytest.mark.parametrize("under", ["people", "nobody"])
def test_a_plaque_by_its_last_tab_over_people_is_a_danger(survey, user, under):
    opening = OpeningFactory(building=survey.building, under_inside=under)
    item = AttachedItemFactory(opening=opening)
    Fixing.objects.create(item=item, kind="soldered tab", state="sound", holds_on_to="lead")
    FindingFactory(survey=survey, opening=opening, attached_item=item)
    snapshot = snapshot_of(survey, user)
    entry = snapshot["openings"][0]["items"][0]
    assert entry["may_fall"] is (under == "people")
    assert "licensed practice decides" in entry["holding"]
    assert entry["holding"] in report_html(snapshot)


def test_an_item_without_recorded_fixings_is_not_reckoned(survey, user):
    opening = OpeningFactory(building=survey.building)
    FindingFactory(
        survey=survey, opening=opening, attached_item=AttachedItemFactory(opening=opening)
    )
    assert snapshot_of(survey, user)["openings"][0]["items"][0]["holding"] == ""
