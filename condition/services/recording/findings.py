"""Findings recorded and changed: by a form, by an answer, by a folder, by a phone."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext as _

from condition.compute.recording.facts import (
    Context,
    FindingData,
    KnownKind,
    RecordedFinding,
    about,
)
from condition.compute.recording.findings import completed, finding_problems
from condition.models import Finding, FindingMark, FindingSource, Survey
from condition.services.classes import keep_all_proposals, keep_how_classed, levels_of
from condition.services.recording.dangers import answer_of, record_dangers
from condition.services.recording.known import (
    building_to_record_at,
    finding_label,
    known_at,
)
from condition.services.recording.sending import (
    column_problems,
    digest_of,
    in_words,
    sent_before,
)
from sites.compute.lengths import Length
from sites.models import User
from sites.rules.actor import acting_as
from sites.services.recording import NotRecordedError, Problem

# Values of the data that are columns of the same name.
SAME: Final = (
    "side", "extent", "amount", "unit", "of_total", "not_measured", "position", "water", "datum",
    "diagnosis", "note", "condition_class", "urgency_class", "recommendation_class",
    "classes_reason", "subject_change", "seen_from",
)  # fmt: skip
ANSWER: Final = ("answer", "because")
KEYS: Final = ("survey", "opening", "panel", "attached_item", "kind", "continues")
LENGTHS: Final = ("span", "within")
# The value a column belongs to, where it has another name.
VALUE_OF: Final = {"part": "in_what"} | {
    f"{name}_{end}": name for name in LENGTHS for end in ("typed", "mm")
}


def record_finding(data: FindingData, key: UUID, user: User) -> Finding:
    """Record one finding under its key and return it, numbered and with its classes noted.

    The same key with the same data again returns the finding as it stands, edited or not.
    Raises NotRecordedError with all problems, and for a key that was used for other data.
    """
    return record_findings({key: data}, user)[key]


@transaction.atomic
def record_findings(entries: Mapping[UUID, FindingData], user: User) -> dict[UUID, Finding]:
    """Record findings of one building, all or none, in a bounded number of queries.

    Those of an earlier survey come first, so that one may continue another of them. Returns and
    raises as `record_finding`.
    """
    building = building_to_record_at(user, [data.survey for data in entries.values()])
    with acting_as(str(user.pk)):
        surveys = _locked({data.survey for data in entries.values()})
        digests = {key: digest_of(data) for key, data in entries.items()}
        done = sent_before(Finding, digests)
        new = {key: data for key, data in entries.items() if key not in done}
        known = _with_each_other(known_at(building, list(new.values())), new, surveys)
        new = {key: completed(data, known) for key, data in new.items()}
        made = _numbered(new, surveys, digests)
        problems = [
            problem
            for key, data in new.items()
            for problem in _problems(data, known, made[key], key)
        ]
        if problems:
            raise NotRecordedError(problems)
        _create(made.values(), surveys)
        for key, data in new.items():
            _join(made[key], data.also_from)
        record_dangers([(made[key], data) for key, data in new.items()])
        keep_all_proposals(list(made.values()), user)
    return done | made


def check_finding(data: FindingData, user: User, finding: Finding | None = None) -> list[Problem]:
    """Return all that is wrong with a new finding, or with a change of one that is recorded."""
    try:
        building = building_to_record_at(user, [data.survey])
    except NotRecordedError as refusal:
        return list(refusal.problems)
    known = known_at(building, [data])
    if finding is None:
        data = completed(data, known)
        return _problems(data, known, Finding(number=0, **columns_of(data)), None)
    before = finding_data(finding)
    data = completed(data, known)
    if _answer_in(data) == _answer_in(before):
        # What was answered before stands, whatever has been closed or ended since.
        known = _as_answered(known, finding.pk, bool(data.measure))
    if _stands_as(before) == _stands_as(data):
        # What a look says against it was there to be seen already: other words may be mended.
        known = replace(known, inspections={})
    if (before.kind, before.unit) == (data.kind, data.unit) and data.kind in known.kinds:
        known = replace(known, kinds={data.kind: _also_in(known.kinds[data.kind], data.unit)})
    row = Finding(number=finding.number, **columns_of(data))
    return [*_problems(data, known, row, finding.pk), *_moving(finding, before, data)]


@transaction.atomic
def change_finding(finding: Finding, data: FindingData, user: User) -> Finding:
    """Change a recorded finding to say what the data says, and return it as it is stored.

    Its number, and when it was seen, stay. Its photographs go with it to another opening; what
    was drawn of it on the elevation of the opening it was at goes: it lies nowhere on the other.
    Raises NotRecordedError with all problems.
    """
    with acting_as(str(user.pk)):
        _locked({finding.survey_id})
        row = Finding.objects.select_related("survey").get(pk=finding.pk)
        if problems := check_finding(data, user, row):
            raise NotRecordedError(problems)
        data = completed(data, known_at(row.survey.building, [data]))
        classed_before, opening_before = levels_of(row), row.opening_id
        _part_from(row, data.also_from)
        for name, value in columns_of(data).items():
            setattr(row, name, value)
        row.save()
        _join(row, data.also_from)
        record_dangers([(row, data)])
        if row.opening_id != opening_before:
            _take_along(row)
        keep_how_classed(row, classed_before, user)
    return row


def finding_data(finding: Finding) -> FindingData:
    """Return what is recorded of a finding, as it would be recorded again."""
    lengths: dict[str, Any] = {
        name: None if mm is None else Length(getattr(finding, f"{name}_typed"), mm)
        for name in LENGTHS
        for mm in (getattr(finding, f"{name}_mm"),)
    }
    answer, because = answer_of(finding)
    return FindingData(
        **{name: getattr(finding, name) for name in SAME},
        **{name: getattr(finding, f"{name}_id") for name in KEYS},
        **lengths,
        own_key=finding.own_key,
        in_what=finding.part,
        answer=answer,
        because=because,
        also_from=tuple(finding.also_from.order_by("pk").values_list("pk", flat=True)),
    )


def columns_of(data: FindingData) -> dict[str, Any]:
    """Return the values as columns of a finding, but for its number and when it was seen."""
    lengths: dict[str, Any] = {}
    for name in LENGTHS:
        length: Length | None = getattr(data, name)
        lengths[f"{name}_typed"] = length.typed if length else ""
        lengths[f"{name}_mm"] = length.mm if length else None
    return {
        **{name: getattr(data, name) for name in SAME},
        **{f"{name}_id": getattr(data, name) for name in KEYS},
        **lengths,
        "part": data.in_what,
    }


def next_number(survey: Survey) -> int:
    """Return one more than the highest number of the survey's findings."""
    highest = survey.findings.aggregate(highest=Max("number"))["highest"]
    return 1 + (highest or 0)


