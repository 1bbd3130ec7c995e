"""Building the snapshot of a repair quote from an estimate."""

from dataclasses import asdict, dataclass
from datetime import date, timedelta
from typing import Any

from django.utils import translation
from django.utils.translation import gettext as _

from condition.models import Survey
from restoration.compute.estimate_lines import PricedEstimate
from restoration.documents.figures import money_maker, option_sums, payments, reckoning
from restoration.documents.snapshot import SCHEMA, QuoteSnapshot
from restoration.documents.terms import caution_codes, conditions, consents
from restoration.documents.work import Work
from restoration.models import Estimate, Quote, RepairAction
from sites.documents.moment import repeatable_read
from sites.documents.parties import Heading, building_block, heading, studio_block
from sites.documents.vocabulary import cautions_for, terms_in
from sites.documents.words import day_words, language_of, lines
from sites.models import DocumentNumber


@dataclass(frozen=True)
class Built:
    """A quote's snapshot, with what the frozen row has columns for."""

    snapshot: dict[str, Any]
    valid_until: date
    priced: PricedEstimate


def build_snapshot(
    estimate: Estimate, priced: PricedEstimate, number: DocumentNumber, supersedes: Quote | None
) -> Built:
    """Return the quote of `estimate`, priced, under `number`: complete, as plain data for JSON.

    The number of queries does not grow with the estimate. Personal contact data and the
    studio's own costs stay out. Raises PaymentError for payment stages that do not add up.
    """
    building = estimate.building
    with translation.override(language_of(building)), repeatable_read():
        document = heading(
            kind=_("Repair quote"),
            number=number.number,
            version=number.version,
            dated=number.dated,
            issued_by=number.asked_by.name,
            building=building,
            supersedes=supersedes,
        )
        valid_until = number.dated + timedelta(days=estimate.rate_book.valid_days)
        actions = {str(action.pk): action for action in estimate.actions.for_list()}
        snapshot = asdict(_quote(estimate, document, priced, actions, valid_until))
        return Built(snapshot | {"glossary": terms_in(snapshot)}, valid_until, priced)


def _quote(
    estimate: Estimate,
    document: Heading,
    priced: PricedEstimate,
    actions: dict[str, RepairAction],
    valid_until: date,
) -> QuoteSnapshot:
    building = estimate.building
    money = money_maker(priced.currency, document.locale)
    until = day_words(valid_until, document.locale)
    cautions = cautions_for(caution_codes(building, actions.values()))
    return QuoteSnapshot(
        schema=SCHEMA,
        document=document,
        studio=studio_block(building.studio),
        building=building_block(building),
        title=estimate.title,
        client=estimate.survey.client if estimate.survey else "",
        based_on=_based_on(estimate.survey, document.locale),
        stands_until=valid_until.isoformat(),
        stands_until_words=until,
        currency=priced.currency,
        total=money(priced.totals.total),
        phases=Work(priced, actions, money, building.units).phases(),
        options=option_sums(priced, money),
        reckoning=reckoning(priced, money),
        payments=payments(priced, estimate.rate_book, money),
        containing=_containing(priced),
        assumptions=lines(estimate.assumptions),
        exclusions=lines(estimate.exclusions),
        consents=consents(building, actions.values()),
        conditions=conditions(until, bool(priced.contingency.percent)),
        cautions=cautions,
        glossary=[],
        sources=[
            f"{caution['title']}: {caution['source']}."
            for caution in cautions
            if caution["source"] != "common practice, no source"
        ],
    )


def _based_on(survey: Survey | None, locale: str) -> str:
    """Which survey the findings named beside the lines are of, and its latest report."""
    if survey is None:
        return ""
    day = day_words(survey.day, locale)
    report = survey.reports.order_by("-version").first()
    if report is None:
        return _("The survey of %(day)s") % {"day": day}
    return _("The survey of %(day)s, reported in %(number)s version %(version)d") % {
        "day": day,
        "number": report.number,
        "version": report.version,
    }


def _containing(priced: PricedEstimate) -> str:
    """How the price of a line is made up, told without a figure."""
    text = _(
        "Each price is for labour and materials and contains its part of the studio's overhead "
        "and profit; neither is added again anywhere below. A price is rounded once, and every "
        "total is the sum of the amounts printed here."
    )
    if any(line.is_lump_sum for line in priced.lines):
        text += " " + _("A lump sum stands as agreed: nothing is added to it.")
    return text if priced.tax.percent else f"{text} " + _("No tax is added.")
