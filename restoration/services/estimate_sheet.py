"""An estimate as the studio reads it: every action, priced as far as it can be."""

from dataclasses import asdict, dataclass
from decimal import Decimal
from itertools import groupby
from typing import Final
from uuid import UUID

from django.utils.translation import gettext as _

from restoration.compute.estimate import price_estimate
from restoration.compute.estimate_inputs import ActionInput, EstimateError
from restoration.compute.estimate_lines import (
    PhaseSubtotal,
    PricedEstimate,
    PricedLine,
    PricedSharedLine,
)
from restoration.compute.estimate_views import StudioView, studio_view
from restoration.compute.payments import PaymentError
from restoration.documents.figures import (
    MoneyMaker,
    money_maker,
    option_sums,
    payments,
    reckoning,
)
from restoration.documents.snapshot import Money, OptionSum, Payment, Phase, SumLine
from restoration.documents.work import Work
from restoration.models import Estimate, Quote, RateBook, RepairAction
from restoration.models.choices import Option
from restoration.services.pricing import action_inputs, percentages, shared_lines
from sites.documents.words import lines, locale_of
from sites.models import Opening

NO_QUANTITY: Final = "quantity"
NO_NORM: Final = "norm"


@dataclass(frozen=True)
class ActionRow:
    """An action with its price; without one, `lacks` says what it cannot be priced for."""

    action: RepairAction
    line: PricedLine | None
    lacks: str


@dataclass(frozen=True)
class OpeningGroup:
    """The actions at one opening in one phase. `price`: of those that have one, if any has."""

    opening: Opening
    rows: list[ActionRow]
    price: Decimal | None


@dataclass(frozen=True)
class PhaseGroup:
    """A phase with what of it is priced; `subtotal` is None where nothing is."""

    number: int
    subtotal: PhaseSubtotal | None
    openings: list[OpeningGroup]
    shared: list[PricedSharedLine]


@dataclass(frozen=True)
class ClientPart:
    """What the client will read of the figures, as the quote itself puts it; names as there.

    payments: empty while `payment_problem` says why.
    """

    total: Money
    phases: list[Phase]
    options: list[OptionSum]
    reckoning: list[SumLine]
    payments: list[Payment]
    payment_problem: str


@dataclass(frozen=True)
class Sheet:
    """The whole sheet. `priced` leaves out the rows that lack something; see `is_complete`.

    problem: what is wrong with the estimate as a whole, where it cannot be priced at all.
    """

    phases: list[PhaseGroup]
    priced: PricedEstimate | None
    studio: StudioView | None
    client: ClientPart | None
    without_quantity: list[RepairAction]
    without_norm: list[RepairAction]
    problem: str

    @property
    def is_complete(self) -> bool:
        """Whether every action has its price, so that the total is the total."""
        return bool(self.phases and self.priced) and not (
            self.without_quantity or self.without_norm
        )

    @property
    def can_be_issued(self) -> bool:
        """Whether a quote could be made of it as it stands."""
        if self.priced is None or self.client is None:
            return False
        return self.is_complete and bool(self.priced.lines) and not self.client.payment_problem


def read_sheet(estimate: Estimate) -> Sheet:
    """Return the sheet of an estimate, in a fixed number of queries."""
    actions = list(estimate.actions.for_list())
    try:
        inputs = action_inputs(estimate)
        lacks = {each.key: _lacks(each) for each in inputs}
        priced = price_estimate(
            [each for each in inputs if not lacks[each.key]],
            shared_lines(estimate),
            percentages(estimate),
            estimate.rate_book.currency,
        )
    except EstimateError as error:
        return _unpriced(actions, str(error))
    return Sheet(
        phases=_phases(_rows(actions, priced, lacks), priced),
        priced=priced,
        studio=studio_view(priced),
        client=_client(estimate, priced, actions),
        without_quantity=_lacking(actions, lacks, NO_QUANTITY),
        without_norm=_lacking(actions, lacks, NO_NORM),
        problem="",
    )


