"""Whatever two surveys hold, each sentence of change claims only what stands in them."""

import re
from collections import Counter
from datetime import date
from uuid import UUID, uuid5

from hypothesis import given
from hypothesis import strategies as st

from condition.compute.comparing import (
    ASSUMED,
    PASSING,
    Between,
    InspectionFacts,
    State,
    compare,
    counts_of,
)
from condition.compute.differences import EXTENTS, KIND_ORDERS, Seen
from condition.compute.readings import Taken, why_not_comparable
from condition.compute.trend import Reading
from tests.properties import examples

SPACE = UUID(int=13)
OPENING = uuid5(SPACE, "nII")
SUBJECTS = {name: uuid5(SPACE, name) for name in ("nII", "nII 1a", "nII 1b")}
KINDS = (
    "cracked-glass",
    "holed-glass",
    "bowed-panel",
    "bowed-panel",
    "bird-or-bat-activity",
    "loose-item",
)
NEARER = {kind: place for place, kind in enumerate(("cracked-glass", "holed-glass"))}
BOTH = {"inside", "outside"}
SIDES = {"inside": {"inside"}, "outside": {"outside"}, "both": BOTH, "unknown": BOTH}


@st.composite
def finding(draw, year, number, sources=()):
    """One finding; where it continues an earlier one, most of what that says it says too."""
    # Oftenest the one of its number; sometimes another, or several that came together.
    count = draw(st.sampled_from([0, 1, 1, 1, 1, 2])) if sources else 0
    keys = draw(st.permutations(sources))[:count] if count else []
    if count == 1 and number <= len(sources) and draw(st.integers(0, 3)):
        keys = [sources[number - 1]]
    first = keys[0] if keys else None

    def drawn(name, values):
        kept = first is not None and draw(st.integers(0, 3)) > 0
        return getattr(first, name) if kept else draw(values)

    place = drawn("place", st.sampled_from(sorted(SUBJECTS)))
    kind = drawn("kind", st.sampled_from(KINDS))
    condition = drawn("condition", st.none() | st.integers(0, 3))
    main = draw(st.sampled_from([1, 1, 1, 0])) if keys else 0
    taken, of_total = draw(measured(kind, year, number))
    return Seen(
        key=uuid5(SPACE, f"{year} {number}"),
        subject=SUBJECTS[place],
        opening=OPENING,
        kind=kind,
        number=number,
        place=place,
        side=drawn("side", st.sampled_from(sorted(SIDES))),
        extent=drawn("extent", st.sampled_from(EXTENTS)),
        taken=taken,
        of_total=of_total,
        condition=condition,
        water=drawn("water", st.booleans()),
        hazard=drawn("hazard", st.booleans()),
        seen_from=draw(st.sampled_from(["", "floor", "ladder"])),
        mended=condition == 0 and draw(st.booleans()),
        ancestors=tuple(each.key for each in keys[:main]),
        moved=(draw(st.sampled_from(["", "Renumbered."])), ""),
        joined=tuple(each.key for each in keys[main:]),
    )


@st.composite
def measured(draw, kind, year, number):
    """An amount and what it is out of, or neither."""
    unit = draw(st.sampled_from(["count", "count", "count", "mm"]))
    unit = "mm out of plane" if kind == "bowed-panel" else unit
    value = draw(st.sampled_from([None, 2, 4, 4, 5]))
    if value is None:
        return None, None
    reading = Reading(date(year, 6, 1), value, 0.0 if unit == "count" else 1.0)
    span = draw(st.sampled_from([None, 500.0, 760.0])) if unit != "count" else None
    total = draw(st.sampled_from([None, 8, 9])) if unit == "count" else None
    return Taken(str(number), reading, kind, unit, span), total


def findings(year, sources=()):
    """Up to four findings of a survey."""
    return st.integers(1 if sources else 0, 4).flatmap(
        lambda count: st.tuples(*(finding(year, n + 1, sources) for n in range(count)))
    )


LOOKS = st.builds(
    InspectionFacts,
    subject=st.sampled_from(list(SUBJECTS.values())),
    side=st.sampled_from(["both", *sorted(SIDES)]),
    nothing_found=st.sampled_from([True, True, False]),
    from_floor=st.booleans(),
    reason=st.just("Ivy"),
)


@st.composite
def surveys(draw):
    earlier = draw(findings(2015))
    later = draw(findings(2026, earlier))
    looks = tuple(draw(st.lists(LOOKS, max_size=3)))
    keys = [each.key for each in earlier]
    worked = draw(st.lists(st.sampled_from(keys), max_size=1)) if keys else []
    first_look = draw(st.sampled_from([frozenset(), {OPENING}])) if not keys else frozenset()
    return earlier, later, Between(looks, {}, dict.fromkeys(worked, "new ties"), first_look)


