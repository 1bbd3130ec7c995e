"""The sheet of an estimate: its figures, their working, and who may read it."""

import re
import uuid
from decimal import Decimal

import pytest
from django.test import Client

from restoration.models import Estimate, Quote
from sites.jobs import run_now
from sites.models import Job
from tests.factories import (
    ActionKindFactory,
    EstimateFactory,
    FindingFactory,
    MembershipFactory,
    OpeningFactory,
    PanelFactory,
    QuoteFactory,
    RateBookFactory,
    RepairActionFactory,
    SharedCostFactory,
    SurveyFactory,
)
from tests.restoration.priced import COST_FIGURES, priced_estimate

pytestmark = pytest.mark.django_db


@pytest.fixture
def estimate(building):
    return priced_estimate(building)


def url(estimate, tail=""):
    return f"/estimates/{estimate.pk}/{tail}"


def page(client, estimate):
    response = client.get(url(estimate))
    assert response.status_code == 200
    return response.content.decode()


def test_the_sheet_shows_each_line_and_what_it_adds_up_to(owner, estimate):
    text = page(owner, estimate)
    for figure in ("US$92.06", "US$117.81", "US$801.30", "US$1,025.46"):
        assert figure in text
    for total in ("US$1,143.27", "US$114.33", "US$62.88", "US$1,320.48"):
        assert total in text
    assert "Resolder joints" in text
    assert "4 joints" in text
    assert "Repair in place, step 3 of 6" in text
    assert "seen from the floor" in text


def test_each_figure_opens_to_its_working(owner, estimate):
    text = page(owner, estimate)
    assert "hours per unit" in text
    assert "glazier: hourly rate" in text
    assert "61.37" in text
    assert "rate book" in text
    assert "common practice, no source" in text
    assert text.count('<details class="working">') >= 4


def test_the_payments_add_up_to_the_total(owner, estimate):
    text = page(owner, estimate)
    assert "US$528.19" in text
    assert "US$792.29" in text
    assert "US$1,320.48" in text  # of which the two are all


def test_a_building_in_the_united_states_reads_dollars_as_they_are_written_there(owner, building):
    building.country = "US"
    building.save()
    text = page(owner, priced_estimate(building))
    assert "$1,320.48" in text
    assert "US$" not in text


def test_a_currency_without_a_minor_unit_is_written_without_one(owner, building):
    book = RateBookFactory(studio=building.studio, currency="JPY", contingency=0)
    estimate = EstimateFactory(building=building, rate_book=book)
    SharedCostFactory(estimate=estimate, amount=12000)
    text = page(owner, estimate)
    assert "JP¥15,180" in text
    assert "own currency is USD; this rate book, and so the quote, is in JPY" in text


def test_the_cautions_of_the_work_stand_on_the_sheet(owner, estimate):
    assert "Lead in came, solder, old paint and dust" in page(owner, estimate)


def test_missing_quantities_are_counted_named_and_linked(owner, estimate, building):
    kind = ActionKindFactory(studio=building.studio, name="Replace a tie", unit="tie")
    panel = PanelFactory(opening=OpeningFactory(building=building, number="sIV"), number="2b")
    actions = RepairActionFactory.create_batch(
        2, estimate=estimate, kind=kind, opening=panel.opening, panel=panel, quantity=None
    )
    text = page(owner, estimate)
    assert "2 actions have no quantity yet" not in text, "they have no norm either"
    assert "2 actions have no hours and no materials in the rate book" in text
    kind.norms.create(
        rate_book=estimate.rate_book,
        labour_rate=estimate.rate_book.labour_rates.get(trade="glazier"),
        hours_per_unit=1,
        setup_hours=0,
    )
    text = page(owner, estimate)
    assert "2 actions have no quantity yet" in text
    assert f"/actions/{actions[0].pk}/edit/#id_quantity" in text
    assert "Replace a tie, sIV 2b" in text
    assert "Total so far" in text
    assert "US$1,320.48" in text, "what can be priced is priced"
    assert "Issue the quote</button>" not in text


def test_payment_stages_that_do_not_add_up_are_said(owner, estimate):
    estimate.rate_book.payment_shares = [["On order", "90"]]
    estimate.rate_book.save()
    text = page(owner, estimate)
    assert "must come to 100 % exactly" in text
    assert "Issue the quote</button>" not in text


def test_an_empty_estimate_says_what_to_do_next(owner, building):
    text = page(owner, EstimateFactory(building=building))
    assert "Choose from the findings" in text
    assert "No actions yet" in text


def test_a_lump_sum_stands_as_the_price_with_its_reason(owner, building):
    estimate = EstimateFactory(building=building)
    RepairActionFactory(
        estimate=estimate, quantity=None, lump_sum=Decimal("250"), lump_sum_reason="as agreed"
    )
    text = page(owner, estimate)
    assert "US$250.00" in text
    assert "as agreed" in text
    assert "1 lump sum has no cost" in text


