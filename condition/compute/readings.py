"""Measurements as they were taken: which can be set beside which, and why the others cannot."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from condition.compute.trend import Reading

# A straight edge typed once in inches and once in millimetres is the same straight edge.
SPANS_ALIKE: Final = 0.01
# Counted now as what holds, now as what failed: more of them is neither worse nor better.
COUNTED_EITHER_WAY: Final = frozenset({"loose-item"})


@dataclass(frozen=True)
class Taken:
    """One measurement with all that makes it one that can be repeated.

    key: whatever tells the caller which record it is. kind: the code of the kind of finding.
    span_mm: what it was measured over, such as the length of the straight edge; None unknown.
    datum: from what it was measured.
    """

    key: str
    reading: Reading
    kind: str
    unit: str
    span_mm: float | None = None
    datum: str = ""


@dataclass(frozen=True)
class LeftOut:
    """A measurement that cannot be set beside the newest one, and why."""

    taken: Taken
    reason: str


@dataclass(frozen=True)
class Series:
    """The measurements comparable with the newest, oldest first, and those that are not.

    span_recorded: False where no measurement says what it was taken over.
    """

    taken: tuple[Taken, ...]
    left_out: tuple[LeftOut, ...] = ()

    @property
    def readings(self) -> tuple[Reading, ...]:
        return tuple(each.reading for each in self.taken)

    @property
    def span_recorded(self) -> bool:
        return any(each.span_mm is not None for each in self.taken)


def series_of(taken: Iterable[Taken]) -> Series:
    """Return what is comparable with the newest of the measurements, and what is not and why."""
    ordered = sorted(taken, key=lambda each: each.reading.day)
    if not ordered:
        return Series(())
    newest = ordered[-1]
    kept, left_out = [], []
    for each in ordered:
        if reason := why_not_comparable(each, newest):
            left_out.append(LeftOut(each, reason))
        else:
            kept.append(each)
    return Series(tuple(kept), tuple(left_out))


def why_not_comparable(one: Taken, other: Taken) -> str:
    """Return why two measurements say nothing of a change between them; "" if they do."""
    if one.kind != other.kind:
        return "it was recorded as another kind of finding"
    if one.kind in COUNTED_EITHER_WAY:
        return "what holds is counted in one and what failed perhaps in the other"
    if one.unit != other.unit:
        return "it was measured in another unit"
    return _why_other_span(one.span_mm, other.span_mm) or why_other_datum(one.datum, other.datum)


def _why_other_span(one: float | None, other: float | None) -> str:
    if one is None and other is None:
        return ""
    if one is None or other is None:
        return "what it was measured over is recorded in only one of them"
    if abs(one - other) > SPANS_ALIKE * max(one, other):
        return f"it was measured over {one:.0f} mm, not over {other:.0f} mm"
    return ""


def why_other_datum(one: str, other: str) -> str:
    """Return why two measurements were not taken from the same place; "" if they were."""
    here, there = (" ".join(text.split()).casefold() for text in (one, other))
    if here == there:
        return ""
    if not here or not there:
        return "what it was measured from is recorded in only one of them"
    return f"it was measured from “{one.strip()}”, not from “{other.strip()}”"
