"""The snapshot of a quote: it adds up to the cent, tells no cost, and names what it needs."""

import datetime as dt
import json
from decimal import Decimal

import pytest

from condition.models import ActionCaution
from restoration.documents.build import Built, build_snapshot
from restoration.documents.layout import quote_html
from restoration.services.issuing import QuoteNotReadyError, ask_for_quote, missing_for_quote
from restoration.services.pricing import price
from sites.documents.canonical import canonical
from sites.models import Job
from sites.models.choices import DocumentKind
from sites.services.numbers import reserve_number
from tests.factories import ConditionReportFactory, EstimateFactory
from tests.restoration.quotes import Proposal

pytestmark = pytest.mark.django_db


@pytest.fixture
def proposal(db) -> Proposal:
    return Proposal()


def build(proposal: Proposal) -> Built:
    number = reserve_number(
        studio=proposal.studio,
        kind=DocumentKind.QUOTE,
        subject=proposal.estimate.pk,
        dated=dt.date(2026, 6, 1),
        user=proposal.user,
    )
    return build_snapshot(proposal.estimate, price(proposal.estimate), number, None)


def amount(money: dict[str, str]) -> Decimal:
    return Decimal(money["amount"])


def total_of(lines: list[dict]) -> Decimal:
    return sum((amount(line.get("price") or line["amount"]) for line in lines), Decimal(0))


def test_every_printed_sum_is_the_sum_of_printed_lines(proposal):
    quote = build(proposal).snapshot
    lines = [
        line
        for phase in quote["phases"]
        for opening in phase["openings"]
        for line in opening["lines"]
    ]
    shared = [line for phase in quote["phases"] for line in phase["shared"]]
    assert (len(lines), len(shared)) == (5, 3)
    for phase in quote["phases"]:
        for opening in phase["openings"]:
            assert amount(opening["subtotal"]) == total_of(opening["lines"])
        assert amount(phase["work"]) == sum(
            amount(opening["subtotal"]) for opening in phase["openings"]
        )
        assert amount(phase["shared_total"]) == total_of(phase["shared"])
        assert amount(phase["subtotal"]) == amount(phase["work"]) + amount(phase["shared_total"])
    by_name = {line["key"]: amount(line["amount"]) for line in quote["reckoning"]}
    assert by_name["work"] == total_of(lines) == total_of(quote["options"])
    assert by_name["access"] + by_name["travel"] == total_of(shared)
    assert sum(by_name.values()) == amount(quote["total"])
    assert sum(amount(phase["subtotal"]) for phase in quote["phases"]) == (
        by_name["work"] + by_name["access"] + by_name["travel"]
    )


def test_contingency_and_tax_are_rounded_once_from_printed_sums(proposal):
    by_name = {
        line["key"]: amount(line["amount"]) for line in build(proposal).snapshot["reckoning"]
    }
    lines = by_name["work"] + by_name["access"] + by_name["travel"]
    cent = Decimal("0.01")
    assert by_name["contingency"] == (lines * Decimal("0.125")).quantize(cent, "ROUND_HALF_UP")
    net = lines + by_name["contingency"]
    assert by_name["tax"] == (net * Decimal("0.20")).quantize(cent, "ROUND_HALF_UP")


def test_payments_add_up_to_the_total_to_the_cent(proposal):
    proposal.book.payment_shares = [["On order", "33.3"], ["Half-way", "33.3"], ["End", "33.4"]]
    proposal.book.save()
    proposal.estimate.refresh_from_db()
    quote = build(proposal).snapshot
    assert [payment["share"] for payment in quote["payments"]] == ["33.3 %", "33.3 %", "33.4 %"]
    assert total_of(quote["payments"]) == amount(quote["total"])


def test_without_tax_none_is_printed_and_that_is_said(proposal):
    proposal.book.tax = Decimal(0)
    proposal.book.save()
    proposal.estimate.refresh_from_db()
    quote = build(proposal).snapshot
    assert "tax" not in [line["key"] for line in quote["reckoning"]]
    assert "No tax is added." in quote["containing"]


def test_the_row_has_the_day_it_stands_until_and_the_total(proposal):
    built = build(proposal)
    assert built.valid_until == dt.date(2026, 6, 1) + dt.timedelta(days=60)
    assert built.snapshot["stands_until"] == "2026-07-31"
    assert built.snapshot["stands_until_words"] == "31 July 2026"
    assert built.priced.totals.total == amount(built.snapshot["total"])


