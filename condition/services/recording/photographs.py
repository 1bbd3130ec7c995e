"""Photographs recorded: kept as they came, once a building, and filed where they belong."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any, BinaryIO, cast
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from condition.compute.recording.facts import PhotographData
from condition.compute.recording.photographs import photograph_problems, placed
from condition.models import Finding, Photograph, PhotographFinding
from condition.models.choices import PhotographState
from condition.services.photographs import ask_to_prepare, photograph_limits, put_back_original
from condition.services.recording.known import known_of_photographs
from condition.services.recording.sending import (
    digest_of,
    in_words,
    sent_before,
)
from sites.access import abilities_at
from sites.compute.photographs.errors import PhotographRefused
from sites.compute.photographs.intake import Inspected, inspect_photograph, sha256_of
from sites.compute.photographs.names import safe_display_name
from sites.compute.roles import SURVEY
from sites.errors import SaddlebarError
from sites.models import Building, User
from sites.rules.actor import acting_as
from sites.services.recording import NotRecordedError, Problem
from sites.services.stored_files import StoredFiles, kept_only_on_success


class FiledElsewhereError(NotRecordedError):
    """The very same photograph is filed with another survey or opening."""


class NotStoredError(SaddlebarError):
    """What came back from storage is not what was received."""


@dataclass(frozen=True)
class Received:
    """A photograph that has been looked at: what its header says, and its digest."""

    inspected: Inspected
    sha256: str


def look_at(file: BinaryIO) -> Received:
    """Return what is known of a photograph before it is stored. Raises PhotographRefused."""
    return Received(inspect_photograph(file, photograph_limits()), sha256_of(file))


def record_photograph(data: PhotographData, file: BinaryIO, key: UUID, user: User) -> Photograph:
    """Keep a photograph as it came and return its row; its copies are asked for once it is in.

    The same key with the same data again returns the row as it stands. The same bytes at the
    same building give the row that is there whatever the key, filed now where it was not filed
    before; findings of the survey and opening it is filed at are added.

    Raises NotRecordedError with all problems (those of the bytes at `file`), FiledElsewhereError
    where the photograph is there with another survey or opening, and NotStoredError when storage
    did not keep the bytes. Not to be called inside a transaction: the file could then outlive
    its row.
    """
    received, problems = _received(file)
    with (
        acting_as(str(user.pk)),
        kept_only_on_success() as stored,
        transaction.atomic(durable=True),
    ):
        building = _building(data, user)
        known = known_of_photographs(building, data)
        digest = digest_of(data, received.sha256 if received else "")
        data = placed(data, known)
        problems += in_words(photograph_problems(data, known))
        if received is None or problems:
            raise NotRecordedError(problems)
        if done := sent_before(Photograph, {key: digest}):
            return done[key]
        photograph = _kept(data, received, key, digest, file, stored)
        if photograph.state == PhotographState.RECEIVED:
            transaction.on_commit(partial(ask_to_prepare, photograph, user))
    return photograph


def check_photograph(data: PhotographData) -> list[Problem]:
    """Return all that is wrong with where a photograph is to be filed."""
    building = Building.objects.get(pk=data.building)
    known = known_of_photographs(building, data)
    data = placed(data, known)
    problems = in_words(photograph_problems(data, known))
    longest = Photograph._meta.get_field("caption").max_length or 0
    if len(data.caption) > longest:
        text = _("This is %(length)d characters long. Keep it to %(longest)d.")
        words = {"length": len(data.caption), "longest": longest}
        problems.append(Problem("caption", text % words))
    return problems


@transaction.atomic
def change_photograph(photograph: Photograph, data: PhotographData, user: User) -> Photograph:
    """File a photograph and caption it as the data says, and return it.

    Its bytes, its name and its survey stay. Raises NotRecordedError with all problems.
    """
    with acting_as(str(user.pk)):
        known = known_of_photographs(photograph.building, data)
        data = placed(data, known)
        if problems := check_photograph(data):
            raise NotRecordedError(problems)
        photograph.caption = data.caption.strip()
        photograph.save(update_fields=["caption"])
        file_at(photograph, data.opening, data.findings)
    return photograph


def file_at(photograph: Photograph, opening: Any, findings: Iterable[Any]) -> None:
    """File a photograph at an opening (its key, or None) and let it show these findings there.

    Raises IntegrityError for findings of another survey or opening.
    """
    wanted = list(dict.fromkeys(findings))
    photograph.finding_links.exclude(finding__in=wanted).delete()
    if photograph.opening_id != opening:
        photograph.opening_id = opening
        photograph.save(update_fields=["opening"])
    show(photograph, wanted)


def show(photograph: Photograph, findings: Iterable[Any]) -> None:
    """Link the findings (their keys) that a photograph shows, where they are not linked yet."""
    wanted = list(findings)
    there = set(photograph.finding_links.values_list("finding", flat=True)) if wanted else set()
    PhotographFinding.objects.bulk_create(
        PhotographFinding(photograph=photograph, finding_id=key)
        for key in wanted
        if key not in there
    )


def photograph_data(photograph: Photograph) -> PhotographData:
    """Return what is recorded of a photograph, as it would be recorded again."""
    return PhotographData(
        building=photograph.building_id,
        survey=photograph.survey_id,
        opening=photograph.opening_id,
        findings=tuple(each.pk for each in photograph.findings.all()),
        name=photograph.name,
        caption=photograph.caption,
    )


def photograph_row(data: PhotographData, received: Received) -> Photograph:
    """Return the row of a photograph, not saved, without its original and its findings."""
    inspected = received.inspected
    return Photograph(
        building_id=data.building,
        survey_id=data.survey,
        opening_id=data.opening,
        sha256=received.sha256,
        bytes=inspected.byte_count,
        format=inspected.photograph_format.value,
        name=safe_display_name(data.name),
        caption=data.caption.strip(),
        width=inspected.width_px,
        height=inspected.height_px,
        taken_local=inspected.taken_local,
        taken_at=inspected.taken_at,
        camera=inspected.camera[:120],
        had_position=inspected.has_position,
        seen_at=data.seen_at,
        seen_clock_ahead_s=data.seen_clock_ahead_s,
    )


def store_original(photograph: Photograph, file: BinaryIO, stored: StoredFiles) -> None:
    """Store the bytes as they came under the photograph's key, and read them back.

    Raises NotStoredError when what comes back has another digest.
    """
    field = photograph.original
    name = field.field.generate_filename(photograph, "original")
    photograph.original = stored.save(field.storage, name, file)
    with field.storage.open(photograph.original.name) as kept:
        if sha256_of(cast(BinaryIO, kept)) != photograph.sha256:
            raise NotStoredError(
                _("The photograph is not whole in storage. Check the disk, then send it again.")
            )


def elsewhere(there: Photograph, data: PhotographData) -> list[Problem]:
    """Return why a photograph that is there cannot be filed where the data says."""
    for place in ("survey", "opening"):
        here, asked = getattr(there, f"{place}_id"), getattr(data, place)
        if here is not None and asked is not None and here != asked:
            text = _("This very photograph is here already, with “%(here)s”.")
            return [Problem("file", text % {"here": _where(there)})]
    return []


def file_where_free(there: Photograph, data: PhotographData) -> Photograph:
    """File a photograph that is there where the data says, as far as it is not filed yet.

    Returns it, saved. Raises FiledElsewhereError rather than move it.
    """
    if problems := elsewhere(there, data):
        raise FiledElsewhereError(problems)
    there.survey_id = there.survey_id or data.survey
    there.opening_id = there.opening_id or data.opening
    there.caption = there.caption or data.caption.strip()
    there.save(update_fields=["survey", "opening", "caption"])
    show(there, data.findings)
    return there


def _received(file: BinaryIO) -> tuple[Received | None, list[Problem]]:
    try:
        return look_at(file), []
    except PhotographRefused as refusal:
        return None, [Problem("file", refusal.message)]


def _building(data: PhotographData, user: User) -> Building:
    """The building, once nobody else is sending the same photograph there."""
    building = Building.objects.select_for_update().filter(pk=data.building).first()
    if building is None or SURVEY not in abilities_at(user, building):
        raise NotRecordedError([Problem("building", _("You may not record at this building."))])
    return building


def _kept(
    data: PhotographData,
    received: Received,
    key: UUID,
    digest: str,
    file: BinaryIO,
    stored: StoredFiles,
) -> Photograph:
    there = Photograph.objects.filter(building=data.building, sha256=received.sha256).first()
    if there is not None:
        file_where_free(there, data)
        if there.damage:
            put_back_original(there, file)
        return there
    photograph = photograph_row(data, received)
    photograph.pk, photograph.sent_sha256 = key, digest
    store_original(photograph, file, stored)
    photograph.save(force_insert=True)
    show(photograph, data.findings)
    return photograph


def _where(there: Photograph) -> str:
    findings: list[Finding] = list(there.findings.all())
    named = [str(each) for each in (*findings, there.survey, there.opening) if each]
    return named[0]
