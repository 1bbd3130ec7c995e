"""What is recorded of a danger: answers, measures and looks at them, ends. Values, no database.

Common practice throughout, no published source; local codes, the authority having jurisdiction
and licensed people come first.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import Final


class Falls(StrEnum):
    """Can it come down? All but a reasoned no counts as danger."""

    NOW = "now"
    COULD = "could"
    NOT_JUDGED = "not judged"
    NOT_ANSWERED = ""
    NO = "no"


class Under(StrEnum):
    """Who can be under it? Not answered counts as people."""

    PEOPLE = "people"
    NOT_ANSWERED = ""
    LET_IN = "let in"
    NOBODY = "nobody"


class Act(StrEnum):
    """What somebody did or said about a danger, once; it stands in the record for good."""

    ANSWER = "answer"
    MEASURE = "measure"
    LOOK = "look"
    END = "end"
    TAKEN_BACK = "taken back"
    PUT_BACK = "put back"


class MeasureKind(StrEnum):
    TAKEN_AWAY = "taken away"
    HELD = "held"
    MENDED = "mended on the spot"
    COVERED = "covered"
    KEPT_CLEAR = "kept clear"
    TOLD = "told"
    NOT_POSSIBLE = "not possible"


class FixedTo(StrEnum):
    """What a measure holds on to."""

    BAR = "bar"
    FRAME = "frame"
    STONE = "stone"
    LEAD = "lead"
    FIXINGS = "fixings"
    OTHER = "other"
    NOT_RECORDED = ""


class EndKind(StrEnum):
    TAKEN_AWAY = "taken away"
    MENDED = "mended"
    REMOVED = "removed"
    MISTAKEN = "mistaken"
    GONE = "gone"


class Trade(StrEnum):
    """Who judged it; a mason or an electrician needs no account."""

    SURVEYOR = "surveyor"
    GLAZIER = "glazier"
    CONSERVATOR = "conservator"
    FIXER = "fixer"
    MASON = "mason"
    ENGINEER = "engineer"
    JOINER = "joiner"
    ELECTRICIAN = "electrician"
    LABORATORY = "laboratory"
    ECOLOGIST = "ecologist"
    ANYONE = "anyone"


INSIDE: Final = "inside"
OUTSIDE: Final = "outside"
FLOOR: Final = "floor"
# From the worst to the least: what counts where several answers stand, or several sides.
FALLS_ORDER: Final = (Falls.NOW, Falls.COULD, Falls.NOT_JUDGED, Falls.NOT_ANSWERED, Falls.NO)
UNDER_ORDER: Final = (Under.PEOPLE, Under.NOT_ANSWERED, Under.LET_IN, Under.NOBODY)
# What somebody decided; the others say that nobody has.
# Where these alone may judge, what a surveyor sees tells nothing: electricity, asbestos, droppings.
NOT_TO_BE_SEEN: Final = frozenset({Trade.ELECTRICIAN, Trade.LABORATORY, Trade.ECOLOGIST})
DECIDED: Final = frozenset({Falls.NOW, Falls.COULD, Falls.NO})


class TakersEnd(StrEnum):
    """Whether whoever took a thing away may say that its danger is over."""

    ALWAYS = "always"
    SINGLE = "a single piece"
    NEVER = "never"


@dataclass(frozen=True)
class DangerRow:
    """A row of the studio's table by kind: what holds such a danger and who may end it.

    held_by: the measures that make it safe for now; holds_on: what a thing that is held must hold
    on to for that. judges: who may say that it is over, or cannot come down; takers_end: whether
    whoever took it away may say so too. floor_ends: the ends that can be judged from the floor.
    falls: False where nothing can come down (suspect putty): a caution of its own, no danger sign.
    """

    code: str
    held_by: frozenset[MeasureKind]
    holds_on: frozenset[FixedTo]
    judges: frozenset[Trade]
    takers_end: TakersEnd = TakersEnd.ALWAYS
    floor_ends: frozenset[EndKind] = frozenset({EndKind.GONE, EndKind.TAKEN_AWAY})
    falls: bool = True

    def holds(self, measure: MeasureKind, fixed_to: FixedTo) -> bool:
        """Whether a measure makes such a danger safe for now."""
        is_fixed = measure != MeasureKind.HELD or fixed_to in self.holds_on
        return measure in self.held_by and is_fixed

    def may_judge(self, trade: Trade) -> bool:
        """Whether somebody of a trade may say that it is over."""
        return Trade.ANYONE in self.judges or trade in self.judges

    def may_answer_no(self, trade: Trade) -> bool:
        """Whether somebody of a trade may say that it cannot come down: a surveyor may too, but of
        what cannot be judged by looking and pulling."""
        by_survey = trade == Trade.SURVEYOR and not self.judges <= NOT_TO_BE_SEEN
        return by_survey or self.may_judge(trade)


# Where a studio has no row for it.
ANYTHING_ELSE: Final = DangerRow(
    "other",
    frozenset({MeasureKind.HELD, MeasureKind.TAKEN_AWAY, MeasureKind.MENDED}),
    frozenset({FixedTo.BAR, FixedTo.FRAME, FixedTo.STONE}),
    frozenset({Trade.SURVEYOR, Trade.GLAZIER, Trade.CONSERVATOR}),
)


@dataclass(frozen=True)
class ActFacts:
    """One act, with what belongs to its kind; the rest stays as it is by default.

    key: its own; of: the measure that a look is at, the end that is taken back.
    at: when it was received. knew_until: what an answer knew of: all acts received by then.
    look_by: the last day on which a measure still counts without anybody having looked.
    cures_on: the first day on which what was mended carries. holds: what a look found.
    """

    key: object
    act: Act
    day: date
    at: datetime
    answer: Falls = Falls.NOT_ANSWERED
    because: str = ""
    knew_until: datetime | None = None
    measure: MeasureKind | None = None
    fixed_to: FixedTo = FixedTo.NOT_RECORDED
    look_by: date | None = None
    cures_on: date | None = None
    parts_carry: bool = False
    of: object = None
    holds: bool = True
    end: EndKind | None = None


@dataclass(frozen=True)
class DangerFacts:
    """A danger with all its acts in the order they were received.

    under: who can be under it, on each side it would fall to. light_and_low: a light plate near
    the floor, without sharp edges, whose weight and height are both known to be below the studio's
    limits. is_single: one thing alone was found there.
    """

    row: DangerRow
    under: tuple[Under, ...]
    acts: tuple[ActFacts, ...] = ()
    light_and_low: bool = False
    is_single: bool = True


def worst_falls(answers: Iterable[Falls]) -> Falls:
    """Return the worst of several answers; not answered where there is none."""
    return min(answers, key=FALLS_ORDER.index, default=Falls.NOT_ANSWERED)


def worst_under(answers: Iterable[Under]) -> Under:
    """Return the answer that lets the most people be there; not answered where there is none."""
    return min(answers, key=UNDER_ORDER.index, default=Under.NOT_ANSWERED)


def sides_of(side: str) -> tuple[str, ...]:
    """Return the sides a danger would fall to; not said is both."""
    return (side,) if side in (INSIDE, OUTSIDE) else (INSIDE, OUTSIDE)
