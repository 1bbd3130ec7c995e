"""Closing an area for a danger, and opening it again: who may, and what they must say.

Common practice, no published source; local codes, the authority having jurisdiction and licensed
people come first.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from typing import Final

from condition.compute.danger.acts import TO_COME, WHY
from condition.compute.danger.facts import DangerRow, Trade
from condition.compute.recording.facts import Refused, gettext_noop, refused
from condition.compute.recording.subjects import MISSING

# A phone's clock may be a little ahead of the server's.
AHEAD: Final = timedelta(minutes=10)
FIRST_YEAR: Final = 1900
NO_AREA: Final = gettext_noop("Say which area is closed: tick one, or name a new one.")
MOMENT_TO_COME: Final = gettext_noop("That moment is still to come.")
WHICH_YEAR: Final = gettext_noop("Look at the year again.")
NOTHING_ENDS: Final = gettext_noop("Say which area.")
OPEN_ALREADY: Final = gettext_noop("%(area)s is open again already.")
NOT_CLOSED_YET: Final = gettext_noop("The area was not closed yet on that day.")
ONE_PERSON: Final = gettext_noop(
    "It takes two: who says that it is safe, and who has charge of the building, are not the same."
)
HOW_KNOWN: Final = gettext_noop("Say how they know that it is safe.")
TRADE: Final = gettext_noop("Say their trade.")
NOT_COMPETENT: Final = gettext_noop(
    "While this danger is open, that it is safe there takes the word of: %(judges)s."
)
NOT_YOURS: Final = gettext_noop(
    "Only who issued the notice may take it back. For everybody else an area is reopened by two."
)


class EndOfClosure(StrEnum):
    """How a closed area is open again."""

    REOPENED = "reopened"
    WITHDRAWN = "withdrawn"


@dataclass(frozen=True, kw_only=True)
class ClosureEndData:
    """What is said when closed areas are opened; a notice taken back says its reason alone."""

    kind: str
    day: date
    safe_by: str = ""
    safe_trade: str = ""
    how_known: str = ""
    reopened_by: str = ""
    authority: str = ""
    because: str = ""


@dataclass(frozen=True)
class KnownClosure:
    """What stands around a closed area.

    row: of the table by kind, for its danger. danger_ended: somebody ended that danger. is_open:
    the area is open again already. may_withdraw: the notice is the user's own, or its author is
    gone and the user is the studio's owner.
    """

    area: str
    row: DangerRow
    closed_on: date
    today: date
    danger_ended: bool
    is_open: bool
    may_withdraw: bool


def closing_problems(closed_at: datetime, now: datetime, areas: int) -> Iterator[Refused]:
    """Yield why areas cannot be closed. Both moments by the building's own clock."""
    if not areas:
        yield refused("areas", NO_AREA)
    if closed_at > now + AHEAD:
        yield refused("closed_at", MOMENT_TO_COME)
    elif closed_at.year < FIRST_YEAR:
        yield refused("closed_at", WHICH_YEAR)


def opening_problems(data: ClosureEndData, known: KnownClosure) -> Iterator[Refused]:
    """Yield why an area cannot be opened again."""
    if known.is_open:
        yield refused("areas", OPEN_ALREADY, area=known.area)
        return
    if data.day > known.today:
        yield refused("day", TO_COME)
    elif data.day < known.closed_on:
        yield refused("day", NOT_CLOSED_YET)
    if data.kind == EndOfClosure.WITHDRAWN:
        if not known.may_withdraw:
            yield refused("", NOT_YOURS)
        if not data.because.strip():
            yield refused("because", WHY)
        return
    yield from _two_people(data)
    yield from _competent(data, known)


def _two_people(data: ClosureEndData) -> Iterator[Refused]:
    for name in ("safe_by", "reopened_by", "authority", "because"):
        if not getattr(data, name).strip():
            yield refused(name, MISSING)
    if not data.how_known:
        yield refused("how_known", HOW_KNOWN)
    same = letters_of(data.safe_by) == letters_of(data.reopened_by)
    if same and letters_of(data.safe_by):
        yield refused("reopened_by", ONE_PERSON)


def _competent(data: ClosureEndData, known: KnownClosure) -> Iterator[Refused]:
    """While the danger is open, only who may say of it that nothing comes down calls it safe."""
    if not data.safe_trade:
        yield refused("safe_trade", TRADE)
        return
    trade = Trade(data.safe_trade)
    if not known.danger_ended and not known.row.may_judge(trade):
        may = [each.value for each in Trade if known.row.may_judge(each)]
        yield refused("safe_trade", NOT_COMPETENT, judges=", ".join(may))


def letters_of(name: str) -> str:
    """Return a name by which it is compared: J. R. Hale is j r hale is JR Hale."""
    return "".join(letter for letter in name.casefold() if letter.isalnum())
