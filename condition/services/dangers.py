"""The dangers of a building as they stand, worked out from what is recorded of each."""

from collections.abc import Iterable
from datetime import date
from uuid import UUID

from condition.compute.danger.state import DangerState
from condition.documents.danger_words import DangerLine, danger_line, pressing
from condition.models import Area, AreaClosure, Danger
from sites.documents.words import locale_of


def with_states(
    dangers: Iterable[Danger], on: date | None = None
) -> list[tuple[Danger, DangerState]]:
    """Return dangers with their states, each on `on` or today at its building; worst first."""
    pairs = [(danger, danger.state_on(on)) for danger in dangers]
    return sorted(pairs, key=pressing)


def line_of(danger: Danger) -> DangerLine:
    """Return a danger as it is shown, open or not."""
    shut = shut_areas([danger]).get(danger.pk)
    return danger_line(danger, danger.state_on(), locale_of(danger.building), shut)


def lines_of(dangers: Iterable[Danger]) -> list[DangerLine]:
    """Return dangers that nobody ended as they are listed, the worst first; one judged not to
    come down is left out."""
    pairs = [pair for pair in with_states(dangers) if pair[1].is_listed]
    shut = shut_areas(danger for danger, _state in pairs)
    return [
        danger_line(each, state, locale_of(each.building), shut.get(each.pk))
        for each, state in pairs
    ]


def shut_areas(dangers: Iterable[Danger]) -> dict[UUID, list[Area]]:
    """Return the areas that stand closed for each danger, by the danger's key."""
    closed: dict[UUID, list[Area]] = {}
    rows = AreaClosure.objects.standing().filter(danger__in=[each.pk for each in dangers])
    for closure in rows.select_related("area"):
        closed.setdefault(closure.danger_id, []).append(closure.area)
    return closed