def amount(seen):
    return seen.taken and seen.taken.reading.value


def looks_at(case, seen):
    return [each for each in case.looks if each.subject in (seen.subject, seen.opening)]


def can_clear(seen):
    return seen.seen_from == "floor" and not seen.hazard


class Case:
    """A pair with all that its sentence may speak of."""

    def __init__(self, pair, earlier, later, between):
        self.before = pair.earlier or pair.beside
        self.after = pair.later or next(
            (each for each in later if self.before.key in (*each.ancestors, *each.joined)), None
        )
        self.pair, self.looks, self.between = pair, between.inspections, between
        self.earlier, self.later = earlier, later

    def reads(self, now):
        return amount(self.after if now else self.before)

    def cleared(self):
        looked = set()
        for each in looks_at(self, self.before):
            if each.nothing_found and (can_clear(self.before) or not each.from_floor):
                looked |= SIDES[each.side] if each.side != "unknown" else set()
        return SIDES[self.before.side] <= looked


def rank(extent):
    return ("isolated", "grouped", "along one line", "throughout").index(extent)


def share(seen):
    return amount(seen) / seen.of_total


# Each clause a sentence may have, and what must then be true. The groups of a pattern are given.
CLAUSES = {
    r"condition class (\d) then, (\d) now": lambda c, then, now: (
        (c.before.condition, c.after.condition) == (int(then), int(now)) and then != now
    ),
    r"condition class (\d) both times": lambda c, level: (
        c.before.condition == c.after.condition == int(level)
    ),
    r"([\d.]+)( mm| mm out of plane|) then, ([\d.]+)\2 now": lambda c, then, _unit, now: (
        (c.reads(False), c.reads(True)) == (float(then), float(now)) and then != now
        and not why_not_comparable(c.before.taken, c.after.taken)
    ),
    r"([\d.]+)( mm| mm out of plane) then, ([\d.]+)\2 now: no more than both may be off": (
        lambda c, then, _unit, now: 0 < abs(float(now) - float(then)) <= 2**0.5
        and (c.reads(False), c.reads(True)) == (float(then), float(now))
    ),
    r"([\d.]+)( mm| mm out of plane|) both times": lambda c, value, _unit: (
        c.reads(False) == c.reads(True) == float(value)
    ),
    r"(\d) of (\d) then, (\d) of (\d) now: a (larger|smaller) share": lambda c, a, b, d, e, size: (
        (c.reads(False), c.before.of_total) == (int(a), int(b))
        and (c.reads(True), c.after.of_total) == (int(d), int(e))
        and (share(c.after) > share(c.before)) is (size == "larger")
    ),
    r"([\d.]+) mm out of plane over (\d+) mm then, ([\d.]+) mm out of plane over (\d+) mm now: "
    r"(deeper|flatter) for its span": lambda c, a, b, d, e, what: (
        (c.reads(False), c.before.taken.span_mm) == (float(a), float(b))
        and (c.reads(True), c.after.taken.span_mm) == (float(d), float(e))
        and (float(d) / float(e) > float(a) / float(b)) is (what == "deeper")
    ),
    rf"({'|'.join(EXTENTS)}) then, ({'|'.join(EXTENTS)}) now": lambda c, then, now: (
        (c.before.extent, c.after.extent) == (then, now) and then != now
    ),
    r"a danger to people recorded (now|then), not (now|then)": lambda c, yes, _no: (
        (c.before.hazard, c.after.hazard) == (yes == "then", yes == "now")
    ),
    r"water coming in recorded (now|then), not (now|then)": lambda c, yes, _no: (
        (c.before.water, c.after.water) == (yes == "then", yes == "now")
    ),
    r"([\w-]+) then, ([\w-]+) now: a (graver|milder) kind of damage": lambda c, then, now, what: (
        (c.before.kind, c.after.kind) == (then, now)
        and (NEARER[now] > NEARER[then]) is (what == "graver")
    ),
    r"([\w-]+) then, ([\w-]+) now: of these two kinds neither is the graver": lambda c, then, now: (
        (c.before.kind, c.after.kind) == (then, now)
        and not any({then, now} <= set(order) for order in KIND_ORDERS)
    ),
    r"an amount is recorded (now|then), not (now|then)": lambda c, yes, _no: (
        (c.reads(False) is None, c.reads(True) is None) == (yes == "now", yes == "then")
    ),
    r"amounts not compared: .+": lambda c: bool(why_not_comparable(c.before.taken, c.after.taken)),
    r"amounts and extents not compared": lambda c: bool(c.pair.regrouped),
    r"no class and no amount that stands in both records": lambda c: (
        None in (c.before.condition, c.after.condition)
        and (c.pair.regrouped or c.reads(False) is None or c.reads(True) is None)
    ),
    r"findings? ([\d, ]+) then, findings? ([\d, ]+) now: .+": lambda c, then, now: (
        str(c.before.number) in then.split(", ") and str(c.after.number) in now.split(", ")
        and (", " in then or ", " in now)
    ),
    r"it was on ([\w ]+), it is on ([\w ]+) now(: .+)?": lambda c, then, now, how: (
        (c.before.place, c.after.place) == (then, now) and then != now
        and (how != ": Renumbered" or c.after.moved[0] == "Renumbered.")
    ),
    ASSUMED: lambda c: (
        c.pair.assumed and not (c.after.ancestors or c.after.joined)
        and (c.before.subject, c.before.kind, c.before.side)
        == (c.after.subject, c.after.kind, c.after.side)
    ),
    r"recorded as mended or gone, with nothing left to do": lambda c: (
        c.after.mended and not c.before.mended
    ),
    r"recorded as in order, but seen from the floor only, .+": lambda c: (
        c.after.mended and c.after.seen_from == "floor" and not can_clear(c.before)
    ),
    r"in order then, and in order now": lambda c: c.before.mended and c.after.mended,
    r"in order at an earlier survey, and damaged again": lambda c: (
        c.before.mended and not c.after.mended
    ),
    r"in order then, and nothing found now": lambda c: c.before.mended and c.cleared(),
    r"in order then": lambda c: c.before.mended and not c.cleared(),
    r"in order now, and no earlier finding is linked to it": lambda c: (
        c.after.mended and c.before is None and not (c.after.ancestors or c.after.joined)
    ),
    r"not among the findings of the earlier survey": lambda c: c.before is None,
    r"no earlier survey looked at this opening": lambda c: not c.earlier,
    r"looked at, nothing found": lambda c: c.cleared() and c.after is None,
    r"new ties": lambda c: c.before.key in c.between.repaired,
    r"not inspected: Ivy": lambda c: any(
        not each.nothing_found and each.side in (c.before.side, "both")
        for each in looks_at(c, c.before)
    ),
    r"seen from the floor only, from where no danger is cleared": lambda c: (
        c.before.hazard and not c.cleared() and any(e.from_floor for e in looks_at(c, c.before))
    ),
    r"seen from the floor only, and from nearer before": lambda c: c.before.seen_from == "ladder",
    r"seen from the floor only, and it is not recorded that it was seen from there before": (
        lambda c: c.before.seen_from == ""
    ),
    r"not every side it may be on was looked at from where it could be seen": lambda c: (
        not c.cleared() and bool(looks_at(c, c.before))
    ),
    r"the later survey says nothing of it": lambda c: not looks_at(c, c.before),
}  # fmt: skip


