"""What would be done next: what the record supports, one answer for page, report and quote."""

import datetime as dt
from decimal import Decimal

import pytest

from condition.services.report_snapshot import build_snapshot
from condition.services.steps import steps_of
from restoration.models import QuoteEvent
from restoration.services.estimates import suggestions_for
from restoration.services.studios import open_studio
from sites.models.choices import DocumentKind
from sites.services.figures import figures_of
from sites.services.numbers import reserve_number
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    EstimateFactory,
    FindingFactory,
    FixingFactory,
    OpeningFactory,
    QuoteFactory,
    RepairActionFactory,
    SurveyFactory,
    UserFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]
WAYS = {"refix-plaque-two-fixings", "strap-plaque-to-bar", "rescrew-plaque-to-wall"}


@pytest.fixture
def church():
    return BuildingFactory(studio=open_studio("Withy Brook Glass"))


@pytest.fixture
def found(church):
    """A function that logs a finding of a kind on something of the church."""
    opening = OpeningFactory(building=church, number="nII")

    def make(code, **facts):
        facts.setdefault("survey", SurveyFactory(building=church))
        facts.setdefault("opening", opening)
        return FindingFactory(kind=church.studio.finding_kinds.get(code=code), **facts)

    return make


@pytest.fixture
def plaque(found, church):
    """A function that returns a plaque of 300 g, held by fixings of one kind."""
    opening = OpeningFactory(building=church, number="nV")

    def make(**fixing):
        item = AttachedItemFactory(
            opening=opening, kind="plaque", material="brass", weighed_kg=Decimal("0.3")
        )
        FixingFactory(item=item, **fixing)
        return item

    return make


def supported(finding):
    figures = figures_of(finding.survey.building.studio)
    return [kind.code for kind in steps_of([finding], figures)[finding.pk].supported]


@pytest.mark.parametrize(
    ("fixing", "way"),
    [
        ({"holds_on_to": "lead", "host_state": "sound"}, {"refix-plaque-two-fixings"}),
        ({"holds_on_to": "lead", "host_state": "weak"}, {"strap-plaque-to-bar"}),
        ({"holds_on_to": "lead", "host_state": "not seen"}, set()),
        ({"kind": "screw", "holds_on_to": "stone"}, {"rescrew-plaque-to-wall"}),
        ({"kind": "screw", "holds_on_to": "timber"}, {"rescrew-plaque-to-wall"}),
    ],
)
def test_a_plaque_is_advised_what_its_metal_weight_and_host_speak_for(found, plaque, fixing, way):
    item = plaque(**fixing)
    loose = found("loose-item", opening=item.opening, attached_item=item, hazard=True)
    assert set(supported(loose)) & WAYS == way


def test_a_lamp_is_advised_no_way_of_fixing_a_plaque(found, plaque):
    lamp = plaque()
    lamp.kind = "lamp"
    lamp.save()
    loose = found("loose-item", opening=lamp.opening, attached_item=lamp)
    assert not set(supported(loose)) & WAYS


def test_what_can_hurt_someone_is_not_left_to_be_watched(found):
    assert "monitor-by-measuring" in supported(found("cracked-stone"))
    assert "monitor-by-measuring" not in supported(found("cracked-stone", hazard=True))


def done_about(finding, code, *, accepted=True):
    building = finding.survey.building
    estimate = EstimateFactory(building=building)
    kind = building.studio.action_kinds.get(code=code)
    action = RepairActionFactory(estimate=estimate, kind=kind, opening=finding.opening)
    action.findings.add(finding)
    if accepted:
        quote = QuoteFactory(estimate=estimate)
        QuoteEvent.objects.create(
            quote=quote, decision="accepted", day=quote.dated, by_whom="The wardens",
            recorded_by=UserFactory(),
        )  # fmt: skip
    return action


@pytest.mark.parametrize("accepted", [True, False])
def test_a_rung_tried_before_is_not_advised_again(found, church, accepted):
    survey = SurveyFactory(building=church, day=dt.date(2015, 6, 9))
    before = found("broken-tie", survey=survey)
    done_about(before, "replace-tie", accepted=accepted)
    again = found("broken-tie", continues=before)
    assert ("replace-tie" in supported(again)) == (not accepted)


def test_page_report_and_estimate_name_the_step_that_is_proposed(found, church, client, files):
    crack = found("fractured-came", recommendation_class=2)
    figures = figures_of(church.studio)
    names = [kind.name for kind in steps_of([crack], figures)[crack.pk].told(2)]
    assert names == ["Monitor by measuring", "Bridge a broken came in place"]
    action = done_about(crack, "partial-releading", accepted=False)
    told = steps_of([crack], figures)[crack.pk].told(2)
    assert told == (action.kind,)
    user = UserFactory()
    number = reserve_number(
        studio=church.studio,
        kind=DocumentKind.REPORT,
        subject=crack.survey.pk,
        dated=dt.date(2026, 5, 20),
        user=user,
    )
    (entry,) = build_snapshot(crack.survey, number, None)["openings"]
    assert [each["steps"] for each in entry["advice"]] == [[action.kind.name]]
    user.memberships.create(studio=church.studio, role="owner")
    client.force_login(user)
    assert action.kind.name in client.get(crack.get_absolute_url()).content.decode()
    offered = [each.kind.code for each in suggestions_for([crack], set())[crack.pk]]
    assert offered[:2] == ["monitor-by-measuring", "bridge-broken-came-in-place"]


def test_queries_do_not_grow_with_the_findings(found, plaque, church, count_queries):
    def ask(findings):
        rows = list(findings)
        return count_queries(lambda: steps_of(rows, figures_of(church.studio)))

    item = plaque()
    one = found("loose-item", opening=item.opening, attached_item=item)
    kinds = (
        type(one).objects.select_related("kind").prefetch_related("kind__action_links__action_kind")
    )
    few = ask(kinds.filter(pk=one.pk))
    for _n in range(4):
        item = plaque()
        found("loose-item", opening=item.opening, attached_item=item)
    assert ask(kinds.all()) == few
