"""The state of a danger on a day, from all that is recorded of it. Nothing is guessed."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Final

from condition.compute.danger.facts import (
    DECIDED,
    Act,
    ActFacts,
    DangerFacts,
    DangerRow,
    Falls,
    MeasureKind,
    Under,
    worst_falls,
    worst_under,
)


class Standing(StrEnum):
    """Where a danger stands, worst first."""

    DANGER = "danger"
    LET_IN = "only people let in"
    MAY_BE_LOST = "may be lost"
    SLEEPING = "sleeping"
    ANSWERED_NO = "answered no"
    ENDED = "ended"
    NOT_ASKED = "no danger asked"


# What can hurt somebody today.
DANGEROUS: Final = frozenset({Standing.DANGER, Standing.LET_IN})
IMMEDIATE, SHORT_TERM, LONG_TERM = 3, 2, 0


@dataclass(frozen=True)
class Measure:
    """A measure as it stands on a day.

    look_by: by when somebody must look again, None where no day was agreed. failed: the latest
    look found that it does not hold. last_looked: the day of the latest look, or when it was done.
    """

    facts: ActFacts
    holding_kind: bool
    look_by: date | None
    failed: bool
    last_looked: date
    overdue: bool

    @property
    def holds(self) -> bool:
        return self.holding_kind and not self.failed and not self.overdue


@dataclass(frozen=True)
class DangerState:
    """standing: see Standing. falls, under: the answers that count, the worst of those that stand.

    disagreement: answers given without knowing of each other differ, and nobody has chosen yet.
    held_by: the measure that makes it safe for now, if one does. measures: all, oldest first.
    cured: what was mended has cured by the day and nobody has ended the danger yet.
    is_away: the register says that it is not in its place, and nobody found it hanging there.
    open_since: the day of the first answer that counts since the last no; None without any.
    """

    standing: Standing
    falls: Falls
    falls_because: str
    under: Under
    disagreement: bool
    held_by: Measure | None
    measures: tuple[Measure, ...]
    cured: bool
    end: ActFacts | None
    is_away: bool = False
    open_since: date | None = None

    @property
    def is_dangerous(self) -> bool:
        return self.standing in DANGEROUS

    @property
    def is_listed(self) -> bool:
        """Whether it stands among the open ones: neither ended nor judged not to come down."""
        return self.standing in (*DANGEROUS, Standing.MAY_BE_LOST, Standing.SLEEPING)

    @property
    def is_held(self) -> bool:
        """Whether something makes it safe for now; what is not in its place hangs over nobody."""
        return self.held_by is not None or self.is_away

    @property
    def not_answered(self) -> bool:
        """Whether one of the two questions has no answer that counts."""
        return self.falls == Falls.NOT_ANSWERED or self.under == Under.NOT_ANSWERED

    @property
    def overdue(self) -> tuple[Measure, ...]:
        """Return the measures nobody has looked at in time, where no other one holds it."""
        if self.is_held or self.standing in (Standing.ENDED, Standing.NOT_ASKED):
            return ()
        return tuple(each for each in self.measures if each.overdue and not each.failed)

    def look_due(self, by: date) -> date | None:
        """Return the day by which somebody must look at what holds it, or was to, if that is not
        after `by`; None where nothing is due, or it has ended."""
        if not self.is_listed:
            return None
        asked = [self.held_by] if self.held_by else list(self.overdue)
        days = [each.look_by for each in asked if each.look_by is not None]
        first = min(days, default=None)
        return first if first is not None and first <= by else None

    @property
    def urgency_at_least(self) -> int:
        """Return the lowest class of urgency that may be proposed: 0 to 3."""
        if not self.is_dangerous:
            return LONG_TERM
        now = self.falls == Falls.NOW and self.standing == Standing.DANGER
        return IMMEDIATE if now and not self.is_held else SHORT_TERM


def state_of(danger: DangerFacts, on: date) -> DangerState:
    """Return how a danger stands on a day, by what was recorded until then."""
    acts = _since_put_back([act for act in danger.acts if act.day <= on])
    answers = _standing_answers(acts)
    falls = worst_falls(each.answer for each in answers)
    under = worst_under(danger.under)
    end = _end_of(acts)
    measures = tuple(_measure(act, acts, danger.row, on) for act in acts if act.measure)
    holding = [each for each in measures if each.holds]
    return DangerState(
        standing=_standing(danger, falls, under, end),
        falls=falls,
        falls_because=next((each.because for each in answers if each.answer == falls), ""),
        under=under,
        disagreement=len({each.answer for each in answers}) > 1,
        held_by=holding[-1] if holding and end is None else None,
        measures=measures,
        cured=end is None and any(_is_cured(each.facts, on) for each in measures),
        end=end,
        is_away=danger.is_away and not any(_is_back(each) for each in measures),
        open_since=_open_since(acts),
    )


def _is_back(measure: Measure) -> bool:
    """Whether somebody found a thing hanging that was said to be taken away."""
    return measure.failed and measure.facts.measure == MeasureKind.TAKEN_AWAY


def _since_put_back(acts: list[ActFacts]) -> list[ActFacts]:
    """What counts: a thing that was put back in its place is asked about anew."""
    last = max((n for n, act in enumerate(acts) if act.act == Act.PUT_BACK), default=-1)
    return acts[last + 1 :]


def _standing(danger: DangerFacts, falls: Falls, under: Under, end: ActFacts | None) -> Standing:
    if not danger.row.falls:
        return Standing.NOT_ASKED if end is None else Standing.ENDED
    if end is not None:
        return Standing.ENDED
    if falls == Falls.NO:
        return Standing.ANSWERED_NO
    if danger.light_and_low:
        return Standing.MAY_BE_LOST
    if under == Under.NOBODY:
        return Standing.SLEEPING
    return Standing.LET_IN if under == Under.LET_IN else Standing.DANGER


def _standing_answers(acts: Sequence[ActFacts]) -> list[ActFacts]:
    """The answers that no later one replaced: one replaces those it knew of.

    Of two phones that answer apart neither knows of the other, and both stand. What was seen
    earlier replaces nothing that was seen since, whenever it is written down. That it could not be
    judged, or was not answered, makes nothing lighter: it replaces no "now" and no "could".
    """
    answers = [act for act in acts if act.act == Act.ANSWER]
    return [each for each in answers if not any(_replaces(other, each) for other in answers)]


def _replaces(later: ActFacts, each: ActFacts) -> bool:
    if later is each or later.knew_until is None or each.at > later.knew_until:
        return False
    if each.day > later.day:
        return False
    return later.answer in DECIDED or each.answer not in (Falls.NOW, Falls.COULD)


def _open_since(acts: Sequence[ActFacts]) -> date | None:
    """The day of the first answer that counts as danger since the last no, if there is one."""
    since = None
    for act in sorted((act for act in acts if act.act == Act.ANSWER), key=lambda act: act.day):
        since = None if act.answer == Falls.NO else since or act.day
    return since


def _end_of(acts: Sequence[ActFacts]) -> ActFacts | None:
    """The latest end that nobody took back."""
    taken_back = {act.of for act in acts if act.act == Act.TAKEN_BACK}
    ends = [act for act in acts if act.act == Act.END and act.key not in taken_back]
    return ends[-1] if ends else None


def _measure(act: ActFacts, acts: Sequence[ActFacts], row: DangerRow, on: date) -> Measure:
    looks = [each for each in acts if each.act == Act.LOOK and each.of == act.key]
    latest = looks[-1] if looks else None
    # A look that names no new day leaves the day that stands.
    look_by = (latest and latest.look_by) or act.look_by
    return Measure(
        facts=act,
        holding_kind=_is_holding(act, row, on),
        look_by=look_by,
        failed=latest is not None and not latest.holds,
        last_looked=latest.day if latest else act.day,
        overdue=look_by is not None and look_by < on,
    )


def _is_holding(act: ActFacts, row: DangerRow, on: date) -> bool:
    assert act.measure is not None
    if not row.holds(act.measure, act.fixed_to):
        return False
    return act.measure != MeasureKind.MENDED or act.parts_carry or _is_cured(act, on)


def _is_cured(act: ActFacts, on: date) -> bool:
    return act.cures_on is not None and act.cures_on <= on
