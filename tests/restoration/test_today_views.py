"""Today: what needs somebody, and for whom."""

import datetime as dt

import pytest
from django.utils import timezone

from condition.models import Photograph
from restoration.models import QuoteEvent
from sites.models import Job
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    ConditionReportFactory,
    EstimateFactory,
    FindingFactory,
    FindingKindFactory,
    InspectionFactory,
    MembershipFactory,
    OpeningFactory,
    PhotographFactory,
    QuoteFactory,
    RepairActionFactory,
    SurveyFactory,
    UserFactory,
)

pytestmark = pytest.mark.django_db

LATER = dt.date(2027, 5, 12)


def page(client, query=""):
    response = client.get(f"/{query}")
    assert response.status_code == 200
    return response.content.decode()


def danger(building, **fields):
    """A dangerous finding on an item of the building."""
    opening = OpeningFactory(building=building)
    item = AttachedItemFactory(opening=opening)
    kind = FindingKindFactory(studio=building.studio, name="Hangs by one corner")
    fields = {"survey": SurveyFactory(building=building), **fields}
    return FindingFactory(opening=opening, attached_item=item, kind=kind, hazard=True, **fields)


def test_a_danger_is_named_with_its_place_and_what_holds_it(owner, building):
    finding = danger(building)
    held = danger(building, made_safe="Wired to the saddle bar")
    text = page(owner)
    assert text.index("Dangers open") < text.index("Surveys under way")
    assert finding.danger.get_absolute_url() in text
    assert finding.subject_label in text
    assert "Nothing recorded holds it." in text
    assert "Wired to the saddle bar" in text
    not_held_at = text.index(finding.danger.get_absolute_url())
    assert not_held_at < text.index(held.danger.get_absolute_url())


@pytest.mark.parametrize("continues", [True, False])
def test_a_danger_stays_when_a_later_survey_logged_the_same_thing_as_harmless(
    owner, building, continues
):
    before = danger(building)
    FindingFactory(
        survey=SurveyFactory(building=building, day=LATER),
        opening=before.opening,
        attached_item=before.attached_item,
        kind=before.kind,
        continues=before if continues else None,
    )
    assert before.danger.get_absolute_url() in page(owner)


@pytest.mark.parametrize("seen_from", ["floor", "ladder"])
@pytest.mark.parametrize("of_item", [True, False])
def test_no_look_at_the_place_ends_a_danger(owner, building, seen_from, of_item):
    finding = danger(building)
    InspectionFactory(
        survey=SurveyFactory(building=building, day=LATER),
        opening=finding.opening,
        attached_item=finding.attached_item if of_item else None,
        side="both",
        seen_from=seen_from,
    )
    assert finding.danger.get_absolute_url() in page(owner)


def test_a_danger_goes_when_it_is_said_how_it_ended_and_comes_again_when_that_is_taken_back(
    owner, surveyor, building
):
    act = f"{danger(building).danger.get_absolute_url()}{{}}/".format
    taken = {"end": "taken away", "placed": "In the vestry", "holder": "The sexton"}
    assert surveyor.post(act("end"), {**taken, "day": "2026-06-01"}).status_code == 302
    assert "Dangers open" not in page(owner)
    hangs = {"because": "It hangs there still", "day": "2026-06-02"}
    assert surveyor.post(act("take-back"), hangs).status_code == 302
    assert "Dangers open" in page(owner)


def test_surveys_without_a_report_are_under_way(owner, building):
    issued = SurveyFactory(building=building, day=dt.date(2020, 5, 1))
    ConditionReportFactory(survey=issued)
    SurveyFactory(building=building, day=dt.date(2026, 5, 12))
    text = page(owner)
    assert "Survey of 12 May 2026" in text
    assert "Survey of 1 May 2020" not in text


def test_photographs_that_are_not_ready_are_named(surveyor, building):
    PhotographFactory(building=building, name="front.jpg", state="damaged", problem="Cut short.")
    PhotographFactory(building=building, name="side.jpg")
    PhotographFactory(building=building, name="fine.jpg", state="ready")
    text = page(surveyor)
    assert "front.jpg" in text
    assert "Cut short." in text
    assert "side.jpg" in text
    assert "fine.jpg" not in text
    assert Photograph.objects.count() == 3


def test_a_quote_waits_with_its_days_until_somebody_decides(owner, building):
    until = timezone.now().date() + dt.timedelta(days=9)
    quote = QuoteFactory(estimate=EstimateFactory(building=building), valid_until=until)
    text = page(owner)
    assert quote.number in text
    assert "9 days left" in text
    event(quote, "sent")
    assert quote.number in page(owner)
    event(quote, "accepted")
    assert "Quotes awaiting" not in page(owner)
    event(quote, "withdrawn")
    assert quote.number in page(owner)
    event(quote, "withdrawn")
    assert "Quotes awaiting" not in page(owner)


def event(quote, decision):
    return QuoteEvent.objects.create(
        quote=quote,
        decision=decision,
        day=quote.dated,
        by_whom="T. Treasurer",
        recorded_by=UserFactory(),
    )


def test_only_the_latest_version_of_a_quote_waits(owner, building):
    estimate = EstimateFactory(building=building)
    first = QuoteFactory(estimate=estimate)
    QuoteFactory(estimate=estimate, number=first.number, version=2, supersedes=first)
    text = page(owner)
    assert "version 2" in text
    assert "version 1" not in text


