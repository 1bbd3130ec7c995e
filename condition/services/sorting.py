"""Photographs of a survey sorted in: filed, put back, offered a place by their time."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import groupby
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction

from condition.compute.photo_times import Noted, Taken, offers_by_time
from condition.models import Finding, Photograph, Survey
from condition.services.uploads import Place

UUID_WITH_TIME: Final = 7


@dataclass(frozen=True)
class Moved:
    """One photograph that was filed: its opening and finding before, and after."""

    photograph: UUID
    before: tuple[UUID | None, UUID | None]
    after: tuple[UUID | None, UUID | None]


@dataclass(frozen=True)
class TimeOffer:
    """Photographs that may belong to one place by the time they were taken.

    place: the key of a finding, or of an opening. why: as in `condition.compute.photo_times`.
    """

    place: UUID
    why: str
    photographs: Sequence[Photograph]


def place_now(photograph: Photograph) -> tuple[UUID | None, UUID | None]:
    """Return the keys of the opening and the finding a photograph is filed at."""
    return photograph.opening_id, photograph.finding_id


@transaction.atomic
def sort_in(photographs: Iterable[Photograph], place: Place) -> list[Moved]:
    """File photographs of the place's survey where the place says, and return what moved."""
    moved = []
    for photograph in photographs:
        before = place_now(photograph)
        photograph.opening, photograph.finding = place.opening, place.finding
        if place_now(photograph) == before:
            continue
        photograph.save(update_fields=["opening", "finding"])
        moved.append(Moved(photograph.pk, before, place_now(photograph)))
    return moved


@transaction.atomic
def put_back(survey: Survey, moved: Iterable[Moved]) -> int:
    """File photographs where they were before, and return how many.

    Left alone: one that was filed elsewhere since, and one whose finding is gone.
    """
    by_key = {each.photograph: each for each in moved}
    findings = set(survey.findings.values_list("pk", flat=True))
    count = 0
    rows = survey.photographs.select_for_update(of=("self",)).filter(pk__in=by_key)
    for photograph in rows:
        step = by_key[photograph.pk]
        opening, finding = step.before
        if place_now(photograph) != step.after or (finding and finding not in findings):
            continue
        photograph.opening_id, photograph.finding_id = opening, finding
        photograph.save(update_fields=["opening", "finding"])
        count += 1
    return count


def offers_for(
    survey: Survey,
    photographs: Iterable[Photograph],
    findings: Iterable[Finding],
    minutes: float,
) -> list[TimeOffer]:
    """Return the places that photographs not sorted in may belong to by the clock.

    photographs: all of the survey's, those filed at a whole opening stand for its whole view.
    A camera that notes no offset from UTC is taken to keep the building's time.
    """
    zone = ZoneInfo(survey.building.time_zone)
    rows = [(row, at) for row in photographs if (at := taken_at(row, zone)) is not None]
    waiting = {row.pk: row for row, _at in rows if place_now(row) == (None, None)}
    offers = offers_by_time(
        [Taken(row.pk, at) for row, at in rows if row.pk in waiting],
        [Noted(each.pk, at) for each in findings if (at := logged_at(each)) is not None],
        [
            Noted(row.opening_id, at)
            for row, at in rows
            if row.opening_id is not None and row.finding_id is None
        ],
        minutes,
    )
    offers.sort(key=lambda offer: (offer.why, str(offer.place)))
    return [
        TimeOffer(place, why, [waiting[offer.key] for offer in members])
        for (why, place), members in groupby(offers, key=lambda offer: (offer.why, offer.place))
    ]


def taken_at(photograph: Photograph, zone: ZoneInfo) -> datetime | None:
    """Return when a photograph was taken, None where the camera did not note it."""
    if photograph.taken_at is not None or not photograph.taken_local:
        return photograph.taken_at
    taken = datetime.fromisoformat(photograph.taken_local)
    return taken if taken.tzinfo else taken.replace(tzinfo=zone)


def logged_at(finding: Finding) -> datetime | None:
    """Return when a finding was logged: the first 48 bits of its key are that moment.

    Source: RFC 9562, section 5.7. None for a key of another version.
    """
    if finding.pk.version != UUID_WITH_TIME:
        return None
    return datetime.fromtimestamp((finding.pk.int >> 80) / 1000, UTC)