def _locked(keys: set[Any]) -> dict[Any, Survey]:
    """The surveys by key. Several people may record at one: each waits for the other's number."""
    return {row.pk: row for row in Survey.objects.select_for_update().filter(pk__in=keys)}


def _problems(data: FindingData, known: Context, row: Finding, key: UUID | None) -> list[Problem]:
    problems = in_words(finding_problems(data, known, key))
    return problems + column_problems(row, problems, VALUE_OF)


def _answer_in(data: FindingData) -> tuple[Any, ...]:
    return tuple(getattr(data, name) for name in ANSWER)


def _as_answered(known: Context, key: UUID, says_measure: bool) -> Context:
    """What is known, but for what an answer to the danger of one finding is refused for."""
    here = known.findings.get(key)
    if here is None or here.danger is None:
        return known
    has_ended = here.danger.has_ended and says_measure
    here = replace(here, danger=replace(here.danger, is_shut=False, has_ended=has_ended))
    return replace(known, findings={**known.findings, key: here})


def _stands_as(data: FindingData) -> tuple[Any, ...]:
    return data.opening, data.panel, data.attached_item, data.side


def _also_in(kind: KnownKind, unit: str) -> KnownKind:
    """The kind, with the unit that a finding of it was measured in already."""
    units = (*kind.units, unit) if kind.units and unit else kind.units
    return replace(kind, units=tuple(dict.fromkeys(units)))


