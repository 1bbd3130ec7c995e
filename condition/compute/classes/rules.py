"""A rule: of which findings it speaks, and what classes it gives or by how much it raises them."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from condition.compute.classes.situation import (
    EXTENTS,
    GROUPED,
    IMPORTANT_PARTS,
    ONE_LINE,
    OUT_OF_PLANE,
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

ALL_OF_THEM: Final = "all of them"

Holds = Callable[[Situation], bool]

# What a rule may ask for. None of it stops being so when more is found.
CIRCUMSTANCES: Final[Mapping[str, Holds]] = {
    "": lambda s: True,
    ALL_OF_THEM: lambda s: s.is_all,
    "important part": lambda s: s.part in IMPORTANT_PARTS and s.group != ATTACHED,
    "can fall on people": lambda s: s.hazard and s.people_below and s.falls_now and not s.held,
    "can fall": lambda s: s.hazard,
    "water": lambda s: s.water and s.kind not in LEAKS,
    "grown": lambda s: s.grown,
    "one more lost": lambda s: s.one_more_lost,
    "one more over people": lambda s: s.one_more_lost and s.people_below,
    "with other damage": lambda s: s.other_damage,
    "outstanding": lambda s: s.significance == OUTSTANDING and s.group == PICTURE,
}

# What a sentence may claim besides what its rule asks.
FACTS: Final[Mapping[str, Holds]] = {
    "some remain": lambda s: s.some_remain,
    "not all": lambda s: not s.is_all,
    "several": lambda s: s.several,
    "together": lambda s: s.extent in (GROUPED, ONE_LINE) and s.several,
    "in a line": lambda s: s.extent == ONE_LINE and s.several,
    "everywhere": lambda s: s.is_everywhere,
    "depth measured": lambda s: s.unit == OUT_OF_PLANE and s.amount is not None,
}


@dataclass(frozen=True)
class Rule:
    """One rule. What is left empty is not asked; a class of None is not touched.

    kind: a code; "" speaks of every kind. extent: as far as that, or further. at_least: in `unit`.
    share_at_least: per cent of the whole, see `Situation.share`. least_count: how many must be
    affected while some of a known total remain. when: a key of CIRCUMSTANCES.
    needs: the FACTS that the reason claims; where one of them is not so, `otherwise` stands in
    its place, and without that the rule does not speak.
    effect: SETS gives the classes, RAISES adds to them.
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
    needs: tuple[str, ...] = ()
    otherwise: str = ""

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
            (not self.extent or situation.reaches(self.extent))
            and self._is_enough(situation)
            and self._is_enough_of_the_whole(situation)
            and self._are_enough(situation)
            and CIRCUMSTANCES[self.when](situation)
            and bool(self.sentence(situation))
        )

    def sentence(self, situation: Situation) -> str:
        """Return its reason as far as what that claims is so, else the other one it has."""
        return self.reason if self.is_borne_out_by(situation) else self.otherwise

    def is_borne_out_by(self, situation: Situation) -> bool:
        """Whether all that its reason claims is so."""
        return all(FACTS[name](situation) for name in self.needs)

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
        """One tie of two is not half a failure; but none left is never too few.

        Where nobody counted, or nobody knows out of how many, what else is recorded is believed.
        """
        if self.least_count is None or situation.affected is None or not situation.some_remain:
            return True
        return situation.affected >= self.least_count

    @property
    def closeness(self) -> tuple[bool, bool, int, int, Decimal, Decimal]:
        """How closely the rule describes what it speaks of: of two equal ones the closer is told.

        A general rule never stands before one of the kind itself, and where none is left that is
        told before all else.
        """
        asked = [self.extent, self.when, self.least_count, self.at_least, self.share_at_least]
        return (
            bool(self.kind),
            self.when == ALL_OF_THEM,
            sum(bool(each) for each in asked),
            EXTENTS.index(self.extent) if self.extent else 0,
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
