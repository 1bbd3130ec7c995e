"""The figures of a quote, from the priced estimate to what is printed."""

from collections.abc import Callable
from decimal import Decimal

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from restoration.compute.estimate_lines import OptionSubtotal, PricedEstimate
from restoration.compute.money import format_money
from restoration.compute.payments import split_payments
from restoration.documents.snapshot import Money, OptionSum, Payment, SumLine
from restoration.models import RateBook
from restoration.models.choices import Option, SharedKind
from sites.compute.plain_numbers import plain_number

MEANINGS = {
    Option.MUST: gettext_lazy("Put off, the danger or the damage grows."),
    Option.ADVISED: gettext_lazy("The repair the findings call for."),
    Option.IF_FUNDS_ALLOW: gettext_lazy("Of use, and can wait."),
}

MoneyMaker = Callable[[Decimal], Money]


def money_maker(currency: str, locale: str) -> MoneyMaker:
    """Return a function from an amount to how it stands in the quote."""

    def make(amount: Decimal) -> Money:
        return Money(format(amount, "f"), format_money(amount, currency, locale))

    return make


def reckoning(priced: PricedEstimate, money: MoneyMaker) -> list[SumLine]:
    """Return the lines from the work to the total, each a printed amount of its own.

    The work, each kind of shared cost, contingency and tax add up to the total. A net sum
    before tax is not among them: it is a subtotal, and stands apart in the layout.
    """
    totals = priced.totals
    lines = [SumLine("work", _("The work at the openings"), money(totals.actions))]
    for kind in SharedKind:
        amounts = [line.price for line in priced.shared if line.kind == kind.value]
        if amounts:
            lines.append(SumLine(kind.value, str(kind.label), money(sum(amounts, Decimal(0)))))
    if priced.contingency.percent:
        lines.append(SumLine("contingency", _contingency(priced), money(totals.contingency)))
    if priced.tax.percent:
        lines.append(SumLine("tax", _tax(priced), money(totals.tax)))
    return lines


def _contingency(priced: PricedEstimate) -> str:
    addition = priced.contingency
    named = _("Contingency, %(percent)s %% of the lines above") % {
        "percent": plain_number(addition.percent)
    }
    return f"{named}: {addition.reason}" if addition.reason.strip() else named


def _tax(priced: PricedEstimate) -> str:
    return f"{priced.tax.label}, {plain_number(priced.tax.percent)} %"


def option_sums(priced: PricedEstimate, money: MoneyMaker) -> list[OptionSum]:
    """Return what each option comes to, over all phases, before anything shared."""
    return [_option(subtotal, priced, money) for subtotal in priced.options]


def _option(subtotal: OptionSubtotal, priced: PricedEstimate, money: MoneyMaker) -> OptionSum:
    option = Option(subtotal.option)
    return OptionSum(
        option=option.value,
        words=str(option.label),
        meaning=str(MEANINGS[option]),
        lines=sum(line.option == option.value for line in priced.lines),
        amount=money(subtotal.amount),
    )


def payments(priced: PricedEstimate, book: RateBook, money: MoneyMaker) -> list[Payment]:
    """Return the payment stages of the rate book; they add up to the total to the last coin.

    Raises PaymentError for stages that do not come to 100 %.
    """
    shares = [(name, Decimal(percent)) for name, percent in book.payment_shares]
    split = split_payments(priced.totals.total, priced.currency, shares)
    return [
        Payment(name, f"{plain_number(percent)} %", money(amount))
        for (name, percent), (_name, amount) in zip(shares, split, strict=True)
    ]
