"""Issuing a repair quote: asked for by a person, done by a worker."""

from typing import Any
from uuid import UUID

from django.utils.translation import gettext as _

from restoration.compute.estimate_inputs import EstimateError
from restoration.compute.money import MoneyError
from restoration.compute.payments import PaymentError
from restoration.documents.build import Built, build_snapshot
from restoration.documents.figures import money_maker, payments
from restoration.documents.layout import quote_html
from restoration.models import Estimate, Quote
from restoration.services.pricing import price
from sites.documents.moment import repeatable_read
from sites.errors import JobFailedError, SaddlebarError
from sites.jobs import Progress, ask_for
from sites.models import DocumentNumber, Job, User
from sites.models.choices import DocumentKind
from sites.services.issuing import Draft, freeze, print_draft
from sites.services.numbers import next_version, reserve_number, today_at

TASK = "issue_quote"
STEPS = 3


class QuoteNotReadyError(SaddlebarError):
    """An estimate whose quote cannot be issued yet; the text lists what is missing."""

    def __init__(self, missing: list[str]) -> None:
        super().__init__(" ".join(missing))
        self.missing = missing


def missing_for_quote(estimate: Estimate) -> list[str]:
    """Return what must still be done before the estimate can be issued as a quote, if anything."""
    if not estimate.actions.exists():
        return [_("There is no work in it yet: add an action.")]
    missing = []
    try:
        priced = price(estimate)
        payments(priced, estimate.rate_book, money_maker(priced.currency, "en_GB"))
    except (EstimateError, PaymentError, MoneyError) as problem:
        missing.append(str(problem))
    return missing


def ask_for_quote(estimate: Estimate, user: User) -> Job:
    """Return the job that issues the estimate's next quote, made now unless it is there.

    Raises QuoteNotReadyError, naming what is missing.
    """
    if missing := missing_for_quote(estimate):
        raise QuoteNotReadyError(missing)
    version = next_version(DocumentKind.QUOTE, estimate.pk)
    return ask_for(
        estimate.building.studio,
        TASK,
        job_key(estimate, version),
        user,
        estimate=str(estimate.pk),
        version=version,
        asked_by=str(user.pk),
    )


def job_key(estimate: Estimate, version: int) -> str:
    return f"{TASK}:{estimate.pk}:{version}"


def open_job(estimate: Estimate) -> Job | None:
    """Return the job that is printing the estimate's next quote, or failed at it; None for none."""
    key = job_key(estimate, next_version(DocumentKind.QUOTE, estimate.pk))
    return Job.objects.filter(key=key).select_related("asked_by").first()


def issue_quote(estimate: Estimate, version: int, user: User, progress: Progress) -> Quote:
    """Issue version `version` of the estimate's quote; issued already, it is returned as it is.

    May be run again after a crash at any point: the number is found again, and one row at most
    is ever inserted. Raises JobFailedError or PrintError in the user's words.
    """
    if issued := estimate.quotes.filter(version=version).first():
        return issued
    number = _reserve(estimate, user)
    before = estimate.quotes.filter(version=number.version - 1).first()
    progress.step(1, STEPS, _("Pricing"))
    built = _build(estimate, number, before)
    draft = Draft(built.snapshot, quote_html(built.snapshot), {})
    progress.step(2, STEPS, _("Printing"))
    printed = print_draft(draft)
    progress.step(3, STEPS, _("Issuing"))
    return freeze(
        Quote,
        number=number,
        building=estimate.building,
        supersedes=before,
        draft=draft,
        printed=printed,
        estimate=estimate,
        valid_until=built.valid_until,
        currency=built.priced.currency,
        total=built.priced.totals.total,
    )


def _build(estimate: Estimate, number: DocumentNumber, before: Quote | None) -> Built:
    """The snapshot, priced and read at one moment; what changed since it was asked for is told."""
    with repeatable_read():
        try:
            return build_snapshot(estimate, price(estimate), number, before)
        except (EstimateError, PaymentError, MoneyError) as problem:
            raise JobFailedError(str(problem)) from problem


def _reserve(estimate: Estimate, user: User) -> DocumentNumber:
    building = estimate.building
    return reserve_number(
        studio=building.studio,
        kind=DocumentKind.QUOTE,
        subject=estimate.pk,
        dated=today_at(building),
        user=user,
    )


def do_issue_quote(job: Job, progress: Progress) -> dict[str, Any]:
    """The task: arguments are the estimate's key, the version and who asked."""
    asked = job.arguments
    rows = Estimate.objects.select_related("building__studio", "rate_book", "survey")
    estimate = rows.get(pk=UUID(asked["estimate"]))
    user = User.objects.get(pk=UUID(asked["asked_by"]))
    quote = issue_quote(estimate, asked["version"], user, progress)
    return {
        "quote": str(quote.pk),
        "url": quote.get_absolute_url(),
        "text": _("Open the quote"),
    }
