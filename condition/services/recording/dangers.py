"""Dangers recorded: found at a survey or told by telephone, and every act about one."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from condition.compute.danger.acts import TO_COME, ActData, KnownDanger, act_problems
from condition.compute.danger.facts import Act, EndKind, MeasureKind
from condition.compute.danger.state import state_of
from condition.compute.recording.facts import FindingData, Key, WhenSeen
from condition.compute.recording.subjects import NO_OPENING
from condition.models import AreaClosure, Danger, DangerAct, Finding
from condition.models.choices import ConditionClass
from condition.models.danger_facts import row_of
from condition.services.recording.sending import (
    column_problems,
    digest_of,
    in_words,
    sent_before,
)
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.keys import uuid7
from sites.models import AttachedItem, Building, User
from sites.models.choices import Placement
from sites.rules.actor import acting_as
from sites.services.numbers import today_at
from sites.services.recording import NotRecordedError, Problem, raise_for

# Days until somebody looks again at what holds a danger, where nobody agreed another day: studio
# defaults, common practice, no source. Tape loosens within days; wire and board last a month.
LOOK_AGAIN_DAYS: Final = {MeasureKind.COVERED: 7, MeasureKind.HELD: 30, MeasureKind.KEPT_CLEAR: 7}
PLACE_KEYS: Final = {"building", "kind", "opening", "panel", "attached_item"}
KEYS: Final = {"danger", "of", "finding", "photograph"}


@dataclass(frozen=True, kw_only=True)
class DangerData(WhenSeen):
    """What is recorded of a danger that became known without a survey."""

    building: Key
    kind: Key
    opening: Key = None
    panel: Key = None
    attached_item: Key = None
    what: str = ""
    place: str = ""
    side: str = "unknown"
    source: str = "telephone"
    opened_on: date
    note: str = ""
    answer: str = ""


def record_act(data: ActData, key: UUID, user: User) -> DangerAct:
    """Record one act about a danger under its key and return it.

    The same key with the same data again returns the act as it stands. Raises NotRecordedError
    with all problems.
    """
    with transaction.atomic(), acting_as(str(user.pk)):
        # Two who act at once: the second waits here, and then sees what the first did.
        danger = (
            Danger.objects.select_for_update(of=("self",))
            .with_facts()
            .filter(pk=data.danger)
            .first()
        )
        if danger is None or SURVEY not in abilities_at(user, danger.building):
            raise NotRecordedError([Problem("danger", _("That danger is not known here."))])
        digest = digest_of(data)
        if done := sent_before(DangerAct, {key: digest}):
            return done[key]
        act = _row(data, key, digest)
        raise_for(problems_of(data, danger, act))
        act.save(force_insert=True)
        _follow(act, danger)
    return act


def problems_of(data: ActData, danger: Danger, act: DangerAct | None = None) -> list[Problem]:
    """Return all that is wrong with an act about a danger."""
    today = today_at(danger.building)
    facts = danger.facts()
    known = KnownDanger(
        row=row_of(danger),
        state=state_of(facts, max(today, data.day)),
        opened_on=danger.opened_on,
        today=today,
        is_single=facts.is_single,
        is_shut=AreaClosure.objects.standing().filter(danger=danger).exists(),
    )
    problems = in_words(act_problems(data, known))
    return problems + (column_problems(act, problems, {}) if act else [])


@transaction.atomic
def open_danger(data: DangerData, key: UUID, user: User) -> Danger:
    """Record a danger that nobody was at a survey for, and what was answered of it.

    Raises NotRecordedError with all problems.
    """
    with acting_as(str(user.pk)):
        if there := Danger.objects.filter(pk=key, building=data.building).first():
            return there
        raise_for(why_not_opened(data, user))
        danger = Danger(pk=key, **_columns(data, PLACE_KEYS, without={"answer"}))
        danger.save(force_insert=True)
        answer(danger, data.answer, day=data.opened_on)
    return danger


def why_not_opened(data: DangerData, user: User) -> list[Problem]:
    """Return all that is wrong with a danger that is to be recorded without a survey."""
    building = Building.objects.filter(pk=data.building).select_related("studio").first()
    if building is None or SURVEY not in abilities_at(user, building):
        return [Problem("building", _("That building is not known here."))]
    danger = Danger(**_columns(data, PLACE_KEYS, without={"answer"}))
    if not building.studio.finding_kinds.filter(pk=data.kind).exists():
        return [Problem("kind", _("Say what is wrong with it."))]
    return [*_of_building(danger, data), *column_problems(danger, [], {})]


def answer(danger: Danger, value: str, *, day: date, **values: Any) -> DangerAct:
    """Add an answer to "can it come down?"; "" where nobody answered. Asks no rules."""
    now = timezone.now()
    return DangerAct.objects.create(
        danger=danger,
        act=Act.ANSWER,
        day=day,
        answer=value,
        received_at=now,
        **{"knew_until": now} | values,
    )


@transaction.atomic
def put_back(item: AttachedItem, day: date) -> None:
    """A thing that was not in its place hangs again: each danger of it is asked about anew."""
    for danger in Danger.objects.filter(attached_item=item):
        DangerAct.objects.create(danger=danger, act=Act.PUT_BACK, day=day)


def _row(data: ActData, key: UUID, digest: str) -> DangerAct:
    """The act as a row, with the days and the knowledge that nobody gave."""
    act = DangerAct(pk=key, sent_sha256=digest, **_columns(data, KEYS))
    days = LOOK_AGAIN_DAYS.get(MeasureKind(data.measure)) if data.measure else None
    if days and data.look_by is None:
        act.look_by = data.day + timedelta(days=days)
    if data.act == Act.ANSWER and data.knew_until is None:
        act.knew_until = act.received_at
    return act


def _follow(act: DangerAct, danger: Danger) -> None:
    """Let the register say where an attached item is, once it was taken away or found gone; and
    that it hangs, once that is taken back and nothing else says that it was taken away."""
    item = danger.attached_item
    taken = EndKind.TAKEN_AWAY in (act.end, act.measure)
    if item is None:
        return
    if taken or act.end == EndKind.GONE:
        item.placement = Placement.TAKEN_DOWN if taken else Placement.MISSING
        item.placed_at, item.held_by, item.placed_since = act.placed, act.holder, act.day
    elif act.act == Act.TAKEN_BACK and _says_it_left(act.of) and not _was_taken_away(danger):
        item.placement = Placement.IN_PLACE
        item.placed_at, item.held_by, item.placed_since = "", "", None
    else:
        return
    item.save(update_fields=["placement", "placed_at", "held_by", "placed_since"])


def _says_it_left(act: DangerAct | None) -> bool:
    return act is not None and act.end in (EndKind.TAKEN_AWAY, EndKind.GONE)


def _was_taken_away(danger: Danger) -> bool:
    return any(
        each.facts.measure == MeasureKind.TAKEN_AWAY and not each.failed
        for each in danger.state_on().measures
    )


def _columns(data: Any, keys: set[str], without: Collection[str] = ()) -> dict[str, Any]:
    """The values of data as columns, those that name another row by `…_id`."""
    names = [each.name for each in fields(data) if each.name not in without]
    return {(f"{name}_id" if name in keys else name): getattr(data, name) for name in names}


def _of_building(danger: Danger, data: DangerData) -> list[Problem]:
    """What of it is of another building, or of another opening."""
    problems = []
    if danger.opening and danger.opening.building_id != danger.building_id:
        problems.append(Problem("opening", _(NO_OPENING)))
    for name in ("panel", "attached_item"):
        part = getattr(danger, name)
        if part and part.opening_id != danger.opening_id:
            problems.append(Problem(name, _("That is not in this opening.")))
    if danger.opening is None and not danger.what.strip():
        problems.append(Problem("what", _("Say which window, or in words what it is.")))
    if danger.opened_on > today_at(danger.building):
        problems.append(Problem("opened_on", _(TO_COME)))
    return problems


def record_dangers(sightings: Sequence[tuple[Finding, FindingData]]) -> None:
    """Open or go on with the danger of each finding of which one was answered, or asked about.

    One that continues an earlier sighting on the same thing is a sighting of the same danger: a
    person linked the two. Any other is a danger of its own. An answer already given is not
    repeated; nothing here ends a danger.
    """
    earlier = [key for finding, _data in sightings if (key := finding.continues_id)]
    seen = Finding.objects.filter(pk__in=earlier).of_open_dangers().select_related("danger")
    before: dict[UUID, Finding] = {row.pk: row for row in seen} if earlier else {}
    for finding, data in sorted(sightings, key=lambda each: each[0].survey.day):
        danger = finding.danger
        if danger is None:
            danger = _same_danger(finding, data, before)
            if danger is None and data.answer is None:
                continue
            danger = finding.danger = danger or _danger_of(finding)
            finding.save(update_fields=["danger"])
        before[finding.pk] = finding
        _answered(danger, finding, data)
        if data.measure:
            act = _row(_measure_of(danger, data, finding.survey.day), uuid7(), "")
            act.finding = finding
            act.save(force_insert=True)
            _follow(act, danger)


def _answered(danger: Danger, finding: Finding, data: FindingData) -> None:
    """Keep an answer that is new. No answer takes none away that was given before."""
    given = (data.answer, data.because)
    if data.answer is None or given == answer_of(finding):
        return
    if data.answer == "" and danger.acts.exists():
        return
    why = {"because": data.because, "judged_from": data.seen_from} if data.answer else {}
    answer(danger, data.answer, day=finding.survey.day, finding=finding, **why)


def answer_of(finding: Finding) -> tuple[str | None, str]:
    """Return what was last answered of a finding itself, and because of what; None where nobody
    was asked."""
    acts = finding.danger.acts.all() if finding.danger else ()
    answers = [act for act in acts if act.act == Act.ANSWER and act.finding_id == finding.pk]
    if not answers:
        return None, ""
    return answers[-1].answer, answers[-1].because


def _same_danger(
    finding: Finding, data: FindingData, before: Mapping[UUID, Finding]
) -> Danger | None:
    """The danger of the sighting that a finding continues, where it is on the same thing.

    before: sightings of dangers that nobody ended. Where nothing is wrong any more the danger was
    not seen again, and stays open until somebody says how it ended.
    """
    if data.condition_class == ConditionClass.NO_SYMPTOMS and not data.answer:
        return None
    earlier = before.get(finding.continues_id) if finding.continues_id else None
    return earlier.danger if earlier and _thing(earlier) == _thing(finding) else None


def _thing(finding: Finding) -> tuple[Any, ...]:
    return finding.opening_id, finding.panel_id, finding.attached_item_id


def _danger_of(finding: Finding) -> Danger:
    return Danger.objects.create(
        building_id=finding.survey.building_id,
        kind_id=finding.kind_id,
        opening_id=finding.opening_id,
        panel_id=finding.panel_id,
        attached_item_id=finding.attached_item_id,
        side=finding.side,
        opened_on=finding.survey.day,
        seen_at=finding.seen_at,
        seen_clock_ahead_s=finding.seen_clock_ahead_s,
    )


def _measure_of(danger: Danger, data: FindingData, day: date) -> ActData:
    return ActData(
        danger=danger.pk,
        act=Act.MEASURE,
        day=day,
        measure=data.measure,
        fixed_to=data.fixed_to,
        because=data.done,
        keeper=data.keeper,
        look_by=data.look_by,
        placed=data.placed,
        holder=data.holder,
    )
