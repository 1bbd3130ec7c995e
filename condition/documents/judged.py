"""What a report takes from judging a survey: worked out by services, read in the same moment."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol
from uuid import UUID

from condition.compute.classes.propose import Proposal
from condition.compute.comparing import State
from condition.compute.stroke_drawing import Stroke
from condition.models import Finding, Survey
from sites.compute.figures import Figures
from sites.models import Opening


class ComparedRow(Protocol):
    """What became of one thing between two surveys; one of the two findings may be missing."""

    @property
    def state(self) -> State: ...
    @property
    def state_words(self) -> str: ...
    @property
    def reason(self) -> str: ...
    @property
    def regrouped(self) -> str: ...
    @property
    def compared_with(self) -> Survey | None: ...
    @property
    def earlier(self) -> Finding | None: ...
    @property
    def later(self) -> Finding | None: ...
    @property
    def opening(self) -> Opening: ...
    @property
    def subject(self) -> str: ...
    @property
    def kind(self) -> str: ...


class Compared(Protocol):
    """Two surveys side by side: each of their findings stands in exactly one row."""

    @property
    def earlier(self) -> Survey: ...
    @property
    def later(self) -> Survey: ...
    @property
    def rows(self) -> Sequence[ComparedRow]: ...
    @property
    def before(self) -> Mapping[UUID, Survey]: ...
    @property
    def has_others(self) -> bool: ...
    @property
    def regrouped(self) -> Sequence[str]: ...


@dataclass(frozen=True)
class Judged:
    """proposals: the rules' classes, by finding. since: this survey beside an earlier one.
    strokes: what is drawn on elevations, by opening. steps: the names of the next steps, by
    finding."""

    proposals: Mapping[UUID, Proposal]
    since: Compared | None
    strokes: Mapping[UUID, tuple[Stroke, ...]]
    steps: Mapping[UUID, Sequence[str]]


Judging = Callable[[Survey, Sequence[Finding], Figures], Judged]
