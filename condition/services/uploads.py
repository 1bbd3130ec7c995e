"""Several photographs sent at once: each is taken in or refused by itself, and says which."""

import logging
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import BinaryIO, cast

from django.core.files.uploadedfile import UploadedFile
from django.utils import timezone
from django.utils.translation import gettext as _

from condition.compute.recording.facts import PhotographData
from condition.models import Finding, Photograph, Survey
from condition.services.recording.photographs import (
    FiledElsewhereError,
    NotStoredError,
    record_photograph,
)
from sites.compute.photographs.names import safe_display_name
from sites.keys import uuid7
from sites.models import Opening, User
from sites.services.recording import NotRecordedError

logger = logging.getLogger(__name__)

MOST_AT_ONCE = 50


class Fate(StrEnum):
    """What became of one file."""

    RECEIVED = "received"
    ALREADY_HERE = "already here"
    ELSEWHERE = "elsewhere"
    REFUSED = "refused"


@dataclass(frozen=True)
class Outcome:
    """One file's name as it was sent, what became of it, and the reason in plain words."""

    name: str
    fate: Fate
    reason: str = ""
    photograph: Photograph | None = None

    @property
    def is_in(self) -> bool:
        return self.fate in (Fate.RECEIVED, Fate.ALREADY_HERE)


@dataclass(frozen=True)
class Place:
    """Where photographs are filed: a survey, and as far as it is known an opening or findings."""

    survey: Survey
    opening: Opening | None = None
    findings: tuple[Finding, ...] = ()

    @property
    def data(self) -> PhotographData:
        """What is recorded of a photograph that is filed here."""
        return PhotographData(
            building=self.survey.building_id,
            survey=self.survey.pk,
            opening=self.opening.pk if self.opening else None,
            findings=tuple(each.pk for each in self.findings),
        )


def take_in(files: Iterable[UploadedFile], place: Place, user: User) -> list[Outcome]:
    """Receive each of `files` at `place`, and return what became of each, in their order.

    Those beyond the first MOST_AT_ONCE are refused. Not to be called inside a transaction.
    """
    return list(_each(files, place, user))


def _each(files: Iterable[UploadedFile], place: Place, user: User) -> Iterator[Outcome]:
    for count, file in enumerate(files, start=1):
        if count > MOST_AT_ONCE:
            reason = _("Only %d are taken at once: send this one in another go.") % MOST_AT_ONCE
            yield Outcome(safe_display_name(file.name or ""), Fate.REFUSED, reason)
        else:
            yield _take_in_one(file, place, user)


def _take_in_one(file: UploadedFile, place: Place, user: User) -> Outcome:
    name = safe_display_name(file.name or "")
    began = timezone.now()
    try:
        data = replace(place.data, name=file.name or "")
        photograph = record_photograph(data, cast("BinaryIO", file), uuid7(), user)
    except FiledElsewhereError as refusal:
        return Outcome(name, Fate.ELSEWHERE, str(refusal))
    except (NotRecordedError, NotStoredError) as refusal:
        return Outcome(name, Fate.REFUSED, str(refusal))
    except OSError:
        # A full or failing disk: the other files and the form's words are still worth keeping.
        logger.exception("a photograph of survey %s could not be stored", place.survey.pk)
        reason = _("The server's disk did not take it. Send it again once there is room.")
        return Outcome(name, Fate.REFUSED, reason)
    fate = Fate.RECEIVED if photograph.received_at >= began else Fate.ALREADY_HERE
    return Outcome(name, fate, photograph=photograph)
