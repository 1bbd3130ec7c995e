"""What somebody may say or do about a danger: every act is asked by these rules, and only here."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Final

from condition.compute.danger.facts import (
    FLOOR,
    Act,
    DangerRow,
    EndKind,
    Falls,
    MeasureKind,
    TakersEnd,
    Trade,
)
from condition.compute.danger.state import DangerState
from condition.compute.recording.facts import Key, Refused, WhenSeen, gettext_noop, refused
from condition.compute.recording.subjects import MISSING

TO_COME: Final = gettext_noop("That day is still to come.")
BEFORE: Final = gettext_noop("The danger was not known yet on that day.")
HAS_ENDED: Final = gettext_noop(
    "This danger has ended. Take the end back, or record what you see now as a finding."
)
NO_REASON: Final = gettext_noop("Say why it cannot come down: “pulled, steady”.")
FROM_FLOOR: Final = gettext_noop("This cannot be judged from the floor. Say from where it was.")
SHUT: Final = gettext_noop(
    "An area stands closed for this danger: have it reopened, or the notice withdrawn, first."
)
NOT_THEIRS: Final = gettext_noop("This is not for a %(trade)s to say. It takes: %(judges)s.")
NO_MEASURE: Final = gettext_noop("Say which measure was looked at.")
HOLDS_OR_NOT: Final = gettext_noop("Say whether it holds.")
NO_PLACE: Final = gettext_noop("Say where it is now.")
NO_HOLDER: Final = gettext_noop("Say who holds it, or who has the key.")
NOT_TRIED: Final = gettext_noop("Say what was tried by hand.")
NOT_CURED: Final = gettext_noop(
    "It has not cured yet: record it as mended on the spot, with the day from which it has cured."
)
DID_IT_FALL: Final = gettext_noop("Say whether it fell, and who has it now, or that nobody knows.")
WHY: Final = gettext_noop("Say why.")
NOT_ENDED: Final = gettext_noop("This danger has not ended: there is nothing to take back.")
BECAUSE_OF: Final = {EndKind.GONE: DID_IT_FALL, EndKind.MISTAKEN: WHY}
LOOK_BY: Final = gettext_noop("To look again before it was done makes no sense.")


@dataclass(frozen=True, kw_only=True)
class ActData(WhenSeen):
    """All that is recorded of one act; which values count depends on `act`.

    danger: its key. of: the measure looked at, or the end taken back. by_trade: "" is surveyor.
    knew_until: of an answer, what it knew of; None: all that is recorded.
    """

    danger: Key
    act: str
    day: date
    by_name: str = ""
    by_trade: str = ""
    judged_from: str = ""
    because: str = ""
    answer: str = ""
    knew_until: datetime | None = None
    finding: Key = None
    measure: str = ""
    fixed_to: str = ""
    keeper: str = ""
    look_by: date | None = None
    cures_on: date | None = None
    parts_carry: bool = False
    of: Key = None
    holds: bool | None = None
    is_reported: bool = False
    end: str = ""
    tried: str = ""
    placed: str = ""
    holder: str = ""
    photograph: Key = None

    @property
    def trade(self) -> Trade:
        return Trade(self.by_trade or Trade.SURVEYOR)


@dataclass(frozen=True)
class KnownDanger:
    """What stands around an act. today: at the building. is_shut: an area is closed for it.
    is_single: one thing alone was found there."""

    row: DangerRow
    state: DangerState
    opened_on: date
    today: date
    is_shut: bool = False
    is_single: bool = True


def act_problems(data: ActData, known: KnownDanger) -> Iterator[Refused]:
    """Yield all that is wrong with an act."""
    if data.day > known.today:
        yield refused("day", TO_COME)
    elif data.day < known.opened_on:
        yield refused("day", BEFORE)
    ended = known.state.end is not None
    if data.act == Act.TAKEN_BACK:
        if not ended:
            yield refused("", NOT_ENDED)
        if not data.because.strip():
            yield refused("because", WHY)
        return
    if ended:
        yield refused("", HAS_ENDED)
        return
    yield from {
        Act.ANSWER: _answer,
        Act.MEASURE: _measure,
        Act.LOOK: _look,
        Act.END: _end,
    }[Act(data.act)](data, known)


def answer_problems(
    answer: str,
    because: str,
    judged_from: str,
    trade: Trade,
    row: DangerRow,
    *,
    is_shut: bool = False,
) -> Iterator[Refused]:
    """Yield why "it cannot come down" cannot stand; every other answer can."""
    if answer != Falls.NO:
        return
    if not because.strip():
        yield refused("because", NO_REASON)
    if judged_from in ("", FLOOR):
        yield refused("judged_from", FROM_FLOOR)
    if not row.may_answer_no(trade):
        yield _not_theirs(trade, row)
    if is_shut:
        yield refused("answer", SHUT)


def _answer(data: ActData, known: KnownDanger) -> Iterator[Refused]:
    yield from answer_problems(
        data.answer, data.because, data.judged_from, data.trade, known.row, is_shut=known.is_shut
    )


def _measure(data: ActData, _known: KnownDanger) -> Iterator[Refused]:
    if not data.measure:
        yield refused("measure", MISSING)
    if data.look_by is not None and data.look_by < data.day:
        yield refused("look_by", LOOK_BY)
    if data.measure == MeasureKind.TAKEN_AWAY:
        yield from placement_problems(data.placed, data.holder)


def _look(data: ActData, known: KnownDanger) -> Iterator[Refused]:
    if data.of not in {each.facts.key for each in known.state.measures}:
        yield refused("of", NO_MEASURE)
    if data.holds is None:
        yield refused("holds", HOLDS_OR_NOT)
    if data.look_by is not None and data.look_by < data.day:
        yield refused("look_by", LOOK_BY)


def _end(data: ActData, known: KnownDanger) -> Iterator[Refused]:
    if not data.end:
        yield refused("end", MISSING)
        return
    end = EndKind(data.end)
    yield from _end_judged(end, data, known)
    if end == EndKind.TAKEN_AWAY:
        yield from placement_problems(data.placed, data.holder)
    elif end == EndKind.MENDED:
        yield from _mended(data, known)
    elif end in BECAUSE_OF and not data.because.strip():
        yield refused("because", BECAUSE_OF[end])


def _end_judged(end: EndKind, data: ActData, known: KnownDanger) -> Iterator[Refused]:
    """Who may say so, and from where it can be judged."""
    if data.judged_from in ("", FLOOR) and end not in known.row.floor_ends:
        yield refused("judged_from", FROM_FLOOR)
    took_it = end in (EndKind.TAKEN_AWAY, EndKind.REMOVED) and (
        known.row.takers_end == TakersEnd.ALWAYS
        or (known.row.takers_end == TakersEnd.SINGLE and known.is_single)
    )
    if not took_it:
        yield from _judge(data.trade, known.row)


def _mended(data: ActData, known: KnownDanger) -> Iterator[Refused]:
    if not data.tried.strip():
        yield refused("tried", NOT_TRIED)
    mended = [each.facts for each in known.state.measures if not each.facts.parts_carry]
    days = [data.cures_on, *(each.cures_on for each in mended)]
    uncured = any(day is not None and day > data.day for day in days)
    if uncured and not data.parts_carry:
        yield refused("cures_on", NOT_CURED)


def placement_problems(placed: str, holder: str) -> Iterator[Refused]:
    """Yield what is not said of a thing that was taken away: where it is, and who has it."""
    if not placed.strip():
        yield refused("placed", NO_PLACE)
    if not holder.strip():
        yield refused("holder", NO_HOLDER)


def _judge(trade: Trade, row: DangerRow) -> Iterator[Refused]:
    if not row.may_judge(trade):
        yield _not_theirs(trade, row)


def _not_theirs(trade: Trade, row: DangerRow) -> Refused:
    judges = ", ".join(sorted(row.judges))
    return refused("by_trade", NOT_THEIRS, trade=trade.value, judges=judges)
