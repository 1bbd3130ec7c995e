"""What needs somebody today, for one user: a start of each list, in a fixed number of queries."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, Final

from django.core.paginator import Page, Paginator
from django.db.models import Count, F, Q, QuerySet
from django.utils import timezone

from condition.documents.danger_words import DangerLine
from condition.models import Danger, Photograph, Survey
from condition.models.choices import PhotographState
from condition.services.closures import closed_for
from condition.services.dangers import lines_of
from restoration.models import Estimate, Quote
from restoration.models.choices import Decision
from restoration.services.decisions import QuoteStatus, quote_status, standing_of
from sites.compute.roles import READ_COSTS, READ_QUOTES, SURVEY
from sites.documents.words import locale_of
from sites.models import Building, Job, User
from sites.models.job import JobState
from sites.services.numbers import today_at

# Studio defaults, no source: what fits a page without scrolling, and how long a failure is news.
SHORT: Final = 5
LONG: Final = 50
NEWS: Final = timedelta(days=14)
SOON: Final = timedelta(days=7)

Rows = QuerySet[Any] | Sequence[Any]


@dataclass(frozen=True)
class TodayList:
    """One list: its name, its page of rows, and whether it is shown by itself."""

    name: str
    page: Page
    alone: bool

    @property
    def total(self) -> int:
        return self.page.paginator.count

    @property
    def more(self) -> int:
        """How many rows are left out of the short list."""
        return 0 if self.alone else self.total - len(self.page.object_list)


@dataclass(frozen=True)
class WaitingQuote:
    """A quote nobody has decided on, with the days it still stands; below zero, it ran out."""

    quote: Quote
    status: QuoteStatus
    days_left: int
    locale: str


def open_dangers(user: User) -> Sequence[DangerLine]:
    """The dangers at the user's buildings that nobody ended, the worst first."""
    rows = Danger.objects.filter(building__in=Building.objects.open_to(user))
    return lines_of(rows.not_ended().with_facts())


def looks_due(user: User) -> Sequence[DangerLine]:
    """Dangers whose measure is to be looked at within days or should have been, and those where
    what was mended has cured: somebody goes and says so."""
    return _looks_due(open_dangers(user))


def _looks_due(dangers: Iterable[DangerLine]) -> list[DangerLine]:
    return [
        line
        for line in dangers
        if line.state.cured or line.state.look_due(today_at(line.danger.building) + SOON)
    ]


def surveys_under_way(user: User) -> Rows:
    """Surveys from which no report has been issued, the newest first."""
    return (
        Survey.objects.filter(building__in=Building.objects.open_to(user), reports__isnull=True)
        .for_list()
        .order_by("-day", "-id")
    )


def photographs_in_trouble(user: User) -> Rows:
    """Photographs whose copies are not made yet or cannot be, or whose original is not whole."""
    return (
        Photograph.objects.filter(building__in=Building.objects.open_to(user, SURVEY))
        .exclude(state=PhotographState.READY, damage="")
        .select_related("building", "opening")
        .order_by("state", "-received_at")
    )


def waiting_quotes(user: User) -> Rows:
    """The latest version of each quote that nobody has accepted, declined or withdrawn.

    Decisions and withdrawals take turns, as `record_decision` keeps them: as many of the one
    as of the other means that nothing is decided.
    """
    decided = Q(events__decision__in=[Decision.ACCEPTED, Decision.DECLINED])
    withdrawn = Q(events__decision=Decision.WITHDRAWN)
    return (
        Quote.objects.filter(
            building__in=Building.objects.open_to(user, READ_QUOTES), superseded_by__isnull=True
        )
        .annotate(
            decisions=Count("events", filter=decided), withdrawals=Count("events", filter=withdrawn)
        )
        .filter(decisions=F("withdrawals"))
        .select_related("building", "superseded_by")
        .prefetch_related("events")
        .order_by("valid_until", "number")
    )


def estimates_not_issued(user: User) -> Rows:
    """Estimates no quote was issued from, with how many actions have no quantity yet."""
    without = Q(actions__quantity__isnull=True, actions__lump_sum__isnull=True)
    return (
        Estimate.objects.filter(
            building__in=Building.objects.open_to(user, READ_COSTS), quotes__isnull=True
        )
        .for_list()
        .annotate(missing_count=Count("actions", filter=without, distinct=True))
        .order_by("-made_at")
    )


def failed_jobs(user: User) -> Rows:
    """What the user asked for and did not get, lately."""
    since = timezone.now() - NEWS
    return Job.objects.filter(asked_by=user, state=JobState.FAILED, ended_at__gte=since).order_by(
        "-ended_at"
    )


LISTS: Final[dict[str, Callable[[User], Rows]]] = {
    "notices": closed_for,
    "dangers": open_dangers,
    "looks": looks_due,
    "surveys": surveys_under_way,
    "photographs": photographs_in_trouble,
    "quotes": waiting_quotes,
    "estimates": estimates_not_issued,
    "failed": failed_jobs,
}


def today_lists(user: User) -> list[TodayList]:
    """Return the start of every list, those with nothing in them left out."""
    # Two of them are of the dangers, which are read once.
    dangers = open_dangers(user)
    read: dict[str, Rows] = {"dangers": dangers, "looks": _looks_due(dangers)}
    lists = (
        TodayList(
            name,
            Paginator(read[name] if name in read else rows(user), SHORT).get_page(1),
            alone=False,
        )
        for name, rows in LISTS.items()
    )
    return [each for each in lists if each.total]


def today_list(user: User, name: str, number: str | None) -> TodayList:
    """Return page `number` of one list. Raises KeyError for a list there is not."""
    return TodayList(name, Paginator(LISTS[name](user), LONG).get_page(number), alone=True)


def with_days_left(quotes: Iterable[Quote]) -> list[WaitingQuote]:
    """Return quotes with the days they still stand, each by the calendar of its building."""
    return [_waiting(quote, today_at(quote.building)) for quote in quotes]


def _waiting(quote: Quote, today: date) -> WaitingQuote:
    status = quote_status(quote, standing_of(quote.events.all()), today)
    return WaitingQuote(quote, status, (quote.valid_until - today).days, locale_of(quote.building))