def _with_each_other(
    known: Context, entries: Mapping[UUID, FindingData], surveys: Mapping[Any, Survey]
) -> Context:
    """What is known, and the findings that are recorded together."""
    together = {
        key: RecordedFinding(
            label=finding_label(data.number or 0, surveys[data.survey]),
            number=str(data.number or ""),
            **about(data),
        )
        for key, data in entries.items()
    }
    return replace(known, findings={**known.findings, **together})


def _numbered(
    entries: Mapping[UUID, FindingData], surveys: Mapping[Any, Survey], digests: Mapping[UUID, str]
) -> dict[UUID, Finding]:
    """Return a row for each, not saved: with the number it has, or else the next of its survey."""
    counted: dict[Any, int] = {}
    made = {}
    for key, data in entries.items():
        number = data.number
        if number is None:
            number = counted.get(data.survey) or next_number(surveys[data.survey])
            counted[data.survey] = number + 1
        made[key] = Finding(
            pk=key,
            survey=surveys[data.survey],
            number=number,
            own_key=data.own_key,
            seen_at=data.seen_at,
            seen_clock_ahead_s=data.seen_clock_ahead_s,
            sent_sha256=digests[key],
            **{name: each for name, each in columns_of(data).items() if name != "survey_id"},
        )
    return made


def _create(rows: Iterable[Finding], surveys: Mapping[Any, Survey]) -> None:
    """Store them, those of an earlier survey first."""

    def day_of(row: Finding) -> Any:
        return surveys[row.survey_id].day

    for _day, of_day in groupby(sorted(rows, key=day_of), key=day_of):
        Finding.objects.bulk_create(of_day)


def _join(finding: Finding, earlier: Sequence[Any]) -> None:
    """Link what a finding also comes from, where it is not linked yet."""
    if not earlier:
        return
    there = set(finding.source_links.values_list("earlier", flat=True))
    FindingSource.objects.bulk_create(
        FindingSource(finding=finding, earlier_id=key) for key in earlier if key not in there
    )


def _part_from(finding: Finding, kept: Sequence[Any]) -> None:
    finding.source_links.exclude(earlier__in=kept).delete()


def _moving(finding: Finding, before: FindingData, data: FindingData) -> list[Problem]:
    """Why a recorded finding cannot move to another opening."""
    if data.opening is None or data.opening == before.opening:
        return []
    if finding.danger_id is not None:
        text = _("A danger of it stands at this opening, so it cannot move to another one.")
        return [Problem("opening", text)]
    if finding.continuations.exists() or finding.joining_links.exists():
        text = _("A later finding continues this one, so it cannot move to another opening.")
        return [Problem("opening", text)]
    shared = Finding.objects.filter(photographs__in=finding.photographs.all())
    if others := list(shared.exclude(pk=finding.pk).order_by("number").distinct()):
        numbers = ", ".join(str(each.number) for each in others)
        text = _("Its photographs show finding %(numbers)s too: take them off this one first.")
        return [Problem("opening", text % {"numbers": numbers})]
    return []


def _take_along(finding: Finding) -> None:
    """Let a finding that moved be drawn on nothing, and its photographs show its new opening."""
    # Row by row, as few as they are: the history notes each that moved.
    for mark in FindingMark.objects.filter(finding=finding, photograph=None):
        mark.delete()
    for photograph in finding.photographs.exclude(opening=finding.opening_id):
        photograph.opening_id = finding.opening_id
        photograph.save(update_fields=["opening"])
