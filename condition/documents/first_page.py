"""What page one of a report says, and each danger it is made from, as plain data."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Task:
    """What somebody has to do: `keep out`, `look` or `repair`, by whom, and the last day for it.

    by_words: `now`, `by 12 June 2026`, `by 12 May 2026; that day has passed`.
    """

    key: str
    who: str
    words: str
    by: str
    by_words: str


@dataclass(frozen=True)
class DangerEntry:
    """A danger as it stood at the report's moment: page one and the sections print this.

    where: in everyday words; code: the number of the thing. what, happens: what is wrong, and what
    could come of it by the answers. standing, falls, under: values of `condition.compute.danger`.
    held_by: the kind of measure that holds it, "" where nothing recorded does. urgency and
    judged_on: the class, and the day it was given, that the last day of its repair follows from.
    findings: of this survey. closed, notice: the areas that stand closed
    for it, and the number of the notice that says so.
    """

    id: str
    opening: str
    code: str
    where: str
    side: str
    kind: str
    what: str
    happens: str
    standing: str
    falls: str
    under: str
    answers: str
    judged: str
    held_by: str
    held_words: str
    ended: str
    since: str
    since_words: str
    seen_again: bool
    urgency: int
    judged_on: str
    tasks: list[Task]
    findings: list[int]
    notice: str
    closed: list[str]


@dataclass(frozen=True)
class DangerRow:
    """A danger's row on page one; `place` numbers the places, in the order of the rows."""

    danger: str
    group: str
    place: int
    where: str
    code: str
    held: bool


@dataclass(frozen=True)
class TakenAway:
    """What was taken away for a danger: where it is now, and who holds it or has the key."""

    where: str
    code: str
    placed: str
    holder: str
    day_words: str


@dataclass(frozen=True)
class ShutArea:
    """An area that stands closed, and the dangers it is closed for."""

    area: str
    since_words: str
    dangers: list[str]


@dataclass(frozen=True)
class ToDecide:
    """An issued quote that nobody has decided about: what it asks for, and whether tax is in it."""

    number: str
    title: str
    total: str
    tax: str
    first_payment: str
    stands_until: str
    stands_until_words: str


@dataclass(frozen=True)
class WindowGroup:
    """The windows to which something must be done by a day; each window is in one group."""

    key: str
    title: str
    by: str
    by_words: str
    windows: list[str]
    count: int


@dataclass(frozen=True)
class PageOne:
    """Page one in the order it is read. places: those of the group `danger`; places_held: at
    which a measure holds all that could come down; let_in, taken: places of those groups."""

    places: int
    places_held: int
    let_in: int
    taken_places: int
    answer: str
    lead: str
    rows: list[DangerRow]
    taken: list[TakenAway]
    shut: list[ShutArea]
    shut_words: str
    decisions: list[ToDecide]
    decide_words: str
    waiting: list[str]
    windows: list[WindowGroup]
    repairs: str
    not_seen: str
    moment_words: str