def says_the_same(sheet: Sheet, estimate: Estimate, quote: Quote) -> bool:
    """Whether a quote issued now would tell the client nothing that `quote` does not tell."""
    if sheet.client is None:
        return False
    now = asdict(sheet.client) | {
        "title": estimate.title,
        "assumptions": lines(estimate.assumptions),
        "exclusions": lines(estimate.exclusions),
    }
    del now["payment_problem"]
    return all(quote.snapshot.get(name) == value for name, value in now.items())


def _lacks(action: ActionInput) -> str:
    """What an action still needs before it can be priced, if anything."""
    if action.lump_sum is not None:
        return ""
    if not action.labour and not action.materials:
        return NO_NORM
    return NO_QUANTITY if action.quantity is None else ""


def _unpriced(actions: list[RepairAction], problem: str) -> Sheet:
    rows = [ActionRow(action, None, "") for action in actions]
    return Sheet(
        phases=_phases(rows, None),
        priced=None,
        studio=None,
        client=None,
        without_quantity=[each for each in actions if _has_no_quantity(each)],
        without_norm=[],
        problem=problem,
    )


def _has_no_quantity(action: RepairAction) -> bool:
    return action.quantity is None and action.lump_sum is None


def _rows(
    actions: list[RepairAction], priced: PricedEstimate, lacks: dict[str, str]
) -> list[ActionRow]:
    lines = {line.key: line for line in priced.lines}
    return [
        ActionRow(action, lines.get(str(action.pk)), lacks.get(str(action.pk), ""))
        for action in actions
    ]


def _lacking(actions: list[RepairAction], lacks: dict[str, str], what: str) -> list[RepairAction]:
    return [action for action in actions if lacks.get(str(action.pk)) == what]


def _phases(rows: list[ActionRow], priced: PricedEstimate | None) -> list[PhaseGroup]:
    shared = priced.shared if priced else ()
    subtotals = {each.phase: each for each in priced.phases} if priced else {}
    numbers = {row.action.phase for row in rows} | {line.phase for line in shared}
    return [
        PhaseGroup(
            number=number,
            subtotal=subtotals.get(number),
            openings=_openings([row for row in rows if row.action.phase == number]),
            shared=[line for line in shared if line.phase == number],
        )
        for number in sorted(numbers)
    ]


def _openings(rows: list[ActionRow]) -> list[OpeningGroup]:
    rows.sort(key=_place)
    groups = []
    for _key, grouped in groupby(rows, key=lambda row: row.action.opening_id):
        of_opening = list(grouped)
        prices = [row.line.price for row in of_opening if row.line]
        price = sum(prices, Decimal(0)) if prices else None
        groups.append(OpeningGroup(of_opening[0].action.opening, of_opening, price))
    return groups


def _place(row: ActionRow) -> tuple[str, str, UUID, int, int]:
    action = row.action
    opening = action.opening
    pressing = Option.values.index(action.option)
    return opening.order, opening.number, opening.pk, pressing, action.number


def _client(estimate: Estimate, priced: PricedEstimate, actions: list[RepairAction]) -> ClientPart:
    money = money_maker(priced.currency, locale_of(estimate.building))
    by_key = {str(action.pk): action for action in actions}
    stages, problem = _stages(estimate.rate_book, priced, money)
    return ClientPart(
        total=money(priced.totals.total),
        phases=Work(priced, by_key, money, estimate.building.units).phases(),
        options=option_sums(priced, money),
        reckoning=reckoning(priced, money),
        payments=stages,
        payment_problem=problem,
    )


def _stages(book: RateBook, priced: PricedEstimate, money: MoneyMaker) -> tuple[list[Payment], str]:
    try:
        return payments(priced, book, money), ""
    except PaymentError as error:
        words = _("The payment stages of %(book)s cannot be used. %(why)s")
        return [], words % {"book": book.name, "why": error}