def test_a_quote_that_ran_out_says_so(owner, building):
    QuoteFactory(estimate=EstimateFactory(building=building), valid_until=dt.date(2026, 7, 1))
    assert "stood until 1 July 2026" in page(owner)


def test_estimates_not_issued_name_actions_without_a_quantity(estimator, building):
    estimate = EstimateFactory(building=building, title="North side")
    RepairActionFactory(estimate=estimate, quantity=None)
    RepairActionFactory(estimate=estimate, quantity=None, lump_sum=5, lump_sum_reason="agreed")
    RepairActionFactory(estimate=estimate)
    issued = EstimateFactory(building=building, title="Issued already")
    QuoteFactory(estimate=issued)
    text = page(estimator)
    assert "North side" in text
    assert "1 action has no quantity yet" in text
    assert "Issued already" not in text


def test_work_that_failed_is_shown_to_whoever_asked_for_it(owner, people, building):
    asked = {"studio": building.studio, "task": "issue_quote", "state": "failed"}
    Job.objects.create(
        **asked, key="mine", asked_by=people["owner"], ended_at=timezone.now(), problem="No paper."
    )
    Job.objects.create(
        **asked, key="theirs", asked_by=people["reader"], ended_at=timezone.now(), problem="Theirs."
    )
    long_ago = timezone.now() - dt.timedelta(days=30)
    Job.objects.create(
        **asked, key="old", asked_by=people["owner"], ended_at=long_ago, problem="Old news."
    )
    text = page(owner)
    assert "Issuing a quote" in text
    assert "No paper." in text
    assert "Theirs." not in text
    assert "Old news." not in text


def test_each_role_sees_what_it_may(people, client_of, building):
    quote = QuoteFactory(estimate=EstimateFactory(building=building))
    EstimateFactory(building=building, title="The studio's own working")
    PhotographFactory(building=building, name="side.jpg")
    danger(building)
    seen = {role: page(client_of(person)) for role, person in people.items()}
    assert {role for role, text in seen.items() if quote.number in text} == {
        "owner",
        "estimator",
        "committee",
    }
    assert {role for role, text in seen.items() if "The studio&#x27;s own working" in text} == {
        "owner",
        "estimator",
    }
    assert {role for role, text in seen.items() if "side.jpg" in text} == {
        "owner",
        "estimator",
        "surveyor",
    }
    assert {role for role, text in seen.items() if "Hangs by one corner" in text} == {
        role for role in people if role != "stranger"
    }


@pytest.mark.parametrize("name", ["quotes", "estimates", "photographs"])
def test_a_list_asked_for_by_its_address_tells_no_more(reader, building, name):
    QuoteFactory(estimate=EstimateFactory(building=building))
    EstimateFactory(building=building, title="Own working")
    PhotographFactory(building=building, name="side.jpg")
    text = page(reader, f"?list={name}")
    assert "RQ-" not in text
    assert "Own working" not in text
    assert "side.jpg" not in text


def test_a_long_list_is_cut_counted_and_shown_whole_on_demand(owner, building):
    opening = OpeningFactory(building=building)
    survey = SurveyFactory(building=building)
    kind = FindingKindFactory(studio=building.studio)
    FindingFactory.create_batch(60, survey=survey, opening=opening, kind=kind, hazard=True)
    text = page(owner)
    assert "Show all 60" in text
    assert text.count('<span class="label-number">') == 5
    whole = page(owner, "?list=dangers")
    assert whole.count('<span class="label-number">') == 50
    assert "Page 1 of 2" in whole
    assert page(owner, "?list=dangers&page=2").count('<span class="label-number">') == 10


def test_a_list_there_is_not_is_not_found(owner):
    assert owner.get("/?list=secrets").status_code == 404


def test_an_empty_list_says_that_nothing_stands_there(owner):
    assert "Nothing stands here any more" in page(owner, "?list=dangers")


def test_a_new_studio_is_taught_to_register_its_first_building(client_of):
    building = BuildingFactory()
    other = BuildingFactory().studio
    new = MembershipFactory(studio=other, building=None, role="owner").user
    other.buildings.all().delete()
    assert "Register your first building" in page(client_of(new))
    nobody = UserFactory()
    assert "Ask the owner" in page(client_of(nobody))
    quiet = MembershipFactory(building=building).user
    assert "Nothing needs you today" in page(client_of(quiet))


def test_nobody_sees_it_without_signing_in(client):
    assert client.get("/").status_code == 302


def test_it_is_only_read(owner):
    assert owner.post("/").status_code == 405


def test_queries_do_not_grow(owner, people, building, count_queries):
    def fill(times):
        for number in range(times):
            danger(building)
            estimate = EstimateFactory(building=building)
            RepairActionFactory(estimate=estimate, quantity=None)
            event(QuoteFactory(estimate=EstimateFactory(building=building)), "sent")
            PhotographFactory(building=building)
            Job.objects.create(
                studio=building.studio,
                task="issue_quote",
                key=f"{times}-{number}",
                state="failed",
                asked_by=people["owner"],
                ended_at=timezone.now(),
            )

    fill(2)
    few = count_queries(lambda: owner.get("/"))
    fill(8)
    assert count_queries(lambda: owner.get("/")) == few
    assert few <= 24
