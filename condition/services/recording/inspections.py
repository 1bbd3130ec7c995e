"""Looks without a finding recorded: nothing found, or not inspected and why."""

from collections.abc import Mapping
from dataclasses import replace
from uuid import UUID

from django.db import transaction

from condition.compute.recording.facts import Context, InspectionData, RecordedInspection, about
from condition.compute.recording.inspections import inspection_problems
from condition.models import Inspection, Survey
from condition.services.recording.known import building_to_record_at, known_at
from condition.services.recording.sending import (
    column_problems,
    digest_of,
    in_words,
    sent_before,
)
from sites.models import User
from sites.rules.actor import acting_as
from sites.services.recording import NotRecordedError, Problem


def record_inspection(data: InspectionData, key: UUID, user: User) -> Inspection:
    """Record one look under its key and return it.

    The same key with the same data again returns the look as it stands. Raises
    NotRecordedError with all problems, and for a key that was used for other data.
    """
    return record_inspections({key: data}, user)[key]


@transaction.atomic
def record_inspections(
    entries: Mapping[UUID, InspectionData], user: User
) -> dict[UUID, Inspection]:
    """Record looks at one building, all or none, in a bounded number of queries.

    Returns and raises as `record_inspection`.
    """
    surveys = {data.survey for data in entries.values()}
    building = building_to_record_at(user, surveys)
    with acting_as(str(user.pk)):
        # A second sending, or a finding there, waits here for the first.
        list(Survey.objects.select_for_update().filter(pk__in=surveys))
        digests = {key: digest_of(data) for key, data in entries.items()}
        done = sent_before(Inspection, digests)
        new = {key: data for key, data in entries.items() if key not in done}
        known = _with_each_other(known_at(building, list(new.values())), new)
        made = {key: _row(data, key, digests[key]) for key, data in new.items()}
        problems = [
            problem
            for key, data in new.items()
            for problem in _problems(data, known, made[key], key)
        ]
        if problems:
            raise NotRecordedError(problems)
        Inspection.objects.bulk_create(made.values())
    return done | made


def check_inspection(data: InspectionData, user: User) -> list[Problem]:
    """Return all that is wrong with a look that is to be recorded."""
    try:
        building = building_to_record_at(user, [data.survey])
    except NotRecordedError as refusal:
        return list(refusal.problems)
    return _problems(data, known_at(building, [data]), _row(data), None)


def _problems(
    data: InspectionData, known: Context, row: Inspection, key: UUID | None
) -> list[Problem]:
    problems = in_words(inspection_problems(data, known, key))
    return problems + column_problems(row, problems, {})


def _with_each_other(known: Context, entries: Mapping[UUID, InspectionData]) -> Context:
    together = {
        key: RecordedInspection(outcome=data.outcome, **about(data))
        for key, data in entries.items()
    }
    return replace(known, inspections={**known.inspections, **together})


def _row(data: InspectionData, key: UUID | None = None, digest: str = "") -> Inspection:
    row = Inspection(
        survey_id=data.survey,
        opening_id=data.opening,
        panel_id=data.panel,
        attached_item_id=data.attached_item,
        side=data.side,
        outcome=data.outcome or "",
        seen_from=data.seen_from,
        reason=data.reason.strip(),
        seen_at=data.seen_at,
        seen_clock_ahead_s=data.seen_clock_ahead_s,
        sent_sha256=digest,
    )
    if key is not None:
        row.pk = key
    return row
