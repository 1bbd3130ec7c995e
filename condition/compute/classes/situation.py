"""What was found at one place, as far as a rule about its classes can ask."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

ISOLATED: Final = "isolated"
GROUPED: Final = "grouped"
ONE_LINE: Final = "along one line"
THROUGHOUT: Final = "throughout"

COUNT: Final = "count"
OUT_OF_PLANE: Final = "mm out of plane"
PERCENT_OF_PIECES: Final = "percent of pieces"
PERCENTS: Final = frozenset({PERCENT_OF_PIECES, "percent of area"})

IMPORTANT_PARTS: Final = frozenset({"head or hand", "inscription"})
OUTSTANDING: Final = "outstanding"
# Of these some count what still holds: none left is then the worst of it, not the end of it.
NEVER_GONE: Final = frozenset({"loose-item"})
WHOLE: Final = Decimal(100)


@dataclass(frozen=True)
class Situation:
    """One finding with the consequences recorded on its subject and survey.

    kind, group: codes of the kind of finding. extent, unit, part, significance: as the lists of
        the register and the survey spell them; "" where nothing was said.
    amount: in `unit`; of_total: how many there are of what was counted, or pieces in the panel.
    span_mm: the length over which a depth out of flat was read.
    hazard: it can hurt someone. people_below: people pass or sit under it.
    grown: since the earlier survey, by more than it can be measured.
    one_more_lost: with one more of its fixings lost the rest do not carry the item.
    other_damage: the same panel has folds, cracked glass, or failed joints, leads or ties.
    diagnosed: its cause is recorded.
    """

    kind: str
    group: str = ""
    extent: str = ISOLATED
    amount: Decimal | None = None
    unit: str = ""
    of_total: int | None = None
    span_mm: Decimal | None = None
    part: str = ""
    hazard: bool = False
    water: bool = False
    people_below: bool = False
    significance: str = ""
    grown: bool = False
    one_more_lost: bool = False
    other_damage: bool = False
    diagnosed: bool = False

    @property
    def share(self) -> Decimal | None:
        """How much of the whole is affected, in per cent; None where that is not known.

        Of a count: of its total. Of a depth out of flat: of the span it was read over.
        """
        if self.amount is None:
            return None
        if self.unit in PERCENTS:
            return self.amount
        whole: Decimal | int | None = None
        if self.unit == COUNT:
            whole = self.of_total
        elif self.unit == OUT_OF_PLANE:
            whole = self.span_mm
        return self.amount * WHOLE / whole if whole else None

    @property
    def affected(self) -> Decimal | None:
        """How many are affected; None where they were not counted and cannot be reckoned."""
        if self.amount is None:
            return None
        if self.unit == COUNT:
            return self.amount
        if self.unit == PERCENT_OF_PIECES and self.of_total:
            return self.amount * self.of_total / WHOLE
        return None

    @property
    def is_gone(self) -> bool:
        """Whether it was looked for and nothing of it is left. A danger is never gone by that."""
        return self.amount == 0 and not self.hazard and self.kind not in NEVER_GONE
