"""What happened to an issued quote, and what may still happen to it."""

import logging
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db import transaction
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from condition.documents.first_page import ToDecide
from restoration.models import Quote, QuoteEvent
from restoration.models.choices import Decision
from sites.errors import SaddlebarError
from sites.models import Building, User
from sites.services.numbers import today_at

logger = logging.getLogger(__name__)

DAY = "j F Y"


class DecisionError(SaddlebarError):
    """A decision that cannot be recorded; `box` is the field that would have to change."""

    def __init__(self, message: str, box: str = "decision") -> None:
        super().__init__(message)
        self.box = box


@dataclass(frozen=True)
class Standing:
    """Where a quote stands: what decided it, if anything has, and whether it was sent.

    decided: the acceptance or refusal that holds. withdrawn: the quote itself was taken back.
    """

    decided: QuoteEvent | None = None
    withdrawn: QuoteEvent | None = None
    sent: QuoteEvent | None = None

    @property
    def awaits(self) -> bool:
        """Whether somebody has still to decide."""
        return self.decided is None and self.withdrawn is None


@dataclass(frozen=True)
class QuoteStatus:
    """A quote's state in words, with the tone its mark is drawn in."""

    word: str
    tone: str


def standing_of(events: Iterable[QuoteEvent]) -> Standing:
    """Return where a quote stands after its events, in the order they were recorded.

    A withdrawal takes back the decision that holds; without one it takes back the quote.
    """
    decided = withdrawn = sent = None
    for event in events:
        if event.decision == Decision.SENT:
            sent = event
        elif event.decision != Decision.WITHDRAWN:
            decided = event
        elif decided is not None:
            decided = None
        else:
            withdrawn = event
    return Standing(decided, withdrawn, sent)


def quotes_to_decide(building: Building) -> Iterator[ToDecide]:
    """Yield the quotes of a building that stand today and that nobody has decided about, as page
    one of its report asks for the decision: sums as the quote prints them, and where tax is."""
    today = today_at(building)
    issued = Quote.objects.filter(
        building=building, superseded_by__isnull=True, valid_until__gte=today
    )
    for quote in issued.prefetch_related("events").order_by("dated", "number"):
        if standing_of(quote.events.all()).awaits:
            yield _to_decide(quote.snapshot)


def _to_decide(printed: dict[str, Any]) -> ToDecide:
    tax = [line for line in printed["reckoning"] if line["key"] == "tax"]
    first = next(iter(printed["payments"]), None)
    payment = ""
    if first:
        payment = f"{first['amount']['words']} ({first['name']}, {first['share']})"
        payment += ", " + (_("its part of the tax in it") if tax else _("no tax in it"))
    return ToDecide(
        number=printed["document"]["number"],
        title=printed["title"],
        total=printed["total"]["words"],
        tax=_("%(tax)s is in it (%(name)s)")
        % {"tax": tax[0]["amount"]["words"], "name": tax[0]["name"]}
        if tax
        else _("no tax is added"),
        first_payment=payment,
        stands_until=printed["stands_until"],
        stands_until_words=printed["stands_until_words"],
    )


def quote_status(quote: Quote, standing: Standing, today: date) -> QuoteStatus:
    """Return the state of a quote in words. `today` is the date at its building."""
    if standing.decided is not None:
        accepted = standing.decided.decision == Decision.ACCEPTED
        return QuoteStatus(
            str(standing.decided.get_decision_display()), "done" if accepted else "past"
        )
    if standing.withdrawn is not None:
        return QuoteStatus(str(Decision.WITHDRAWN.label), "past")
    if quote.is_superseded:
        return QuoteStatus(_("Superseded"), "past")
    if today > quote.valid_until:
        return QuoteStatus(_("No longer stands"), "attention")
    return QuoteStatus(_("Sent") if standing.sent else _("Issued"), "under-way")


@transaction.atomic
def record_decision(quote: Quote, event: QuoteEvent, user: User) -> QuoteEvent:
    """Save what happened to a quote, and return it.

    event: not saved; with decision, day, by whom, authority and note.
    Raises DecisionError for what cannot have happened, or cannot happen any more.
    """
    # Two may decide at once: the row makes the second wait on PostgreSQL, the transaction
    # itself on SQLite; then it finds the first one's decision.
    locked = Quote.objects.select_for_update(of=("self",)).select_related("building")
    current = locked.get(pk=quote.pk)
    standing = standing_of(current.events.all())
    _check_day(current, event)
    _check_open(current, event, standing)
    _check_in_time(current, event)
    event.quote, event.recorded_by = current, user
    event.save(force_insert=True)
    logger.info("quote %s: %s", current.pk, event.decision)
    return event


def _check_day(quote: Quote, event: QuoteEvent) -> None:
    if event.day < quote.dated:
        raise DecisionError(
            _("The quote is dated %(day)s: nothing can have happened to it before.")
            % {"day": date_format(quote.dated, DAY)},
            "day",
        )
    if event.day > today_at(quote.building):
        raise DecisionError(_("This day is still to come: record it when it has happened."), "day")


def _check_open(quote: Quote, event: QuoteEvent, standing: Standing) -> None:
    if standing.withdrawn is not None:
        raise DecisionError(
            _("This quote was withdrawn on %(day)s. Issue a new version instead.")
            % {"day": date_format(standing.withdrawn.day, DAY)}
        )
    if event.decision == Decision.SENT and standing.sent and standing.sent.day == event.day:
        raise DecisionError(_("That it was sent on this day is recorded already."), "day")
    held = standing.decided
    if held is None:
        return
    if event.decision in (Decision.ACCEPTED, Decision.DECLINED):
        raise DecisionError(
            _(
                "This quote was %(decided)s on %(day)s. If that was taken back, "
                "record the withdrawal first."
            )
            % {"decided": held.get_decision_display().lower(), "day": date_format(held.day, DAY)}
        )
    if event.decision == Decision.WITHDRAWN and event.day < held.day:
        raise DecisionError(
            _("A decision of %(day)s cannot be taken back before that day.")
            % {"day": date_format(held.day, DAY)},
            "day",
        )


def _check_in_time(quote: Quote, event: QuoteEvent) -> None:
    """A version that a newer one took the place of, or that ran out, cannot be accepted."""
    if event.decision in (Decision.ACCEPTED, Decision.SENT) and quote.is_superseded:
        raise DecisionError(
            _("Version %(newer)d has taken the place of this one. Record it there.")
            % {"newer": quote.superseded_by.version}
        )
    if event.decision == Decision.ACCEPTED and event.day > quote.valid_until:
        raise DecisionError(
            _(
                "This version stood until %(day)s and cannot be accepted after that. "
                "Issue a new version, or give the day it was accepted on if that was in time."
            )
            % {"day": date_format(quote.valid_until, DAY)}
        )
