"""The quotes that page one of a report asks a decision about."""

import datetime as dt

import pytest
from django.utils import timezone

from condition.documents.layout import report_html
from restoration.models import Quote, QuoteEvent
from restoration.services.decisions import quotes_to_decide
from restoration.services.issuing import _build, _reserve
from tests.condition.reports import report_of
from tests.factories import InspectionFactory, issued_fields
from tests.restoration.quotes import Proposal

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def proposal() -> Proposal:
    made = Proposal()
    InspectionFactory(survey=made.survey, opening=made.openings["I"])
    return made


def issued(proposal: Proposal, **fields) -> Quote:
    """The estimate's quote with its real data, and no file."""
    built = _build(proposal.estimate, _reserve(proposal.estimate, proposal.user), None)
    common = issued_fields("Q-2026-0001", snapshot=built.snapshot) | {
        "studio": proposal.studio,
        "building": proposal.building,
        "issued_by": proposal.user,
        "estimate": proposal.estimate,
        "valid_until": built.valid_until,
        "currency": "GBP",
        "total": built.priced.totals.total,
    }
    return Quote.objects.create(**common | fields)


def decided(quote: Quote, decision: str) -> None:
    QuoteEvent.objects.create(
        quote=quote, decision=decision, day=quote.dated, by_whom="The wardens",
        recorded_by=quote.issued_by,
    )  # fmt: skip


def test_page_one_asks_for_the_payment_and_says_where_the_tax_is(proposal):
    quote = issued(proposal)
    (asked,) = quotes_to_decide(proposal.building)
    payment = quote.snapshot["payments"][0]
    assert asked.total == quote.snapshot["total"]["words"]
    assert asked.first_payment.startswith(payment["amount"]["words"])
    assert asked.first_payment.endswith("its part of the tax in it")
    assert asked.tax.endswith("is in it (VAT, 20 %)")
    text = report_html(report_of(proposal.survey, timezone.now()))
    assert f"First payment: {asked.first_payment}." in text
    assert f"comes to {asked.total}; {asked.tax}." in text


def test_without_tax_it_says_that_none_is_added(proposal):
    proposal.book.tax_name, proposal.book.tax = "", 0
    proposal.book.save()
    issued(proposal)
    (asked,) = quotes_to_decide(proposal.building)
    assert asked.tax == "no tax is added"
    assert asked.first_payment.endswith("no tax in it")


@pytest.mark.parametrize("decision", ["accepted", "declined", "withdrawn"])
def test_what_is_decided_is_not_asked_about(proposal, decision):
    decided(issued(proposal), decision)
    assert list(quotes_to_decide(proposal.building)) == []


def test_one_that_was_sent_waits(proposal):
    decided(issued(proposal), "sent")
    assert len(list(quotes_to_decide(proposal.building))) == 1


def test_one_that_ran_out_is_not_asked_about(proposal):
    issued(proposal, valid_until=dt.date(2020, 1, 1))
    assert list(quotes_to_decide(proposal.building)) == []