def test_lines_say_what_why_and_how_much(proposal):
    (opening,) = (
        opening
        for opening in build(proposal).snapshot["phases"][0]["openings"]
        if opening["number"] == "nII"
    )
    joints, cement = opening["lines"]
    assert (joints["quantity"], joints["because_of"]) == ("9 joints", "findings 4, 7")
    assert (cement["quantity"], cement["scope"]) == ("0.715 m²", "Only the lower row.")
    assert joints["subject"] == "panel 3b"
    assert joints["option_words"] == "Advised"
    assert [line["number"] for line in opening["lines"]] == [1, 2]


def test_one_of_a_thing_is_not_many(proposal):
    phases = build(proposal).snapshot["phases"]
    quantities = {
        line["description"]: line["quantity"]
        for phase in phases
        for opening in phase["openings"]
        for line in opening["lines"]
    }
    assert quantities["Investigate from safe access"] == "1 visit"
    assert "" in quantities.values()  # The lump sum has no quantity.


def test_nothing_tells_what_the_work_costs_the_studio(proposal):
    built = build(proposal)
    text = json.dumps(built.snapshot)
    for secret in ("18.75", "9.25", "hourly", "margin", "333.335"):
        assert secret not in text
    for line in built.priced.lines:
        if line.cost is not None:
            assert str(line.cost.total) not in text
    for rate in proposal.book.labour_rates.all():
        assert format(rate.hourly, "f") not in text
    assert "contains its part of the studio's overhead and profit" in text


def test_nobodys_address_is_in_it(proposal):
    text = json.dumps(build(proposal).snapshot)
    assert "warden@parish.example" not in text
    assert proposal.user.email not in text


def test_consents_and_cautions_follow_from_the_place_and_the_work(proposal):
    quote = build(proposal).snapshot
    assert "Diocesan advisory committee comes before" in quote["consents"][0]
    assert quote["consents"][1].startswith("nV P")
    codes = {caution["code"] for caution in quote["cautions"]}
    assert {"protected-building-consent", "memorial-owners-asked", "work-at-height"} <= codes
    kinds = [action.kind for action in proposal.estimate.actions.all()]
    assert ActionCaution.objects.codes_of(kinds) <= codes


def test_it_names_the_survey_and_the_report_it_is_based_on(proposal):
    ConditionReportFactory(survey=proposal.survey, number="CR-2026-0007")
    assert build(proposal).snapshot["based_on"] == (
        "The survey of 12 May 2026, reported in CR-2026-0007 version 1"
    )


@pytest.mark.published("ISO 4217: the yen has no minor unit, the dinar of Bahrain three digits")
@pytest.mark.parametrize(("currency", "places"), [("JPY", 0), ("BHD", 3), ("USD", 2)])
def test_amounts_have_the_places_of_their_currency(currency, places):
    quote = build(Proposal(currency=currency)).snapshot
    amounts = [line["amount"]["amount"] for line in quote["reckoning"]]
    assert {-Decimal(each).as_tuple().exponent for each in amounts} == {places}
    assert sum(map(Decimal, amounts)) == amount(quote["total"])


@pytest.mark.parametrize(
    ("currency", "country", "sign"), [("GBP", "GB", "£"), ("USD", "US", "$"), ("USD", "GB", "US$")]
)
def test_money_is_written_as_in_the_country_of_the_building(currency, country, sign):
    quote = build(Proposal(currency=currency, country=country)).snapshot
    assert quote["total"]["words"].startswith(sign)


def test_the_data_has_one_canonical_form(proposal):
    quote = build(proposal).snapshot
    assert json.loads(canonical(quote)) == quote
    assert quote["schema"] == "saddlebar/repair-quote/1"


def test_building_it_takes_no_more_queries_for_more_work(proposal, count_queries):
    build(proposal)
    before = count_queries(lambda: build(proposal))
    for _ in range(20):
        proposal.action("nII", "replace-tie", 3)
    assert count_queries(lambda: build(proposal)) == before


def test_the_layout_asks_the_database_nothing(proposal, django_assert_num_queries):
    quote = build(proposal).snapshot
    with django_assert_num_queries(0):
        assert "The Good Shepherd" in quote_html(quote)


def test_an_estimate_without_work_is_not_ready(user):
    with pytest.raises(QuoteNotReadyError, match="no work in it yet"):
        ask_for_quote(EstimateFactory(), user)
    assert not Job.objects.exists()


def test_what_is_missing_is_named_line_by_line(proposal):
    proposal.action("nII", "replace-tie", None)
    missing = missing_for_quote(proposal.estimate)
    assert len(missing) == 1
    assert "nII, the whole window: Replace a tie" in missing[0]


def test_payment_stages_that_do_not_come_to_100_are_named(proposal):
    proposal.book.payment_shares = [["On order", "50"]]
    proposal.book.save()
    proposal.estimate.refresh_from_db()
    (missing,) = missing_for_quote(proposal.estimate)
    assert "50 %" in missing