def test_what_the_client_will_see_tells_nothing_of_costs(owner, estimate):
    text = page(owner, estimate)
    client_part = text[text.index("What the client will see") :]
    client_part = client_part[: client_part.index("</details>")]
    assert "US$117.81" in client_part
    assert "US$1,320.48" in client_part
    for figure in COST_FIGURES:
        assert figure not in client_part


def test_who_may_read_it(people, client_of, estimate):
    status = {role: client_of(user).get(url(estimate)).status_code for role, user in people.items()}
    assert status == {
        "owner": 200,
        "estimator": 200,
        "surveyor": 404,
        "bench": 404,
        "committee": 404,
        "reader": 404,
        "stranger": 404,
    }


@pytest.mark.parametrize(
    "tail",
    [
        "",
        "edit/",
        "actions/add/",
        "actions/from-findings/",
        "shared-costs/add/",
    ],
)
def test_nothing_of_it_is_told_to_those_who_may_not_see_costs(committee, reader, estimate, tail):
    for client in (committee, reader):
        response = client.get(url(estimate, tail))
        assert response.status_code == 404
        for figure in COST_FIGURES:
            assert figure not in response.content.decode()


def test_anonymous_people_are_asked_to_sign_in(client, estimate):
    assert client.get(url(estimate)).status_code == 302


def test_an_estimate_there_is_not(owner):
    assert owner.get(f"/estimates/{uuid.uuid4()}/").status_code == 404


def test_the_sheet_is_only_read(owner, estimate):
    assert owner.post(url(estimate)).status_code == 405


def test_queries_do_not_grow_with_the_actions(owner, building, estimate, count_queries):
    def fill(times):
        for _ in range(times):
            finding = FindingFactory(survey=estimate.survey)
            action = RepairActionFactory(
                estimate=estimate,
                opening=finding.opening,
                kind=estimate.actions.first().kind,
            )
            action.findings.add(finding)
            SharedCostFactory(estimate=estimate)

    fill(2)
    few = count_queries(lambda: owner.get(url(estimate)))
    fill(10)
    assert count_queries(lambda: owner.get(url(estimate))) == few


def test_an_estimate_starts_from_a_survey_and_goes_on_to_its_findings(owner, building):
    survey = SurveyFactory(building=building)
    book = RateBookFactory(studio=building.studio, contingency=Decimal("12.5"))
    add = f"/buildings/{building.pk}/estimates/add/"
    assert "Repairs after the survey of 12 May 2026" in owner.get(add).content.decode()
    sent = {"title": "North side", "survey": survey.pk, "rate_book": book.pk}
    response = owner.post(add, sent)
    made = Estimate.objects.get()
    assert (made.title, made.survey, made.rate_book) == ("North side", survey, book)
    assert made.contingency == Decimal("12.5")
    assert response.status_code == 302
    assert response["Location"] == url(made, "actions/from-findings/")


def test_an_estimate_may_start_without_a_survey(owner, building):
    book = RateBookFactory(studio=building.studio)
    response = owner.post(
        f"/buildings/{building.pk}/estimates/add/",
        {"title": "By hand", "survey": "", "rate_book": book.pk},
    )
    assert response["Location"] == url(Estimate.objects.get())


def test_a_survey_or_book_from_elsewhere_is_no_choice(owner, building):
    RateBookFactory(studio=building.studio)
    sent = {"title": "", "survey": SurveyFactory().pk, "rate_book": RateBookFactory().pk}
    response = owner.post(f"/buildings/{building.pk}/estimates/add/", sent)
    assert response.status_code == 422
    assert set(response.context["form"].errors) == {"title", "survey", "rate_book"}
    assert "Please mend this first" in response.content.decode()
    assert not Estimate.objects.exists()


def test_the_survey_in_the_address_is_chosen_already(owner, building):
    older = SurveyFactory(building=building, day="2015-06-09")
    SurveyFactory(building=building)
    RateBookFactory(studio=building.studio)
    response = owner.get(f"/buildings/{building.pk}/estimates/add/?survey={older.pk}")
    assert response.context["form"].initial["survey"] == older
    odd = owner.get(f"/buildings/{building.pk}/estimates/add/?survey=nonsense")
    assert odd.status_code == 200


def test_who_may_start_an_estimate(people, client_of, building):
    add = f"/buildings/{building.pk}/estimates/add/"
    status = {role: client_of(user).get(add).status_code for role, user in people.items()}
    assert {role for role, code in status.items() if code == 200} == {"owner", "estimator"}
    assert status["surveyor"] == status["committee"] == 403
    assert status["stranger"] == 404


