"""What is known besides the folder: the studio's vocabulary, and the building as registered."""

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from condition.compute.recording.facts import KnownKind
from restoration.compute.visit_folder.problems import alike, did_you_mean


@dataclass(frozen=True)
class Vocabulary:
    """The studio's kinds of finding by their codes, and of action, each with the unit it is
    counted in."""

    finding_kinds: Mapping[str, KnownKind]
    action_kinds: Mapping[str, str]

    @cached_property
    def _codes(self) -> tuple[dict[str, str], dict[str, str]]:
        return (
            {alike(code): code for code in self.finding_kinds},
            {alike(code): code for code in self.action_kinds},
        )

    def finding_kind(self, written: str) -> str | None:
        """Return the code of a kind of finding as it is kept, whatever its case and hyphens.

        None for a kind that is not known.
        """
        return self._codes[0].get(alike(written))

    def action_kind(self, written: str) -> str | None:
        """Return the code of a kind of action likewise."""
        return self._codes[1].get(alike(written))

    def action_unit(self, written: str) -> str | None:
        """Return the unit in which a kind of action is counted, None for one not known."""
        return self.action_kinds.get(self.action_kind(written) or "")


@dataclass(frozen=True)
class KnownOpening:
    """The panels registered in one opening, and its attached items with the panel of each."""

    panels: frozenset[str] = frozenset()
    items: Mapping[str, str] = field(default_factory=dict)
    people_below: bool = False


@dataclass(frozen=True)
class KnownFinding:
    """A finding of a folder taken in before, which one of this folder may continue.

    continued: the day and the name of each finding that continues it already.
    """

    opening: str
    day: datetime.date
    continued: tuple[tuple[datetime.date, str], ...] = ()
    panel: str = ""
    item: str = ""


@dataclass(frozen=True)
class Known:
    """The building as it is registered; empty for a new one."""

    openings: Mapping[str, KnownOpening] = field(default_factory=dict)
    findings: Mapping[str, KnownFinding] = field(default_factory=dict)


def not_known(what: str, written: str, known: Iterable[str]) -> tuple[str, str]:
    """Return a sentence saying that something is not known, and one that offers what is."""
    return f'{what} "{written}" is not known.', did_you_mean(written, known)
