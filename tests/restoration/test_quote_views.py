"""Issued quotes: read as issued, downloaded, decided on."""

import datetime as dt
import hashlib
import re

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.test import Client
from django.utils import timezone

from restoration.models import Quote, QuoteEvent
from restoration.services.decisions import quote_status, standing_of
from restoration.services.issuing import ask_for_quote
from sites.jobs import run_now
from tests.factories import EstimateFactory, QuoteFactory
from tests.restoration.priced import COST_FIGURES, priced_estimate

pytestmark = pytest.mark.django_db

TODAY = timezone.now().date()


@pytest.fixture
def quote(building):
    """A quote that still stands, dated a week ago."""
    return QuoteFactory(
        estimate=EstimateFactory(building=building),
        dated=TODAY - dt.timedelta(days=7),
        valid_until=TODAY + dt.timedelta(days=53),
    )


@pytest.fixture
def issued(building, people, files):
    """A real quote of an estimate whose figures can be followed by hand."""
    estimate = priced_estimate(building)
    run_now(ask_for_quote(estimate, people["owner"]), "test")
    return Quote.objects.get(estimate=estimate)


def add_url(quote):
    return f"/quotes/{quote.pk}/events/add/"


def sent(decision, day=TODAY, **fields):
    return {
        "decision": decision,
        "day": day.isoformat(),
        "by_whom": "Tobias Wrenfield, treasurer",
        "authority": "Minute 14 of 3 June",
        "note": "",
        **fields,
    }


def test_the_page_says_what_the_quote_is_and_what_it_says(owner, issued):
    text = owner.get(issued.get_absolute_url()).content.decode()
    assert f"Repair quote {issued.number}" in text
    assert "Version 1" in text
    assert issued.pdf_sha256 in text
    assert "US$117.81" in text
    assert "US$1,320.48" in text
    assert "60 days left" in text


def test_the_page_is_read_from_the_snapshot_and_never_computed_again(owner, issued):
    issued.estimate.actions.update(quantity=400)
    issued.estimate.rate_book.labour_rates.update(hourly=1)
    issued.estimate.title = "Something else"
    issued.estimate.save()
    issued.estimate.building.openings.update(number="changed")
    text = owner.get(issued.get_absolute_url()).content.decode()
    assert "US$117.81" in text
    assert "nII" in text
    assert "4 joints" in text


def test_the_committee_reads_the_quote_and_nothing_of_its_costs(committee, issued):
    text = committee.get(issued.get_absolute_url()).content.decode()
    assert "US$1,320.48" in text
    for figure in COST_FIGURES:
        assert figure not in text
    assert issued.estimate.get_absolute_url() not in text
    assert "Record what happened" not in text


def test_the_file_is_shown_and_saved_as_it_was_issued(committee, issued):
    shown = committee.get(f"/quotes/{issued.pk}/pdf/")
    assert shown["Content-Type"] == "application/pdf"
    assert shown["Content-Disposition"].startswith("inline")
    content = b"".join(shown.streaming_content)
    assert hashlib.sha256(content).hexdigest() == issued.pdf_sha256
    saved = committee.get(f"/quotes/{issued.pk}/pdf/?download=1")
    assert f'filename="{issued.number}-v1.pdf"' in saved["Content-Disposition"]
    assert saved["Content-Disposition"].startswith("attachment")
    assert b"".join(saved.streaming_content) == content


def test_a_file_that_is_gone_is_not_found(owner, quote, files):
    assert owner.get(f"/quotes/{quote.pk}/pdf/").status_code == 404


def test_who_may_read_a_quote(people, client_of, building, files):
    path = default_storage.save("q.pdf", ContentFile(b"%PDF-1.7"))
    quote = QuoteFactory(estimate=EstimateFactory(building=building), pdf=path)
    expected = {role: 404 for role in people} | dict.fromkeys(
        ("owner", "estimator", "committee"), 200
    )
    for address in (quote.get_absolute_url(), f"/quotes/{quote.pk}/pdf/"):
        got = {}
        for role, user in people.items():
            response = client_of(user).get(address)
            got[role] = response.status_code
            # Read to its end, or the file stays open.
            b"".join(response)
        assert got == expected


def test_who_may_record_a_decision(people, client_of, quote):
    got = {
        role: client_of(user).post(add_url(quote), sent("sent")).status_code
        for role, user in people.items()
    }
    assert got == {role: 404 for role in people} | {
        "owner": 302,
        # They may; but it was sent once that day, and that is recorded.
        "estimator": 422,
        "committee": 403,
    }
    assert quote.events.count() == 1


def test_anonymous_people_are_asked_to_sign_in(client, quote):
    assert client.get(quote.get_absolute_url()).status_code == 302
    assert client.get(add_url(quote)).status_code == 302


def test_the_page_itself_carries_what_its_form_must_send(people, quote):
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["owner"])
    page = client.get(quote.get_absolute_url()).content.decode()
    form = page[page.index(f'action="{add_url(quote)}"') :]
    token = re.search(r'name="csrfmiddlewaretoken"\s+value="(\w+)"', form)
    assert client.post(add_url(quote), sent("sent")).status_code == 403
    kept = sent("sent") | {"csrfmiddlewaretoken": token[1]}
    assert client.post(add_url(quote), kept).status_code == 302


def test_decisions_are_posted(owner, quote):
    assert owner.get(add_url(quote)).status_code == 405