def check_clause(clause, case):
    """Each clause is one of those above, and true. Several patterns may fit: one must hold."""
    fitting = [
        holds(case, *match.groups())
        for pattern, holds in CLAUSES.items()
        if (match := re.fullmatch(pattern, clause))
    ]
    assert any(fitting), (clause, case.before, case.after)


@given(surveys())
@examples(1500)
def test_each_clause_of_each_sentence_is_true_and_none_is_of_an_unknown_form(case):
    earlier, later, between = case
    for pair in compare(earlier, later, between):
        facts = Case(pair, earlier, later, between)
        text = pair.reason.replace("but better in this: ", "")
        for clause in text.split("; "):
            check_clause(clause, facts)


@given(surveys())
@examples(500)
def test_every_finding_of_either_survey_is_in_one_verdict_and_the_counts_add_up(case):
    earlier, later, between = case
    pairs = compare(earlier, later, between)
    assert Counter(p.earlier.key for p in pairs if p.earlier) == Counter(e.key for e in earlier)
    assert Counter(p.later.key for p in pairs if p.later) == Counter(e.key for e in later)
    assert sum(counts_of(pairs).values()) == len(pairs)
    assert all(pair.earlier or pair.later for pair in pairs)


@given(surveys())
@examples(500)
def test_a_verdict_is_the_one_its_facts_make(case):
    earlier, later, between = case
    for pair in compare(earlier, later, between):
        facts = Case(pair, earlier, later, between)
        before, after = facts.before, facts.after
        if pair.state is State.NEW:
            assert before is None
            assert not after.mended
        elif pair.state is State.GONE:
            assert (after.mended and before.kind in PASSING) if after else facts.cleared()
        elif pair.state is State.REPAIRED:
            assert after.mended if after else facts.cleared()
        elif pair.state in (State.WORSE, State.BETTER, State.SAME) and after and before.mended < 1:
            better_class = None not in (before.condition, after.condition) and (
                after.condition < before.condition
            )
            more_danger = after.hazard and not before.hazard
            # Worse outweighs better, and neither is ever the same.
            assert not (more_danger and pair.state is not State.WORSE)
            assert not (better_class and pair.state is State.SAME)