def test_a_contingency_needs_its_reason(owner, estimate):
    sent = {
        "title": "North side",
        "survey": estimate.survey_id,
        "rate_book": estimate.rate_book_id,
        "contingency": "12,5",
        "contingency_reason": " ",
        "assumptions": "Dry weather.",
        "exclusions": "",
    }
    response = owner.post(url(estimate, "edit/"), sent)
    assert response.status_code == 422
    assert "Say why" in response.content.decode()
    assert "Dry weather." in response.content.decode()
    response = owner.post(url(estimate, "edit/"), sent | {"contingency_reason": "from a tower"})
    assert response.status_code == 302
    estimate.refresh_from_db()
    assert estimate.contingency == Decimal("12.5")
    assert estimate.assumptions == "Dry weather."


@pytest.mark.parametrize("percent", ["101", "-1", "many", "NaN"])
def test_a_percentage_beyond_its_bounds_comes_back_as_typed(owner, estimate, percent):
    sent = {
        "title": "North side",
        "rate_book": estimate.rate_book_id,
        "contingency": percent,
        "contingency_reason": "from a tower",
    }
    response = owner.post(url(estimate, "edit/"), sent)
    assert response.status_code == 422
    assert "contingency" in response.context["form"].errors
    assert f'value="{percent}"' in response.content.decode()


def test_asking_for_the_quote_makes_a_job_and_shows_how_far_it_is(owner, estimate):
    response = owner.post(url(estimate, "quote/issue/"), headers={"HX-Request": "true"})
    job = Job.objects.get()
    assert response.status_code == 200
    assert f"/jobs/{job.pk}/" in response.content.decode()
    assert "<html" not in response.content.decode()
    again = owner.post(url(estimate, "quote/issue/"))
    assert Job.objects.count() == 1
    assert again["Location"] == f"/jobs/{job.pk}/"
    assert f"/jobs/{job.pk}/" in page(owner, estimate), "the sheet shows it while it is under way"


def test_the_sheet_carries_what_issuing_must_send_without_any_script(people, estimate):
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["owner"])
    sheet = page(client, estimate)
    form = sheet[sheet.index('id="issuing"') :]
    token = re.search(r'name="csrfmiddlewaretoken"\s+value="(\w+)"', form)
    sent = {"csrfmiddlewaretoken": token[1]}
    assert client.post(url(estimate, "quote/issue/")).status_code == 403
    assert client.post(url(estimate, "quote/issue/"), sent).status_code == 302


def test_somebody_elses_job_is_said_to_be_under_way(owner, estimator, people, estimate):
    owner.post(url(estimate, "quote/issue/"))
    response = estimator.post(url(estimate, "quote/issue/"))
    assert response["Location"] == url(estimate)
    assert Job.objects.count() == 1
    text = page(estimator, estimate)
    assert f"{people['owner'].name} has asked for it already" in text
    assert "/jobs/" not in text


def test_a_quote_that_cannot_be_issued_says_what_is_missing_on_the_sheet(owner, estimate):
    estimate.actions.update(quantity=None)
    response = owner.post(url(estimate, "quote/issue/"))
    assert response.status_code == 422
    assert "Enter a quantity" in response.content.decode()
    assert not Job.objects.exists()


def test_who_may_issue(people, client_of, estimate):
    status = {
        role: client_of(user).post(url(estimate, "quote/issue/")).status_code
        for role, user in people.items()
        if role not in ("owner", "estimator")
    }
    assert set(status.values()) == {404}
    assert not Job.objects.exists()
    assert client_of(people["owner"]).get(url(estimate, "quote/issue/")).status_code == 405


def test_issued_versions_stand_on_the_sheet_with_what_became_of_them(owner, estimate):
    quote = QuoteFactory(estimate=estimate)
    text = page(owner, estimate)
    assert f"{quote.number} version 1" in text
    assert "Issue a new version" in text
    assert "Nothing has changed" not in text


def test_the_issued_quote_says_exactly_what_the_sheet_promised(owner, people, estimate, files):
    """And once it is issued, the sheet says that a new version would say nothing new."""
    owner.post(url(estimate, "quote/issue/"))
    assert run_now(Job.objects.get(), "test").state == "done"
    quote = Quote.objects.get()
    sheet = owner.get(url(estimate))
    promised = sheet.context["sheet"].client
    assert promised.total.words == quote.snapshot["total"]["words"]
    assert "Nothing has changed since version 1" in sheet.content.decode()
    estimate.actions.update(quantity=5)
    assert "Nothing has changed" not in page(owner, estimate)


def test_an_estimator_of_the_whole_studio_reads_every_building(client_of, estimate):
    studio = estimate.building.studio
    user = MembershipFactory(studio=studio, building=None, role="estimator").user
    assert client_of(user).get(url(estimate)).status_code == 200