def test_a_decision_is_kept_as_it_was_made(owner, people, quote):
    owner.post(add_url(quote), sent("sent", note="By e-mail."))
    response = owner.post(add_url(quote), sent("accepted"), follow=True)
    text = response.content.decode()
    assert "Recorded: Accepted." in text
    assert "Tobias Wrenfield, treasurer" in text
    assert "Minute 14 of 3 June" in text
    assert "By e-mail." in text
    event = quote.events.get(decision="accepted")
    assert event.recorded_by == people["owner"]
    assert event.day == TODAY


@pytest.mark.parametrize(
    ("decision", "fields", "box", "said"),
    [
        ("accepted", {"authority": " "}, "authority", "Say with what authority"),
        ("accepted", {"by_whom": ""}, "by_whom", "must be filled in"),
        ("", {}, "decision", "must be filled in"),
        ("burnt", {}, "decision", "Select a valid choice"),
        ("sent", {"day": "yesterday"}, "day", "valid date"),
        ("sent", {"day": "2020-01-01"}, "day", "nothing can have happened to it before"),
        ("sent", {"day": "2999-01-01"}, "day", "still to come"),
    ],
)
def test_what_cannot_be_recorded_is_said_and_kept(owner, quote, decision, fields, box, said):
    response = owner.post(add_url(quote), sent(decision, note="To be kept.") | fields)
    text = response.content.decode()
    assert response.status_code == 422
    assert box in response.context["form"].errors
    assert said in text
    assert "To be kept." in text
    assert not QuoteEvent.objects.exists()


def test_an_expired_version_cannot_be_accepted(owner, building):
    quote = QuoteFactory(estimate=EstimateFactory(building=building))
    response = owner.post(add_url(quote), sent("accepted"))
    assert response.status_code == 422
    assert "stood until 1 August 2026 and cannot be accepted" in response.content.decode()
    assert "No longer stands" in owner.get(quote.get_absolute_url()).content.decode()


def test_an_acceptance_in_time_may_be_recorded_afterwards(owner, building):
    quote = QuoteFactory(estimate=EstimateFactory(building=building))
    in_time = quote.valid_until
    assert owner.post(add_url(quote), sent("accepted", day=in_time)).status_code == 302


def test_a_superseded_version_cannot_be_accepted(owner, quote):
    newer = QuoteFactory(estimate=quote.estimate, number=quote.number, version=2, supersedes=quote)
    response = owner.post(add_url(quote), sent("accepted"))
    assert response.status_code == 422
    assert "Version 2 has taken the place of this one" in response.content.decode()
    page = owner.get(quote.get_absolute_url()).content.decode()
    assert newer.get_absolute_url() in page
    assert "Superseded" in page
    assert owner.post(add_url(quote), sent("declined")).status_code == 302


@pytest.mark.parametrize("first", ["accepted", "declined"])
@pytest.mark.parametrize("second", ["accepted", "declined"])
def test_a_quote_is_decided_once_unless_that_is_taken_back(owner, quote, first, second):
    owner.post(add_url(quote), sent(first))
    response = owner.post(add_url(quote), sent(second))
    assert response.status_code == 422
    assert f"This quote was {first} on" in response.content.decode()
    assert owner.post(add_url(quote), sent("withdrawn")).status_code == 302
    assert owner.post(add_url(quote), sent(second)).status_code == 302
    assert [event.decision for event in quote.events.all()] == [first, "withdrawn", second]


def test_a_decision_is_not_taken_back_before_it_was_taken(owner, quote):
    owner.post(add_url(quote), sent("accepted"))
    before = sent("withdrawn", day=TODAY - dt.timedelta(days=2))
    response = owner.post(add_url(quote), before)
    assert response.status_code == 422
    assert "cannot be taken back before" in response.content.decode()


def test_a_withdrawn_quote_is_closed(owner, quote):
    owner.post(add_url(quote), sent("withdrawn"))
    page = owner.get(quote.get_absolute_url()).content.decode()
    assert "Withdrawn" in page
    assert "Record what happened" not in page
    response = owner.post(add_url(quote), sent("accepted"))
    assert response.status_code == 422
    assert "Issue a new version instead" in response.content.decode()


def test_what_is_recorded_never_changes_the_quote(owner, quote):
    before = Quote.objects.filter(pk=quote.pk).values().get()
    owner.post(add_url(quote), sent("sent"))
    owner.post(add_url(quote), sent("accepted"))
    assert Quote.objects.filter(pk=quote.pk).values().get() == before


def test_today_is_the_calendar_day_at_the_building(owner, building, quote):
    """Nothing can be recorded for a day that has not begun where the building stands."""
    building.time_zone = "Pacific/Kiritimati"
    building.save()
    there = timezone.now().astimezone(dt.timezone(dt.timedelta(hours=14))).date()
    assert owner.post(add_url(quote), sent("sent", day=there)).status_code == 302
    building.time_zone = "Pacific/Niue"
    building.save()
    here = timezone.now().astimezone(dt.timezone(dt.timedelta(hours=-11))).date()
    tomorrow = here + dt.timedelta(days=1)
    assert owner.post(add_url(quote), sent("sent", day=tomorrow)).status_code == 422


def test_a_quote_stands_until_the_end_of_its_last_day(quote):
    nothing = standing_of([])
    last = quote.valid_until
    assert quote_status(quote, nothing, last).word == "Issued"
    assert quote_status(quote, nothing, last + dt.timedelta(days=1)).word == "No longer stands"


def test_queries_do_not_grow_with_the_decisions(owner, quote, count_queries):
    owner.post(add_url(quote), sent("sent"))
    few = count_queries(lambda: owner.get(quote.get_absolute_url()))
    for _ in range(6):
        owner.post(add_url(quote), sent("sent"))
    assert count_queries(lambda: owner.get(quote.get_absolute_url())) == few
