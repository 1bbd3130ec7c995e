"""One thing as two surveys recorded it: fact by fact what is worse, better, alike or unclear."""

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Final
from uuid import UUID

from condition.compute.readings import Taken, why_not_comparable, why_other_datum
from condition.compute.trend import Reading, off_together

# How far something reaches, the least first.
EXTENTS: Final = ("isolated", "grouped", "along one line", "throughout")
FLOOR: Final = "floor"
OUT_OF_PLANE: Final = "mm out of plane"
# Kinds of damage that one thing goes through as it gets worse, the mildest first. Two kinds that
# stand together in no line are in no order. Common practice, no source.
KIND_ORDERS: Final = (
    ("cracked-glass", "holed-glass", "missing-glass"),
    ("cracked-glass", "loose-glass", "slipped-glass", "missing-glass"),
    ("narrow-strip-cracked", "slipped-glass", "missing-glass"),
    ("impact-or-shot-hole", "missing-glass"),
    ("unstable-paint", "paint-loss"),
    ("corroded-came", "fractured-came", "missing-came"),
    ("fatigued-came", "fractured-came", "missing-came"),
    ("opened-leaf", "missing-came"),
    ("perished-cement", "missing-cement", "leaking-panel"),
    ("bowed-panel", "hinged-panel", "edge-came-out-of-rebate"),
    ("sagged-panel", "edge-came-out-of-rebate"),
    ("broken-tie", "missing-tie"),
    ("corroded-bar", "corroded-bar-with-stone-damage"),
    ("corroded-bar", "loose-bar-end", "missing-bar"),
    ("bent-bar", "loose-bar-end", "missing-bar"),
    ("flat-bar-come-away", "missing-bar"),
    ("cracked-stone", "loose-stone-fragment"),
    ("deteriorated-protective-sheet", "broken-protective-glazing", "missing-protective-glazing"),
    ("item-fixing-failed", "loose-item", "missing-item"),
)


@dataclass(frozen=True)
class Seen:
    """One finding of a survey, as far as comparing needs it.

    subject: the key of the opening, panel or item; opening: of the opening it belongs to; place:
        what the subject is called. kind: its code; called: its name.
    taken: its amount, where it has one; of_total: out of so many. condition: its class, 0 to 3.
    seen_from: from where it was seen, "" where that is not recorded.
    mended: it records that earlier damage is mended or gone.
    ancestors: the keys of the findings it continues, through all surveys between, nearest first.
    moved: how the subject changed from each of these to the next, its own first, "" where not.
    joined: the keys of those that came together with them in it, or in one of them.
    """

    key: UUID
    subject: UUID
    opening: UUID
    kind: str
    number: int = 0
    called: str = ""
    place: str = ""
    side: str = "inside"
    extent: str = "isolated"
    taken: Taken | None = None
    of_total: int | None = None
    condition: int | None = None
    water: bool = False
    hazard: bool = False
    seen_from: str = ""
    mended: bool = False
    ancestors: tuple[UUID, ...] = ()
    moved: tuple[str, ...] = ()
    joined: tuple[UUID, ...] = ()

    @property
    def name(self) -> str:
        return (self.called or self.kind).lower()


class Sort(StrEnum):
    """What one fact says of a change."""

    WORSE = "worse"
    BETTER = "better"
    ALIKE = "alike"
    UNCLEAR = "unclear"


Fact = tuple[Sort, str]


@dataclass(frozen=True)
class Differences:
    """What the facts say, in words. alike: of class and amount alone, which say how bad it is."""

    worse: tuple[str, ...] = ()
    better: tuple[str, ...] = ()
    alike: tuple[str, ...] = ()
    unclear: tuple[str, ...] = ()


def differences(before: Seen, after: Seen) -> Differences:
    """Return what is worse, better, alike, or cannot be compared of two records of one thing."""
    facts = [
        *_kinds(before, after),
        *_ticks(before.hazard, after.hazard, "a danger to people"),
        *_classes(before.condition, after.condition),
        *_amounts(before, after),
        *_extents(before.extent, after.extent),
        *_ticks(before.water, after.water, "water coming in"),
    ]
    return Differences(
        **{sort.value: tuple(words for each, words in facts if each is sort) for sort in Sort}
    )


def kind_order(before: str, after: str) -> Sort:
    """Return whether one kind of damage is a graver or a milder stage of another, by its code."""
    for order in KIND_ORDERS:
        if before in order and after in order:
            return Sort.WORSE if order.index(after) > order.index(before) else Sort.BETTER
    return Sort.UNCLEAR


