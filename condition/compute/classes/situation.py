"""What was found at one place, as far as a rule about its classes can ask."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

ISOLATED: Final = "isolated"
GROUPED: Final = "grouped"
ONE_LINE: Final = "along one line"
THROUGHOUT: Final = "throughout"
# From the least to the furthest: what holds of one of them holds of those after it too.
EXTENTS: Final = (ISOLATED, GROUPED, ONE_LINE, THROUGHOUT)

COUNT: Final = "count"
OUT_OF_PLANE: Final = "mm out of plane"
PERCENT_OF_PIECES: Final = "percent of pieces"
PERCENTS: Final = frozenset({PERCENT_OF_PIECES, "percent of area"})

IMPORTANT_PARTS: Final = frozenset({"head or hand", "inscription"})
OUTSTANDING: Final = "outstanding"
# Of these is counted what still holds: none left is then the worst of it, not the end of it.
COUNTS_WHAT_HOLDS: Final = frozenset({"loose-item"})
WHOLE: Final = Decimal(100)
HALF: Final = Decimal(50)
SEVERAL: Final = 2


@dataclass(frozen=True)
class Situation:
    """One finding with the consequences recorded on its subject and survey.

    kind, group: codes of the kind of finding. extent, unit, part, significance: as the lists of
        the register and the survey spell them; "" where nothing was said.
    amount: in `unit`; of_total: how many there are of what was counted, or pieces in the panel.
    span_mm: the length over which a depth out of flat was read.
    hazard: it can hurt someone; falls_now: it can come down now; held: a measure makes it safe for
        now. people_below: people pass or sit under it.
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
    falls_now: bool = True
    held: bool = False
    water: bool = False
    people_below: bool = False
    significance: str = ""
    grown: bool = False
    one_more_lost: bool = False
    other_damage: bool = False
    diagnosed: bool = False

    def reaches(self, extent: str) -> bool:
        """Whether it lies as far as that extent or further; an extent not known is the least."""
        return self._reach >= EXTENTS.index(extent)

    @property
    def _reach(self) -> int:
        return EXTENTS.index(self.extent) if self.extent in EXTENTS else 0

    @property
    def share(self) -> Decimal | None:
        """How much of the whole is affected, in per cent; None where that is not known.

        Of a count: of its total. Of a depth out of flat: of the span it was read over.
        """
        if self.amount is None:
            return None
        if self.unit in PERCENTS:
            return self.amount
        if self.unit == OUT_OF_PLANE:
            return self.amount * WHOLE / self.span_mm if self.span_mm else None
        if self.unit == COUNT and self.of_total and self.affected is not None:
            return self.affected * WHOLE / self.of_total
        return None

    @property
    def affected(self) -> Decimal | None:
        """How many are affected; None where they were not counted and cannot be reckoned."""
        if self.amount is None:
            return None
        if self.unit == COUNT and self.kind in COUNTS_WHAT_HOLDS:
            return None if self.of_total is None else self.of_total - self.amount
        if self.unit == COUNT:
            return self.amount
        if self.unit == PERCENT_OF_PIECES and self.of_total:
            return self.amount * self.of_total / WHOLE
        return None

    @property
    def _share_of_things(self) -> Decimal | None:
        return None if self.unit == OUT_OF_PLANE else self.share

    @property
    def is_all(self) -> bool:
        """Whether all of what was counted or judged is affected: none of it is left to hold."""
        if self.unit == COUNT and self.kind in COUNTS_WHAT_HOLDS:
            return self.amount == 0
        return self._share_of_things is not None and self._share_of_things >= WHOLE

    @property
    def some_remain(self) -> bool:
        """Whether the whole is known, and not all of it is affected."""
        return self._share_of_things is not None and not self.is_all

    @property
    def several(self) -> bool:
        """Whether it is more than one: as counted, or else as far as an extent says so."""
        if self.affected is None:
            return self.reaches(GROUPED)
        return self.affected >= SEVERAL

    @property
    def is_everywhere(self) -> bool:
        """Whether it lies throughout, and no figure says that it is one thing or less than half."""
        share = self._share_of_things
        return self.extent == THROUGHOUT and self.several and (share is None or share >= HALF)

    @property
    def is_gone(self) -> bool:
        """Whether it was looked for and nothing of it is left. A danger is never gone by that."""
        return self.amount == 0 and not self.hazard and self.kind not in COUNTS_WHAT_HOLDS
