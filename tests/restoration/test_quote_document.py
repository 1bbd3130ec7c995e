"""The printed quote: accessible, and its printed figures add up as a reader would add them."""

import re
from dataclasses import dataclass
from decimal import Decimal
from io import BytesIO
from pathlib import Path

import outloud
import pikepdf
import pytest
from django.db import DatabaseError, transaction

from restoration.documents.build import build_snapshot
from restoration.documents.layout import quote_html
from restoration.models import Quote
from restoration.services.issuing import ask_for_quote
from restoration.services.pricing import price
from sites.jobs import run_now
from sites.models.choices import DocumentKind
from sites.printing import Printed
from sites.services.issuing import Draft, print_draft
from sites.services.numbers import reserve_number, today_at
from tests.factories import EstimateFactory, RepairActionFactory, UserFactory
from tests.pdf_reading import page_texts, structure
from tests.restoration.quotes import Proposal

pytestmark = pytest.mark.one_engine

MONEY = re.compile(r"[£$]([0-9,]+\.[0-9]{2})$")


@dataclass(frozen=True)
class Printing:
    """A printed quote with the data it was printed from."""

    snapshot: dict
    printed: Printed
    file: Path


def printed_quote(folder: Path, **options: str) -> Printing:
    """Print one realistic quote; the database is as before afterwards."""
    with transaction.atomic():
        proposal = Proposal(**options)
        number = reserve_number(
            studio=proposal.studio,
            kind=DocumentKind.QUOTE,
            subject=proposal.estimate.pk,
            dated=today_at(proposal.building),
            user=proposal.user,
        )
        built = build_snapshot(proposal.estimate, price(proposal.estimate), number, None)
        transaction.set_rollback(True)
    printed = print_draft(Draft(built.snapshot, quote_html(built.snapshot), {}))
    file = folder / "quote.pdf"
    file.write_bytes(printed.pdf)
    return Printing(built.snapshot, printed, file)


@pytest.fixture(scope="module")
def quote(django_db_setup, django_db_blocker, tmp_path_factory) -> Printing:
    with django_db_blocker.unblock():
        return printed_quote(tmp_path_factory.mktemp("a4"))


@pytest.fixture(scope="module")
def letter(django_db_setup, django_db_blocker, tmp_path_factory) -> Printing:
    folder = tmp_path_factory.mktemp("letter")
    with django_db_blocker.unblock():
        return printed_quote(folder, currency="USD", paper="Letter", country="US")


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
@pytest.mark.parametrize("which", ["quote", "letter"])
def test_it_is_accessible(which, request):
    result = outloud.check(str(request.getfixturevalue(which).file))
    assert result.error is None
    assert [f"{found.rule} {found.message}" for found in result.findings] == []


@pytest.mark.published("ISO 14289-1:2014 (PDF/UA-1), clauses 5, 7.1 and 7.2")
def test_it_says_what_it_is(quote):
    with pikepdf.open(BytesIO(quote.printed.pdf)) as pdf:
        number = quote.snapshot["document"]["number"]
        assert str(pdf.docinfo["/Title"]) == f"Repair quote {number}: St Aldhelm’s, Nether Wickham"
        assert str(pdf.Root.Lang) == "en-GB"
        assert bool(pdf.Root.MarkInfo.Marked)
        assert "/StructTreeRoot" in pdf.Root
        assert "/Outlines" in pdf.Root
        with pdf.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"


@pytest.mark.parametrize("which", ["quote", "letter"])
def test_the_printed_lines_add_up_to_the_printed_totals(which, request):
    """Read from the paper, not from the data: what a committee's treasurer would do."""
    printing = request.getfixturevalue(which)
    rows = [each.text for each in structure(printing.file) if each.kind == "TR"]
    sums = [(row, read_money(row)) for row in rows if MONEY.search(row)]
    opening_lines = [money for row, money in sums if re.match(r"[0-9]+ ", row)]
    openings = [money for row, money in sums if " together " in row]
    shared = [money for row, money in sums if re.match(r"(Access|Travel and lodging) – ", row)]
    phases = [money for row, money in sums if ", before contingency and tax" in row]
    contingency, tax = (
        next(money for row, money in sums if row.startswith(name))
        for name in ("Contingency", "VAT")
    )
    total = next(
        money for row, money in sums if row.startswith("Total £") or row.startswith("Total $")
    )
    assert (len(opening_lines), len(openings), len(shared), len(phases)) == (5, 3, 3, 2)
    assert sum(opening_lines) == sum(openings)
    assert sum(openings) + sum(shared) == sum(phases)
    assert sum(phases) + contingency + tax == total
    payments = [money for row, money in sums if re.search(r"[0-9] % [£$]", row)]
    stages = [money for money in payments if money != tax]
    assert sum(stages) == total


