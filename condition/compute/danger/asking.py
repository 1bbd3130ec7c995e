"""Of what somebody must be asked whether it can come down. Common practice, no source."""

from decimal import Decimal
from typing import Final

# A guard that keeps more than two thirds of its fixings is looked after, not feared.
ASKED_FROM_A_THIRD: Final = frozenset({"loose-guard"})
# What is too light to hurt by falling, and what no hand can reach.
ASKED_UNLESS_LIGHT: Final = frozenset({"damaged-electric"})
ASKED_WITHIN_REACH: Final = frozenset({"bent-item"})
LIGHT_KG: Final = 0.5
REACH_MM: Final = 2200


def must_be_asked(
    kind: str,
    marked: bool,
    marked_when_all: bool,
    amount: Decimal | None = None,
    of_total: int | None = None,
    *,
    weight_kg: float | None = None,
    lower_edge_mm: float | None = None,
) -> bool:
    """Whether an answer is needed. What is not known, or exactly at a limit, is asked about.

    kind: its code; marked: the studio marks it as able to hurt people, marked_when_all: where all
    that was counted is affected. amount of of_total: how many failed. weight_kg, lower_edge_mm: of
    the attached item, None if not known.
    """
    if marked_when_all and not marked:
        all_known = of_total is not None
        return amount is None or (amount == of_total if all_known else amount > 1)
    if kind in ASKED_FROM_A_THIRD:
        return amount is None or of_total is None or amount * 3 >= of_total
    if kind in ASKED_UNLESS_LIGHT:
        return weight_kg is None or weight_kg >= LIGHT_KG
    if kind in ASKED_WITHIN_REACH:
        return lower_edge_mm is None or lower_edge_mm <= REACH_MM
    return marked