def _kinds(before: Seen, after: Seen) -> Iterator[Fact]:
    if before.kind == after.kind:
        return
    sort = kind_order(before.kind, after.kind)
    what = {
        Sort.WORSE: "a graver kind of damage",
        Sort.BETTER: "a milder kind of damage",
        Sort.UNCLEAR: "of these two kinds neither is the graver",
    }
    yield sort, f"{before.name} then, {after.name} now: {what[sort]}"


def _ticks(before: bool, after: bool, what: str) -> Iterator[Fact]:
    if after and not before:
        yield Sort.WORSE, f"{what} recorded now, not then"
    elif before and not after:
        yield Sort.BETTER, f"{what} recorded then, not now"


def _classes(before: int | None, after: int | None) -> Iterator[Fact]:
    if before is None or after is None:
        return
    if before == after:
        yield Sort.ALIKE, f"condition class {before} both times"
    else:
        sort = Sort.WORSE if after > before else Sort.BETTER
        yield sort, f"condition class {before} then, {after} now"


def _extents(before: str, after: str) -> Iterator[Fact]:
    if before not in EXTENTS or after not in EXTENTS or before == after:
        return
    sort = Sort.WORSE if EXTENTS.index(after) > EXTENTS.index(before) else Sort.BETTER
    yield sort, f"{before} then, {after} now"


def _amounts(before: Seen, after: Seen) -> Iterator[Fact]:
    """Amounts of one kind of damage; those of two kinds measure different things."""
    one, other = before.taken, after.taken
    if before.kind != after.kind or (one is None and other is None):
        return
    if one is None or other is None:
        when = "now, not then" if one is None else "then, not now"
        yield Sort.UNCLEAR, f"an amount is recorded {when}"
    elif not (reason := why_not_comparable(one, other)):
        yield _read(one.reading, other.reading, one.unit)
        yield from _shares(before, after)
    else:
        yield _over_own_span(one, other) or (Sort.UNCLEAR, f"amounts not compared: {reason}")


def _read(one: Reading, other: Reading, unit: str) -> Fact:
    end = "" if unit == "count" else f" {unit}"
    if one.value == other.value:
        return Sort.ALIKE, f"{one.value:g}{end} both times"
    words = f"{one.value:g}{end} then, {other.value:g}{end} now"
    if abs(other.value - one.value) <= off_together(one, other):
        return Sort.ALIKE, f"{words}: no more than both may be off"
    return (Sort.WORSE if other.value > one.value else Sort.BETTER), words


def _shares(before: Seen, after: Seen) -> Iterator[Fact]:
    """The same number out of another total is another share."""
    if before.taken is None or after.taken is None or not (before.of_total and after.of_total):
        return
    one = Fraction(before.taken.reading.value) / before.of_total
    other = Fraction(after.taken.reading.value) / after.of_total
    if before.of_total == after.of_total or one == other:
        return
    sort, size = (Sort.WORSE, "larger") if other > one else (Sort.BETTER, "smaller")
    amounts = before.taken.reading.value, after.taken.reading.value
    totals = f"{amounts[0]:g} of {before.of_total} then, {amounts[1]:g} of {after.of_total} now"
    yield sort, f"{totals}: a {size} share"


def _over_own_span(one: Taken, other: Taken) -> Fact | None:
    """Two depths out of plane over spans that differ; None where they decide nothing.

    Along one bow the depth is a smaller part of a shorter span (for a flat arc it is the span
    squared over eight times the radius). So a larger part of a shorter span, or of one as long, is
    worse whatever the span, and a smaller part of a longer one is better.
    """
    if one.unit != OUT_OF_PLANE or other.unit != OUT_OF_PLANE:
        return None
    if not (one.span_mm and other.span_mm) or why_other_datum(one.datum, other.datum):
        return None
    parts = [
        Reading(each.reading.day, each.reading.value / span, (each.reading.within or 0) / span)
        for each, span in ((one, one.span_mm), (other, other.span_mm))
    ]
    change = parts[1].value - parts[0].value
    shorter = other.span_mm < one.span_mm
    if abs(change) <= off_together(*parts) or (change > 0) is not shorter:
        return None
    words = " then, ".join(
        f"{each.reading.value:g} mm out of plane over {each.span_mm:.0f} mm"
        for each in (one, other)
    )
    if change > 0:
        return Sort.WORSE, f"{words} now: deeper for its span"
    return Sort.BETTER, f"{words} now: flatter for its span"
