"""Where photographs may belong by the time they were taken: beside a finding, between two views."""

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

Key = Any  # whatever names a row where it comes from
Place = Key
WITH_FINDING = "taken with a finding"
BETWEEN_VIEWS = "taken between two views"


@dataclass(frozen=True)
class Taken:
    """A photograph that is not sorted in, and when it was taken."""

    key: Key
    at: datetime


@dataclass(frozen=True)
class Noted:
    """A moment that stands for a place: a finding logged, or a view of a whole opening taken."""

    place: Place
    at: datetime


@dataclass(frozen=True)
class Offer:
    """Where one photograph may belong, and why: WITH_FINDING or BETWEEN_VIEWS."""

    key: Key
    place: Place
    why: str


def offers_by_time(
    photographs: Iterable[Taken],
    findings: Sequence[Noted],
    views: Sequence[Noted],
    minutes: float,
) -> list[Offer]:
    """Return where photographs may belong, in the order given; one without a likely place is out.

    A photograph belongs with the finding logged nearest to it within `minutes`, and nowhere if
    two are as near. Else it belongs to the opening whose whole view was taken before it, as long
    as another whole view was taken after it: past the last one nobody says where it was.
    """
    ordered = sorted(views, key=lambda view: view.at)
    moments = [view.at for view in ordered]
    offers = []
    for photograph in photographs:
        found = nearest(photograph.at, findings, timedelta(minutes=minutes))
        if len(found) == 1:
            offers.append(Offer(photograph.key, found[0].place, WITH_FINDING))
            continue
        after = bisect_right(moments, photograph.at)
        if not found and 0 < after < len(ordered):
            offers.append(Offer(photograph.key, ordered[after - 1].place, BETWEEN_VIEWS))
    return offers


def nearest(at: datetime, findings: Sequence[Noted], within: timedelta) -> list[Noted]:
    """Return the finding logged nearest to a moment, all of them where several are as near."""
    near = [each for each in findings if abs(each.at - at) <= within]
    if not near:
        return []
    least = min(abs(each.at - at) for each in near)
    return [each for each in near if abs(each.at - at) == least]