def test_the_total_is_the_same_wherever_it_is_printed(quote):
    text = " ".join(page_texts(quote.file))
    total = quote.snapshot["total"]["words"]
    assert text.count(total) >= 3
    assert f"total {total}" in text


def test_acceptance_names_the_very_version(quote):
    text = " ".join(page_texts(quote.file))
    document = quote.snapshot["document"]
    assert f"We accept quote {document['number']} version 1 of {document['dated_words']}" in text
    assert "minute, resolution or consent" in text


def test_assumptions_exclusions_and_conditions_are_printed(quote):
    text = " ".join(page_texts(quote.file))
    for line in (
        *quote.snapshot["assumptions"],
        *quote.snapshot["exclusions"],
        *quote.snapshot["conditions"],
        *quote.snapshot["consents"],
    ):
        assert line in text


def test_the_printer_has_nothing_to_remark(quote, letter):
    assert quote.printed.remarks == letter.printed.remarks == ()


@pytest.mark.django_db
def test_a_quote_is_asked_for_printed_and_issued(files):
    proposal = Proposal()
    job = run_now(ask_for_quote(proposal.estimate, proposal.user), "test")
    assert (job.state, job.problem) == ("done", "")
    issued = Quote.objects.get(pk=job.result["quote"])
    assert issued.number == f"RQ-{issued.dated.year}-0001"
    assert issued.currency == "GBP"
    assert issued.total == Decimal(issued.snapshot["total"]["amount"])
    assert issued.valid_until.isoformat() == issued.snapshot["stands_until"]
    second = run_now(ask_for_quote(proposal.estimate, proposal.user), "test")
    later = Quote.objects.get(pk=second.result["quote"])
    assert (later.number, later.version, later.supersedes) == (issued.number, 2, issued)


@pytest.mark.django_db
@pytest.mark.both_engines
def test_an_issued_quote_cannot_be_changed_or_deleted(files):
    proposal = Proposal()
    job = run_now(ask_for_quote(proposal.estimate, proposal.user), "test")
    with pytest.raises(DatabaseError, match="repair quote"), transaction.atomic():
        Quote.objects.filter(pk=job.result["quote"]).update(total=1)
    with pytest.raises(DatabaseError, match="repair quote"), transaction.atomic():
        Quote.objects.filter(pk=job.result["quote"]).delete()


@pytest.mark.django_db
def test_an_estimate_spoilt_after_it_was_asked_for_tells_why(files):
    proposal = Proposal()
    job = ask_for_quote(proposal.estimate, proposal.user)
    proposal.action("nII", "replace-tie", None)
    ended = run_now(job, "test")
    assert ended.state == "failed"
    assert "Replace a tie" in ended.problem
    assert not Quote.objects.exists()


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
@pytest.mark.django_db
def test_a_quote_of_one_lump_sum_without_tax_is_accessible_too(files, tmp_path):
    estimate = EstimateFactory(title="One plaque")
    RepairActionFactory(
        estimate=estimate, quantity=None, lump_sum=Decimal(185), lump_sum_reason="A firm offer."
    )
    job = run_now(ask_for_quote(estimate, UserFactory()), "test")
    assert (job.state, job.problem) == ("done", "")
    file = tmp_path / "quote.pdf"
    with Quote.objects.get().pdf.open("rb") as kept:
        file.write_bytes(kept.read())
    result = outloud.check(str(file))
    assert [each.message for each in result.findings if each.severity == "error"] == []
    assert " ".join(page_texts(file)).count("$185.00") >= 5


def read_money(row: str) -> Decimal:
    found = MONEY.search(row)
    assert found is not None
    return Decimal(found[1].replace(",", ""))
