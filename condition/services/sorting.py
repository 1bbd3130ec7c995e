"""Photographs of a survey sorted in: filed, put back, offered a place by their time."""

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import groupby
from typing import Final
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db import transaction
from django.utils.translation import gettext as _

from condition.compute.photo_times import Noted, Taken, offers_by_time
from condition.models import Finding, Photograph, Survey
from condition.services.recording.photographs import check_photograph, file_at
from condition.services.uploads import Place
from sites.models import Opening, User
from sites.rules.actor import acting_as
from sites.services.recording import NotRecordedError, Problem

UUID_WITH_TIME: Final = 7


# Where a photograph is filed: the key of its opening, and of the findings it shows there.
Filed = tuple[UUID | None, tuple[UUID, ...]]


@dataclass(frozen=True)
class Moved:
    """One photograph that was filed: where before, and where after."""

    photograph: UUID
    before: Filed
    after: Filed


@dataclass(frozen=True)
class TimeOffer:
    """Photographs that may belong to one place by the time they were taken.

    place: the key of a finding, or of an opening. why: as in `condition.compute.photo_times`.
    """

    place: UUID
    why: str
    photographs: Sequence[Photograph]


def place_now(photograph: Photograph) -> Filed:
    """Return where a photograph is filed. It is best loaded with its findings."""
    shown = sorted(each.pk for each in photograph.findings.all())
    return photograph.opening_id, tuple(shown)


@transaction.atomic
def sort_in(photographs: Iterable[Photograph], place: Place, user: User) -> list[Moved]:
    """File photographs of the place's survey where the place says, and return what moved.

    Raises NotRecordedError for a place that is none, such as findings of two openings.
    """
    data = place.data
    if problems := check_photograph(data):
        raise NotRecordedError(problems)
    after = data.opening, tuple(sorted(data.findings))
    moved = []
    with acting_as(str(user.pk)):
        for photograph in photographs:
            before = place_now(photograph)
            if before != after:
                file_at(photograph, *after)
                moved.append(Moved(photograph.pk, before, after))
    return moved


@transaction.atomic
def put_back(survey: Survey, moved: Iterable[Moved]) -> int:
    """File photographs where they were before, and return how many.

    Left alone: one that was filed elsewhere since, and one of whose findings one is gone.
    """
    by_key = {each.photograph: each for each in moved}
    findings = set(survey.findings.values_list("pk", flat=True))
    count = 0
    rows = survey.photographs.select_for_update(of=("self",)).filter(pk__in=by_key)
    for photograph in rows.with_findings():
        step = by_key[photograph.pk]
        opening, shown = step.before
        if place_now(photograph) == step.after and findings.issuperset(shown):
            file_at(photograph, opening, shown)
            count += 1
    return count


def place_of(survey: Survey, openings: Iterable[Opening], findings: Iterable[Finding]) -> Place:
    """Return the place that openings and findings chosen together stand for.

    Raises NotRecordedError for several openings. That the findings are of one is asked where
    something is filed there.
    """
    shown, at = tuple(findings), list(openings)
    if len(at) > 1:
        numbers = ", ".join(each.number for each in at)
        text = _("A photograph is filed at one opening, not at %(numbers)s: choose one of them.")
        raise NotRecordedError([Problem("opening", text % {"numbers": numbers})])
    whole = at[0] if at else None
    return Place(survey, whole or (shown[0].opening if shown else None), shown)


def place_pressed(places: Mapping[str, Place], pressed: str) -> Place:
    """Return the place whose button was pressed. Raises NotRecordedError for one that is gone."""
    if pressed not in places:
        text = _("That place is no longer there. Choose another.")
        raise NotRecordedError([Problem("place", text)])
    return places[pressed]


def place_of_numbers(
    typed: str, survey: Survey, openings: Sequence[Opening], findings: Sequence[Finding]
) -> Place:
    """Return the place that was typed: the number of an opening, or of one or several findings.

    Raises NotRecordedError for a number that is none, or that both have.
    """
    wanted = typed.strip().casefold()
    numbers = [part for part in re.split(r"[\s,;]+", wanted) if part]
    whole = next((each for each in openings if each.number.casefold() == wanted), None)
    by_number = {str(each.number): each for each in findings}
    shown = tuple(by_number[number] for number in dict.fromkeys(numbers) if number in by_number)
    if not numbers:
        raise _not_there(_("Choose what the photographs show."))
    if whole and shown:
        text = _("“%s” is the number of a finding and of an opening: choose it from the list.")
        raise _not_there(text % typed.strip())
    if whole:
        return Place(survey, whole)
    if len(shown) < len(set(numbers)):
        lacking = next(number for number in numbers if number not in by_number)
        text = _("No finding and no opening of this survey has the number “%s”.")
        raise _not_there(text % (typed.strip() if len(numbers) == 1 else lacking))
    return place_of(survey, (), shown)


def _not_there(text: str) -> NotRecordedError:
    return NotRecordedError([Problem("typed", text)])


def offers_for(
    survey: Survey,
    photographs: Iterable[Photograph],
    findings: Iterable[Finding],
    minutes: float,
) -> list[TimeOffer]:
    """Return the places that photographs not sorted in may belong to by the clock.

    photographs: all of the survey's, with their findings; those filed at a whole opening stand
        for its whole view.
    A camera that notes no offset from UTC is taken to keep the building's time.
    """
    zone = ZoneInfo(survey.building.time_zone)
    rows = [(row, at) for row in photographs if (at := taken_at(row, zone)) is not None]
    waiting = {row.pk: row for row, _at in rows if row.opening_id is None}
    offers = offers_by_time(
        [Taken(row.pk, at) for row, at in rows if row.pk in waiting],
        [Noted(each.pk, at) for each in findings if (at := logged_at(each)) is not None],
        [
            Noted(row.opening_id, at)
            for row, at in rows
            if row.opening_id is not None and not row.findings.all()
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
