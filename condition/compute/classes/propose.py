"""The classes proposed for a finding, and for a whole subject, each with its reasons.

Classes 0 to 3 of condition, urgency and recommendation after EN 16096:2012 (from memory: its
tables are not openly published).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from condition.compute.classes.rules import (
    CLASSES,
    RAISES,
    SETS,
    STUDIO_DEFAULT,
    WORST,
    Rule,
    rules_for,
)
from condition.compute.classes.situation import OUT_OF_PLANE, Situation

STANDARD: Final = "EN 16096:2012, from memory"
GONE: Final = "It was looked for and nothing of it is left: mended, or gone."
NEEDS_DIAGNOSIS: Final = (
    "A major intervention needs its cause found and recorded first: until then, investigate."
)
NEEDS_SPAN: Final = (
    "The span it was measured over is not recorded: a depth out of flat is judged with it."
)
NEEDS_SOME_MEASURE: Final = "What is not for the long term needs a measure."
INVESTIGATE: Final = 2
MAINTENANCE: Final = 1


@dataclass(frozen=True)
class Reason:
    """Why, in a sentence; where it comes from; which rule said it and which classes it touched."""

    text: str
    source: str
    rule: str = ""
    touched: tuple[str, ...] = ()


@dataclass(frozen=True)
class Proposal:
    """Proposed classes, 0 to 3 each; None where no rule says anything of it."""

    condition: int | None
    urgency: int | None
    recommendation: int | None
    reasons: tuple[Reason, ...] = ()

    @property
    def levels(self) -> tuple[int | None, int | None, int | None]:
        return self.condition, self.urgency, self.recommendation

    @property
    def because(self) -> str:
        """The reasons, one a sentence."""
        return " ".join(reason.text for reason in self.reasons)


@dataclass(frozen=True)
class Found:
    """A finding's classes as one of those a subject's are proposed from. name: `finding 12`."""

    name: str
    condition: int | None = None
    urgency: int | None = None
    recommendation: int | None = None

    def level(self, name: str) -> int | None:
        levels = {
            "condition": self.condition,
            "urgency": self.urgency,
            "recommendation": self.recommendation,
        }
        return levels[name]


def propose(situation: Situation, rules: Iterable[Rule]) -> Proposal:
    """Return the classes that the rules propose for a situation, with the reasons.

    Of the rules that give a class the worst counts. Those of the kind that raise it are added; of
    the general ones that raise it the greatest counts, once: growth, water and rarity together do
    not make "urgent and immediate" of what is neither. 3 is the end. As every rule asks for "at
    least" so much and "at least" so far, a proposal never falls when the amount, the extent, the
    water, the danger or the growth rises. What the reasons claim is so: see `Rule.needs`.
    """
    if situation.is_gone:
        return Proposal(0, 0, 0, (Reason(GONE, STUDIO_DEFAULT, touched=CLASSES),))
    speaking = rules_for(situation, rules)
    levels: dict[str, int | None] = {}
    told: dict[Rule, list[str]] = {}
    for name in CLASSES:
        levels[name] = _level(name, situation, speaking, told)
    reasons = _once_each(
        Reason(rule.sentence(situation), rule.told_source, rule.code, tuple(told[rule]))
        for rule in _in_order(speaking, told)
    )
    if levels["recommendation"] == WORST and not situation.diagnosed:
        levels["recommendation"] = INVESTIGATE
        reasons.append(Reason(NEEDS_DIAGNOSIS, STANDARD, touched=("recommendation",)))
    if levels["urgency"] and levels["recommendation"] == 0:
        levels["recommendation"] = MAINTENANCE
        reasons.append(Reason(NEEDS_SOME_MEASURE, STUDIO_DEFAULT, touched=("recommendation",)))
    if situation.unit == OUT_OF_PLANE and situation.span_mm is None:
        reasons.append(Reason(NEEDS_SPAN, STUDIO_DEFAULT))
    return Proposal(
        levels["condition"], levels["urgency"], levels["recommendation"], tuple(reasons)
    )


def propose_subject(findings: Sequence[Found]) -> Proposal:
    """Return the classes proposed for a whole subject: the worst of its findings, no average.

    The reasons name the findings that a class comes from. Source: EN 16096:2012 keeps the class
    of a whole apart, as a judgement (from memory); the worst as its start is a studio default.
    """
    levels: dict[str, int | None] = {}
    named: dict[str, list[str]] = {}
    for name in CLASSES:
        known = [level for each in findings if (level := each.level(name)) is not None]
        levels[name] = max(known, default=None)
        for each in findings:
            if levels[name] is not None and each.level(name) == levels[name]:
                named.setdefault(each.name, []).append(name)
                break
    reasons = tuple(
        Reason(_worst_words(found, touched), STUDIO_DEFAULT, touched=tuple(touched))
        for found, touched in named.items()
    )
    return Proposal(levels["condition"], levels["urgency"], levels["recommendation"], reasons)


def _worst_words(found: str, touched: Sequence[str]) -> str:
    if len(touched) == len(CLASSES):
        return f"All three are those of {found}, the worst here."
    of = "is that" if len(touched) == 1 else "are those"
    return f"The worst {' and '.join(touched)} here {of} of {found}."


def _level(
    name: str, situation: Situation, speaking: Sequence[Rule], told: dict[Rule, list[str]]
) -> int | None:
    """Return the level of one class, and note in `told` the rules it comes from."""
    giving = [
        (level, rule)
        for rule in speaking
        if rule.effect == SETS and (level := rule.level(name)) is not None
    ]
    if not giving:
        return None

    def rank(pair: tuple[int, Rule]) -> tuple[Any, ...]:
        # Of equal ones: whose reason is so, then what is told already, then the closest.
        given, rule = pair
        return given, rule.is_borne_out_by(situation), rule in told, rule.closeness

    level, giver = max(giving, key=rank)
    told.setdefault(giver, []).append(name)
    raising = [rule for rule in speaking if rule.effect == RAISES and rule.level(name)]
    own = sum(rule.level(name) or 0 for rule in raising if rule.kind)
    together = max((rule.level(name) or 0 for rule in raising if not rule.kind), default=0)
    if level < WORST:
        for rule in raising:
            told.setdefault(rule, []).append(name)
    return min(WORST, level + own + together)


def _once_each(reasons: Iterable[Reason]) -> list[Reason]:
    """The reasons, those of the same words taken together."""
    found: dict[str, Reason] = {}
    for each in reasons:
        before = found.setdefault(each.text, each)
        touched = tuple(dict.fromkeys((*before.touched, *each.touched)))
        found[each.text] = replace(before, touched=touched)
    return list(found.values())


def _in_order(speaking: Sequence[Rule], told: dict[Rule, list[str]]) -> list[Rule]:
    """What gave a class first, the rule of the kind itself before a general one; then raises."""
    chosen = [rule for rule in speaking if rule in told]
    return sorted(chosen, key=lambda rule: (rule.effect == RAISES, not rule.kind))
