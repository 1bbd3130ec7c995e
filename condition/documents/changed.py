"""What changed since an earlier survey, as plain data of a report."""

from dataclasses import dataclass


@dataclass(frozen=True)
class ChangeRow:
    """What became of one thing between two surveys; 0 where a survey has no finding of it.

    `survey` is the key of the survey it is compared with, `day` its day; both are empty where
    none looked at the opening.
    """

    survey: str
    day: str
    day_words: str
    opening: str
    subject: str
    kind: str
    state: str
    word: str
    reason: str
    then: str
    earlier: int
    later: int


@dataclass(frozen=True)
class StateCount:
    """How many things are in one state of change."""

    state: str
    word: str
    count: int


@dataclass(frozen=True)
class ChangeLine:
    """A line of the table of changes: an opening, and the count of each state in order.

    `day` is that of the last survey that looked at it; empty where none did.
    """

    opening: str
    day: str
    day_words: str
    counts: list[int]


@dataclass(frozen=True)
class Change:
    """What changed since an earlier survey: each finding of either stands in one row.

    `survey` is the key of the one that was chosen; `has_others`: something was compared with
    another, because that one did not look at it or did not log it. `regrouped` names what
    came together and what became several.
    """

    survey: str
    day: str
    day_words: str
    interval: str
    surveyors: str
    findings_then: int
    findings_now: int
    counts: list[StateCount]
    lines: list[ChangeLine]
    rows: list[ChangeRow]
    has_others: bool
    regrouped: list[str]
    sentence: str
