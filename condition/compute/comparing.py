"""Two surveys of a building side by side: what is new, worse, the same, better, gone."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final, Self
from uuid import UUID

from condition.compute.readings import Taken, why_not_comparable
from condition.compute.trend import off_together


class State(StrEnum):
    """What became of one thing between two surveys, worst news first."""

    NEW = "new"
    WORSE = "worse"
    SAME = "same"
    BETTER = "better"
    GONE = "gone"
    REPAIRED = "repaired"
    NOT_LOOKED_AT = "not looked at"


EXTENTS: Final = ("isolated", "grouped", "throughout")
BOTH_SIDES: Final = "both"
# What comes and goes without anybody's work: no longer there is gone, and not repaired.
PASSING: Final = frozenset({"bird-or-bat-activity", "condensation-protective-glazing"})


@dataclass(frozen=True)
class Seen:
    """One finding of a survey, as far as comparing needs it.

    subject: the key of the opening, panel or item; opening: of the opening it belongs to.
    taken: its amount, where it has one. condition: its condition class, 0 to 3.
    mended: it records that earlier damage is mended or gone.
    ancestors: the keys of the findings it continues, through all surveys between.
    joined: the keys of those that came together with them in it, or in one of them.
    """

    key: UUID
    subject: UUID
    opening: UUID
    kind: str
    side: str = "inside"
    extent: str = "isolated"
    taken: Taken | None = None
    condition: int | None = None
    hazard: bool = False
    mended: bool = False
    ancestors: tuple[UUID, ...] = ()
    joined: tuple[UUID, ...] = ()


@dataclass(frozen=True)
class InspectionFacts:
    """One look of the later survey; `reason` is why it was not inspected."""

    subject: UUID
    side: str
    nothing_found: bool
    from_floor: bool = False
    reason: str = ""


@dataclass(frozen=True)
class Pair:
    """One thing in two surveys; assumed: nobody linked the two, kind and place are the same."""

    state: State
    reason: str
    earlier: Seen | None = None
    later: Seen | None = None
    assumed: bool = False


@dataclass(frozen=True)
class _Change:
    worse: tuple[str, ...] = ()
    better: tuple[str, ...] = ()


def compare(
    earlier: Sequence[Seen],
    later: Sequence[Seen],
    inspections: Iterable[InspectionFacts],
    repaired: Mapping[UUID, str] | None = None,
) -> tuple[Pair, ...]:
    """Return what became of each thing; each finding of either survey is in exactly one pair.

    looks: those of the later survey. repaired: by the key of an earlier finding, how it was
        repaired between the two, known from elsewhere.

    A finding that continues one of the earlier survey, directly or through surveys between, is
    its pair; of the rest, one of the same kind, subject and side where each survey has just one.
    Where one has become several the first of them is its pair, and where several have come
    together the one of the main line; the others stand alone, told by what they are a part of.
    """
    repaired = repaired or {}
    links = _Links.of(earlier, later)
    assumed = _assumed(earlier, later, links)
    told = list(inspections)
    pairs = []
    for seen in earlier:
        if found := links.pair.get(seen.key):
            pairs.append(Pair(*links.became(seen, found), seen, found))
        elif found := links.merged.get(seen.key):
            pairs.append(Pair(*links.became(seen, found), seen))
        elif found := assumed.get(seen.key):
            pairs.append(Pair(*_became(seen, found), seen, found, assumed=True))
        else:
            pairs.append(Pair(*_not_found(seen, told, repaired.get(seen.key, "")), seen))
    matched = {found.key for found in (*links.pair.values(), *assumed.values())}
    for seen in later:
        if before := links.part_of.get(seen.key):
            pairs.append(Pair(*links.became(before, seen), later=seen))
        elif seen.key not in matched:
            pairs.append(_new(seen))
    return tuple(pairs)


def counts_of(pairs: Iterable[Pair]) -> dict[State, int]:
    """Return how many pairs are in each state, all states in their order."""
    counted = Counter(pair.state for pair in pairs)
    return {state: counted[state] for state in State}


def covers(inspection: InspectionFacts, subject: UUID, opening: UUID, side: str) -> bool:
    """Whether a look answers for a thing: for its subject or the whole opening, and its side."""
    return inspection.subject in (subject, opening) and inspection.side in (side, BOTH_SIDES)


@dataclass(frozen=True)
class _Links:
    """What somebody linked between two surveys.

    pair: by the key of an earlier finding, the later one it stands beside. part_of: by the key
    of any other later one, the earlier one it is a part of. merged: by the key of an earlier
    one, the later one in which it came together with others.
    """

    pair: Mapping[UUID, Seen]
    part_of: Mapping[UUID, Seen]
    merged: Mapping[UUID, Seen]

    @classmethod
    def of(cls, earlier: Sequence[Seen], later: Sequence[Seen]) -> Self:
        known = {seen.key: seen for seen in earlier}
        pair: dict[UUID, Seen] = {}
        part_of: dict[UUID, Seen] = {}
        merged: dict[UUID, Seen] = {}
        for seen in later:
            before = next((key for key in seen.ancestors if key in known), None)
            if before is not None and pair.setdefault(before, seen) is not seen:
                part_of[seen.key] = known[before]
            for key in seen.joined:
                if key in known:
                    merged.setdefault(key, seen)
        return cls(pair, part_of, merged)

    def became(self, before: Seen, after: Seen) -> tuple[State, str]:
        """The state of a thing both surveys name, wholly or in part."""
        parted = any(whole.key == before.key for whole in self.part_of.values())
        joined = any(found.key == after.key for found in self.merged.values())
        if not (parted or joined):
            return _became(before, after)
        # A part is not set beside the whole: what is read of it, and how far it reaches.
        state, reason = _became(_unmeasured(before), _unmeasured(after))
        what = "recorded as several findings now" if parted else "together with others in one now"
        return state, f"{what}: amounts are not compared; {reason}"


def _unmeasured(seen: Seen) -> Seen:
    return replace(seen, taken=None, extent="")


def _assumed(earlier: Sequence[Seen], later: Sequence[Seen], links: _Links) -> dict[UUID, Seen]:
    """Pairs nobody linked; only where there is no choice, so that none can be the wrong one."""
    taken = {seen.key for seen in links.pair.values()} | links.part_of.keys()
    gone_on = links.pair.keys() | links.merged.keys()
    before = _by_place(seen for seen in earlier if seen.key not in gone_on)
    after = _by_place(seen for seen in later if seen.key not in taken)
    return {
        group[0].key: after[place][0]
        for place, group in before.items()
        if len(group) == 1 and len(after.get(place, ())) == 1
    }


def _by_place(seen: Iterable[Seen]) -> dict[tuple[UUID, str, str], list[Seen]]:
    places: dict[tuple[UUID, str, str], list[Seen]] = defaultdict(list)
    for each in seen:
        places[each.subject, each.kind, each.side].append(each)
    return places


def _new(seen: Seen) -> Pair:
    if seen.mended:
        return Pair(*_put_right(seen, "nothing is wrong there any more"), later=seen)
    return Pair(State.NEW, "not among the findings of the earlier survey", later=seen)


def _put_right(seen: Seen, reason: str) -> tuple[State, str]:
    return (State.GONE if seen.kind in PASSING else State.REPAIRED), reason


def _became(before: Seen, after: Seen) -> tuple[State, str]:
    """The state of a thing both surveys name: any worsening outweighs what is better."""
    if before.mended and after.mended:
        return State.SAME, "mended then, and still sound"
    if after.mended:
        return _put_right(before, "recorded as mended or gone, with nothing left to do")
    if before.mended:
        return State.WORSE, "mended then, and damaged again"
    change = _change(before, after)
    if change.worse:
        return State.WORSE, "; ".join(change.worse)
    if change.better:
        return State.BETTER, "; ".join(change.better)
    return State.SAME, "no change beyond what can be measured"


def _change(before: Seen, after: Seen) -> _Change:
    parts = (
        _amounts(before, after),
        _steps(int(before.hazard), int(after.hazard), "can hurt someone now", "no danger any more"),
        _steps(before.condition, after.condition, "a higher condition class", "a lower one"),
        _steps(_extent(before), _extent(after), "it reaches further", "it reaches less far"),
    )
    return _Change(
        tuple(text for part in parts for text in part.worse),
        tuple(text for part in parts for text in part.better),
    )


def _amounts(before: Seen, after: Seen) -> _Change:
    if before.taken is None or after.taken is None or why_not_comparable(before.taken, after.taken):
        return _Change()
    one, other = before.taken.reading, after.taken.reading
    change = other.value - one.value
    if abs(change) <= off_together(one, other):
        return _Change()
    words = f"{one.value:g} then, {other.value:g} now"
    return _Change(worse=(words,)) if change > 0 else _Change(better=(words,))


def _steps(before: int | None, after: int | None, worse: str, better: str) -> _Change:
    if before is None or after is None or before == after:
        return _Change()
    return _Change(worse=(worse,)) if after > before else _Change(better=(better,))


def _extent(seen: Seen) -> int | None:
    """Along one line is a pattern, not a size: it says nothing of how far."""
    return EXTENTS.index(seen.extent) if seen.extent in EXTENTS else None


def _not_found(
    seen: Seen, inspections: Sequence[InspectionFacts], repaired: str
) -> tuple[State, str]:
    """The state of a thing the later survey has no finding of: only a look can say it is gone."""
    if repaired:
        return State.REPAIRED, repaired
    if seen.mended:
        return State.REPAIRED, "mended before the earlier survey already"
    told = [
        inspection
        for inspection in inspections
        if covers(inspection, seen.subject, seen.opening, seen.side)
    ]
    clear = [inspection for inspection in told if inspection.nothing_found]
    if any(not (seen.hazard and inspection.from_floor) for inspection in clear):
        return State.GONE, "looked at, nothing found"
    if clear:
        return State.NOT_LOOKED_AT, "seen from the floor only, from where no danger is cleared"
    if told:
        return State.NOT_LOOKED_AT, f"not inspected: {told[0].reason}".rstrip(" .:")
    return State.NOT_LOOKED_AT, "the later survey says nothing of it"
