"""Two surveys of a building side by side: what is new, worse, the same, better, gone."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Final, Self
from uuid import UUID

from condition.compute.differences import FLOOR, Seen, differences


class State(StrEnum):
    """What became of one thing between two surveys, worst news first."""

    NEW = "new"
    WORSE = "worse"
    SAME = "same"
    BETTER = "better"
    GONE = "gone"
    REPAIRED = "repaired"
    NOT_COMPARABLE = "cannot be compared"
    NOT_LOOKED_AT = "not looked at"


BOTH_SIDES: Final = "both"
SIDES: Final[Mapping[str, frozenset[str]]] = {
    "inside": frozenset({"inside"}),
    "outside": frozenset({"outside"}),
    BOTH_SIDES: frozenset({"inside", "outside"}),
}
# What comes and goes without anybody's work: no longer there is gone, and not repaired.
PASSING: Final = frozenset({"bird-or-bat-activity", "condensation-protective-glazing"})

ASSUMED: Final = "taken for the same thing: its kind, place and side are the same"

Verdict = tuple[State, str]


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
    """One thing in two surveys; assumed: nobody linked the two, kind and place are the same.

    regrouped: in words which findings of both became which, where several came together or one
    became several; each of them has a pair that says so. beside: the earlier finding that a part
    is told by.
    """

    state: State
    reason: str
    earlier: Seen | None = None
    later: Seen | None = None
    assumed: bool = False
    regrouped: str = ""
    beside: Seen | None = None


@dataclass(frozen=True)
class Between:
    """What is known besides the findings of the two surveys.

    inspections: the looks of the later one. latest: by the key of an earlier finding, the newest
    record of the same thing before the later survey, where there is a newer one. repaired: by the
    same key, in a few words the work done since. first_look: the openings that no earlier survey
    looked at.
    """

    inspections: Sequence[InspectionFacts] = ()
    latest: Mapping[UUID, Seen] = field(default_factory=dict)
    repaired: Mapping[UUID, str] = field(default_factory=dict)
    first_look: Set[UUID] = frozenset()


def compare(
    earlier: Sequence[Seen], later: Sequence[Seen], between: Between | None = None
) -> tuple[Pair, ...]:
    """Return what became of each thing; each finding of either survey is in exactly one pair.

    A finding that continues one of the earlier survey, directly or through surveys between, is
    its pair; of the rest, one of the same kind, subject and side where each survey has just one.
    Where one has become several the first of them is its pair, and where several have come
    together the one of the main line; the others stand alone, told by what they are a part of.
    """
    between = between or Between()
    links = _Links.of(earlier, later)
    assumed = _assumed(earlier, later, links)
    pairs = []
    for seen in earlier:
        latest = between.latest.get(seen.key, seen)
        if found := links.pair.get(seen.key):
            pairs.append(links.outcome(seen, latest, found, earlier=seen, later=found))
        elif found := links.merged.get(seen.key):
            pairs.append(links.outcome(seen, latest, found, earlier=seen))
        elif found := assumed.get(seen.key):
            state, reason = _became(seen, latest, found)
            pairs.append(Pair(state, f"{reason}; {ASSUMED}", seen, found, assumed=True))
        else:
            pairs.append(Pair(*_not_found(latest, between, seen.key), seen))
    matched = {found.key for found in (*links.pair.values(), *assumed.values())}
    for seen in later:
        if before := links.part_of.get(seen.key):
            latest = between.latest.get(before.key, before)
            pairs.append(links.outcome(before, latest, seen, later=seen))
        elif seen.key not in matched:
            pairs.append(Pair(*_first_seen(seen, between), later=seen))
    return tuple(pairs)


def counts_of(pairs: Iterable[Pair]) -> dict[State, int]:
    """Return how many pairs are in each state, all states in their order."""
    counted = Counter(pair.state for pair in pairs)
    return {state: counted[state] for state in State}


def covers(inspection: InspectionFacts, subject: UUID, opening: UUID, side: str) -> bool:
    """Whether a look answers for a thing: for its subject or the whole opening, and its side."""
    return inspection.subject in (subject, opening) and inspection.side in (side, BOTH_SIDES)


def clears(inspections: Iterable[InspectionFacts], seen: Seen) -> bool:
    """Whether looks of one survey that found nothing say that a thing is not there any more.

    They must be of its subject or the whole opening and together of every side it may be on, from
    where it could be seen.
    """
    looked: set[str] = set()
    for each in _at(inspections, seen):
        if each.nothing_found and not (each.from_floor and not clears_from_floor(seen)):
            looked |= SIDES.get(each.side, frozenset())
    return SIDES.get(seen.side, SIDES[BOTH_SIDES]) <= looked


def clears_from_floor(seen: Seen) -> bool:
    """Whether a look from the floor can say that a thing is gone.

    Only what was seen from the floor; where that is not recorded it may have been seen from
    nearer. Never a danger: a loose tab cannot be judged from there.
    """
    return seen.seen_from == FLOOR and not seen.hazard


@dataclass(frozen=True)
class _Links:
    """What somebody linked between two surveys.

    pair: by the key of an earlier finding, the later one it stands beside. part_of: by the key
    of any other later one, the earlier one it is a part of. merged: by the key of an earlier
    one, the later one in which it came together with others. regrouped: by the key of either, the
    findings that became other findings together, where it is not one that became one.
    """

    pair: Mapping[UUID, Seen]
    part_of: Mapping[UUID, Seen]
    merged: Mapping[UUID, Seen]
    regrouped: Mapping[UUID, str]

    @classmethod
    def of(cls, earlier: Sequence[Seen], later: Sequence[Seen]) -> Self:
        known = {seen.key: seen for seen in earlier}
        pair: dict[UUID, Seen] = {}
        part_of: dict[UUID, Seen] = {}
        merged: dict[UUID, Seen] = {}
        edges: list[tuple[Seen, Seen]] = []
        for seen in later:
            sources = [known[key] for key in (*seen.ancestors, *seen.joined) if key in known]
            if not sources:
                continue
            main = sources[0]
            if pair.setdefault(main.key, seen) is not seen:
                part_of[seen.key] = main
            joined = [known[key] for key in seen.joined if key in known]
            for each in joined:
                merged.setdefault(each.key, seen)
            edges += [(each, seen) for each in dict.fromkeys((main, *joined))]
        return cls(pair, part_of, merged, _regrouped(edges))

    def outcome(
        self,
        before: Seen,
        latest: Seen,
        after: Seen,
        earlier: Seen | None = None,
        later: Seen | None = None,
    ) -> Pair:
        """The pair of a thing both surveys name, wholly or in part."""
        regrouped = self.regrouped.get(after.key, "")
        if regrouped:
            # A part is not set beside the whole: what is read of it, and how far it reaches.
            state, reason = _became(*(_unmeasured(each) for each in (before, latest, after)))
            reason = f"{regrouped}; amounts and extents not compared; {reason}"
        else:
            state, reason = _became(before, latest, after)
        reason += _moved(before, after)
        return Pair(state, reason, earlier, later, regrouped=regrouped, beside=before)


def _regrouped(edges: Sequence[tuple[Seen, Seen]]) -> dict[UUID, str]:
    """In words, for each finding, which became which with it; left out where one became one."""
    groups: list[tuple[set[UUID], list[tuple[Seen, Seen]]]] = []
    for edge in edges:
        keys = {edge[0].key, edge[1].key}
        touched = [group for group in groups if group[0] & keys]
        groups = [group for group in groups if not group[0] & keys]
        members = [*(each for group in touched for each in group[1]), edge]
        groups.append((keys.union(*(group[0] for group in touched)), members))
    return {
        key: words for keys, members in groups if (words := _which_became(members)) for key in keys
    }


def _which_became(members: Iterable[tuple[Seen, Seen]]) -> str:
    before, after = (sorted({each.number for each in side}) for side in zip(*members, strict=True))
    counts = [len({each.key for each in side}) for side in zip(*members, strict=True)]
    if counts == [1, 1]:
        return ""
    then, now = (
        f"finding{'s' if count > 1 else ''} {', '.join(map(str, numbers))} {when}"
        for count, numbers, when in zip(counts, (before, after), ("then", "now"), strict=True)
    )
    what = "it became several" if counts[0] == 1 else "they came together"
    return f"{then}, {now}: {what if 1 in counts else 'they were parted otherwise'}"


def _unmeasured(seen: Seen) -> Seen:
    return replace(seen, taken=None, of_total=None, extent="")


def _moved(before: Seen, after: Seen) -> str:
    """That a thing is recorded on another subject now, and how that came about."""
    if before.subject == after.subject:
        return ""
    place = f"; it was on {before.place}, it is on {after.place} now"
    if before.key not in after.ancestors:
        return place
    links = after.moved[: after.ancestors.index(before.key) + 1]
    how = "; ".join(words.strip().rstrip(".") for words in reversed(links) if words.strip())
    return f"{place}: {how or 'how that came about is not recorded'}"


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


def _first_seen(seen: Seen, between: Between) -> Verdict:
    """The state of a thing that only the later survey has a finding of."""
    if seen.opening in between.first_look:
        return State.NOT_COMPARABLE, "no earlier survey looked at this opening"
    if seen.mended:
        return State.NOT_COMPARABLE, "in order now, and no earlier finding is linked to it"
    return State.NEW, "not among the findings of the earlier survey"


def _became(before: Seen, latest: Seen, after: Seen) -> Verdict:
    """The state of a thing both surveys name: any worsening outweighs what is better.

    latest: its newest record before the later survey, the earlier one itself or one after it.
    """
    if after.mended:
        return _in_order(latest, after)
    if latest.mended:
        return State.WORSE, "in order at an earlier survey, and damaged again"
    found = differences(before, after)
    unclear = "".join(f"; {words}" for words in found.unclear)
    if found.worse:
        better = f"; but better in this: {'; '.join(found.better)}" if found.better else ""
        return State.WORSE, "; ".join(found.worse) + better + unclear
    if found.better:
        return State.BETTER, "; ".join(found.better) + unclear
    if found.unclear:
        return State.NOT_COMPARABLE, "; ".join(found.unclear)
    if found.alike:
        return State.SAME, "; ".join(found.alike)
    return State.NOT_COMPARABLE, "no class and no amount that stands in both records"


def _in_order(latest: Seen, after: Seen) -> Verdict:
    """The state of a thing recorded as having nothing wrong and nothing left to do."""
    if latest.mended:
        return State.SAME, "in order then, and in order now"
    if after.seen_from == FLOOR and not clears_from_floor(latest):
        return State.NOT_COMPARABLE, f"recorded as in order, but {_why_not_from_floor(latest)}"
    state = State.GONE if latest.kind in PASSING else State.REPAIRED
    return state, "recorded as mended or gone, with nothing left to do"


def _not_found(seen: Seen, between: Between, key: UUID) -> Verdict:
    """The state of a thing the later survey has no finding of: only a look can say it is gone.

    seen: its newest record.
    """
    repaired = between.repaired.get(key, "")
    if not clears(between.inspections, seen):
        known = [words for words in (repaired, seen.mended and "in order then") if words]
        return State.NOT_LOOKED_AT, "; ".join([*known, _why_not_cleared(seen, between)])
    if seen.mended:
        return State.SAME, "in order then, and nothing found now"
    if repaired:
        return State.REPAIRED, repaired
    return State.GONE, "looked at, nothing found"


def _why_not_cleared(seen: Seen, between: Between) -> str:
    """In words why no look of the later survey says that a thing is gone."""
    looks = list(_at(between.inspections, seen))
    here = [each for each in looks if covers(each, seen.subject, seen.opening, seen.side)]
    if reason := next((each.reason for each in here if not each.nothing_found), ""):
        return f"not inspected: {reason}".rstrip(" .:")
    if here and all(each.from_floor for each in here):
        return _why_not_from_floor(seen)
    if looks:
        return "not every side it may be on was looked at from where it could be seen"
    return "the later survey says nothing of it"


def _why_not_from_floor(seen: Seen) -> str:
    if seen.hazard:
        return "seen from the floor only, from where no danger is cleared"
    if seen.seen_from:
        return "seen from the floor only, and from nearer before"
    return "seen from the floor only, and it is not recorded that it was seen from there before"


def _at(inspections: Iterable[InspectionFacts], seen: Seen) -> Iterator[InspectionFacts]:
    return (each for each in inspections if each.subject in (seen.subject, seen.opening))
