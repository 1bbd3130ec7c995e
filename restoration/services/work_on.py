"""What is proposed for findings, and what was done about the same things before."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from uuid import UUID

from condition.models import ActionKind, Finding, FindingSource
from condition.services.steps import Work
from restoration.models import ActionFinding, Quote
from restoration.models.choices import Decision
from restoration.services.decisions import standing_of


def work_on(findings: Sequence[Finding]) -> Work:
    """Return the work proposed for each finding in the newest estimate that has any for it, and
    the kinds of work accepted before for what it continues. One query a survey back, and three.
    """
    before = _before(findings)
    named = {finding.pk for finding in findings}
    links = list(
        ActionFinding.objects.filter(finding__in=named.union(*before.values()))
        .select_related("action__kind", "action__estimate")
        .order_by("-action__estimate__made_at", "action__number")
    )
    accepted = _accepted({link.action.estimate_id for link in links})
    done: dict[UUID, set[UUID]] = defaultdict(set)
    for link in links:
        if link.action.estimate_id in accepted:
            done[link.finding_id].add(link.action.kind_id)
    return Work(
        proposed=_newest(link for link in links if link.finding_id in named),
        tried={key: set().union(*(done[each] for each in keys)) for key, keys in before.items()},
    )


def _newest(links: Iterable[ActionFinding]) -> dict[UUID, list[ActionKind]]:
    """The kinds of work by finding, of the first estimate named for it."""
    estimate: dict[UUID, UUID] = {}
    found: dict[UUID, list[ActionKind]] = defaultdict(list)
    for link in links:
        of = link.action.estimate_id
        kinds = found[link.finding_id]
        if estimate.setdefault(link.finding_id, of) == of and link.action.kind not in kinds:
            kinds.append(link.action.kind)
    return dict(found)


def _before(findings: Sequence[Finding]) -> dict[UUID, set[UUID]]:
    """The earlier findings that each comes from, as far back as the record goes."""
    before: dict[UUID, set[UUID]] = {finding.pk: set() for finding in findings}
    ends = {finding.pk: {finding.pk} for finding in findings}
    while asked := set().union(*ends.values()):
        earlier: dict[UUID, set[UUID]] = defaultdict(set)
        rows = Finding.objects.filter(pk__in=asked).order_by()
        for key, came_from in rows.values_list("pk", "continues"):
            if came_from is not None:
                earlier[key].add(came_from)
        joined = FindingSource.objects.filter(finding__in=asked).order_by()
        for key, came_from in joined.values_list("finding", "earlier"):
            earlier[key].add(came_from)
        for key, at in ends.items():
            ends[key] = set().union(*(earlier[each] for each in at)) - before[key]
            before[key] |= ends[key]
    return before


def _accepted(estimates: set[UUID]) -> set[UUID]:
    """Those of which a quote was accepted, and the acceptance stands."""
    quotes = Quote.objects.filter(estimate__in=estimates).prefetch_related("events")
    standing = {quote.estimate_id: standing_of(quote.events.all()).decided for quote in quotes}
    return {key for key, held in standing.items() if held and held.decision == Decision.ACCEPTED}
