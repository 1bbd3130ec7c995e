"""A rule: of which findings it speaks, and what classes it gives or by how much it raises them."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from condition.compute.classes.situation import (
    GROUPED,
    IMPORTANT_PARTS,
    ONE_LINE,
    OUTSTANDING,
    Situation,
)

SETS: Final = "sets"
RAISES: Final = "raises"
WORST: Final = 3
CLASSES: Final = ("condition", "urgency", "recommendation")
STUDIO_DEFAULT: Final = "studio default"
# Kinds that a studio added and gave no rules of its own are judged as other findings are.
ANY_OTHER: Final = "other"

# Of these the kind itself says that water comes in: it is not counted twice.
LEAKS: Final = frozenset({"leaking-panel", "leaking-ventilator"})
# The picture is in the glass and its paint; a plaque has kinds of its own for its inscription.
ATTACHED: Final = "attached-item"
PICTURE: Final = "glass"

# A row of neighbouring ties is recorded as grouped, or as along one line: on a bar it is both.
CIRCUMSTANCES: Final[Mapping[str, Callable[[Situation], bool]]] = {
    "": lambda s: True,
    "in a line": lambda s: s.extent == ONE_LINE,
    "neighbours": lambda s: s.extent in (GROUPED, ONE_LINE),
    "important part": lambda s: s.part in IMPORTANT_PARTS and s.group != ATTACHED,
    "can fall on people": lambda s: s.hazard and s.people_below,
    "can fall": lambda s: s.hazard,
    "water": lambda s: s.water and s.kind not in LEAKS,
    "grown": lambda s: s.grown,
    "one more lost": lambda s: s.one_more_lost,
    "one more over people": lambda s: s.one_more_lost and s.people_below,
    "with other damage": lambda s: s.other_damage,
    "outstanding": lambda s: s.significance == OUTSTANDING and s.group == PICTURE,
}


@dataclass(frozen=True)
class Rule:
    """One rule. What is left empty is not asked; a class of None is not touched.

    kind: a code; "" speaks of every kind. at_least: in `unit`. share_at_least: per cent of the
    whole, see `Situation.share`. least_count: how many must be affected, where that is known.
    when: a key of CIRCUMSTANCES. effect: SETS gives the classes, RAISES adds to them.
    source: where it is published; "" is a studio default.
    """

    code: str
    reason: str
    kind: str = ""
    extent: str = ""
    unit: str = ""
    at_least: Decimal | None = None
    share_at_least: Decimal | None = None
    least_count: int | None = None
    when: str = ""
    effect: str = SETS
    condition: int | None = None
    urgency: int | None = None
    recommendation: int | None = None
    source: str = ""

    @property
    def told_source(self) -> str:
        return self.source or STUDIO_DEFAULT

    def level(self, name: str) -> int | None:
        """Return what the rule says of `name`, one of CLASSES."""
        levels = {
            "condition": self.condition,
            "urgency": self.urgency,
            "recommendation": self.recommendation,
        }
        return levels[name]

    def speaks_of(self, situation: Situation) -> bool:
        """Whether everything the rule asks is so. A share nobody can reckon is not."""
        return (
            self.extent in ("", situation.extent)
            and self._is_enough(situation)
            and self._is_enough_of_the_whole(situation)
            and self._are_enough(situation)
            and CIRCUMSTANCES[self.when](situation)
        )

    def _is_enough(self, situation: Situation) -> bool:
        if self.unit and self.unit != situation.unit:
            return False
        if self.at_least is None:
            return True
        return situation.amount is not None and situation.amount >= self.at_least

    def _is_enough_of_the_whole(self, situation: Situation) -> bool:
        if self.share_at_least is None:
            return True
        return situation.share is not None and situation.share >= self.share_at_least

    def _are_enough(self, situation: Situation) -> bool:
        """One tie of two is not half a failure; where nobody counted, the extent is believed."""
        if self.least_count is None or situation.affected is None:
            return True
        return situation.affected >= self.least_count

    @property
    def closeness(self) -> tuple[bool, int, Decimal, Decimal]:
        """How closely the rule describes what it speaks of: of two equal ones the closer is told.

        A general rule never stands before one of the kind itself.
        """
        asked = [self.extent, self.when, self.least_count, self.at_least, self.share_at_least]
        return (
            bool(self.kind),
            sum(bool(each) for each in asked),
            self.share_at_least or Decimal(0),
            self.at_least or Decimal(0),
        )


def rules_of_kind(kind: str, rules: Iterable[Rule]) -> tuple[Rule, ...]:
    """Return the rules that may speak of a kind, in their order: its own and the general ones."""
    listed = tuple(rules)
    if not any(rule.kind == kind for rule in listed):
        kind = ANY_OTHER
    return tuple(rule for rule in listed if rule.kind in ("", kind))


def rules_for(situation: Situation, rules: Iterable[Rule]) -> list[Rule]:
    """Return the rules that speak of a situation, in their order."""
    return [rule for rule in rules_of_kind(situation.kind, rules) if rule.speaks_of(situation)]
