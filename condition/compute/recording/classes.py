"""Rules of classes, whoever judges them: of a finding as it is recorded, or of a whole subject."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Final

from condition.compute.classes.rules import CLASSES
from condition.compute.recording.facts import Refused, gettext_noop, refused

Levels = tuple[int | None, int | None, int | None]

NONE: Final = 0
MAINTENANCE: Final = 1
SHORT_TERM: Final = 2
WORST: Final = 3

DANGER_SHOWS: Final = gettext_noop(
    "It can hurt someone where people pass or sit, so its condition cannot be “No symptoms”: "
    "choose a worse one, or say that it cannot hurt anyone."
)
DANGER_WAITS: Final = gettext_noop(
    "It can hurt someone where people pass or sit, so its urgency cannot be “Long term”: choose a "
    "higher one, or say that it cannot hurt anyone."
)
DANGER_STAYS: Final = gettext_noop(
    "It can hurt someone where people pass or sit, so “No measures” cannot be recommended: choose "
    "another, or say that it cannot hurt anyone."
)
WAITS_FOR_NOTHING: Final = gettext_noop(
    "With “No measures” nothing is urgent: recommend a measure, or choose “Long term”."
)
NO_DIAGNOSIS: Final = gettext_noop(
    "A major intervention rests on a diagnosis. Record the diagnosis first, or recommend “Moderate "
    "repair or further investigation”."
)
BELOW_DANGER: Final = gettext_noop(
    "A danger is open here, %(danger)s: the whole cannot be below it. Choose %(level)s or more."
)
WHY_ONLY_MAINTENANCE: Final = gettext_noop(
    "Say in a few words why maintenance is enough for major symptoms."
)
WHY_NOT_SOON: Final = gettext_noop(
    "It can hurt someone: say in a few words why that is not for the short term."
)


@dataclass(frozen=True)
class Grounds:
    """What classes are held against.

    hazard: it can hurt someone. people_below: people pass or sit there. diagnosed: its cause is
    recorded.
    """

    hazard: bool
    people_below: bool
    diagnosed: bool


def class_problems(levels: Levels, grounds: Grounds) -> Iterator[Refused]:
    """Yield why classes cannot be: condition, urgency, recommendation; None is not judged."""
    condition, urgency, recommendation = levels
    over_people = grounds.hazard and grounds.people_below
    if over_people and condition == NONE:
        yield refused("condition_class", DANGER_SHOWS)
    if over_people and urgency == NONE:
        yield refused("urgency_class", DANGER_WAITS)
    if over_people and recommendation == NONE:
        yield refused("recommendation_class", DANGER_STAYS)
    elif urgency and recommendation == NONE:
        yield refused("recommendation_class", WAITS_FOR_NOTHING)
    if recommendation == WORST and not grounds.diagnosed:
        yield refused("recommendation_class", NO_DIAGNOSIS)


def reason_asked(levels: Levels, grounds: Grounds, reason: str) -> Iterator[Refused]:
    """Yield why classes that can be want a reason that is not given. Old, stable loss is real."""
    if reason.strip():
        return
    condition, urgency, recommendation = levels
    if condition == WORST and recommendation == MAINTENANCE:
        yield refused("classes_reason", WHY_ONLY_MAINTENANCE)
    if grounds.hazard and urgency is not None and urgency < SHORT_TERM:
        yield refused("classes_reason", WHY_NOT_SOON)


def judged_problems(levels: Levels, grounds: Grounds, reason: str) -> Iterator[Refused]:
    """Yield why classes cannot be; where they can, what reason they want that is not given."""
    impossible = list(class_problems(levels, grounds))
    yield from impossible or reason_asked(levels, grounds, reason)


def below_danger(levels: Levels, dangers: Iterable[tuple[str, Levels]]) -> Iterator[Refused]:
    """Yield each class of a whole that is below that of an open danger in it.

    dangers: what each is called, with its classes.
    """
    for place, (name, level) in enumerate(zip(CLASSES, levels, strict=True)):
        known = [(mark, danger) for danger, of in dangers if (mark := of[place]) is not None]
        worst, danger = max(known, default=(NONE, ""))
        if level is not None and level < worst:
            yield refused(f"{name}_class", BELOW_DANGER, danger=danger, level=worst)
