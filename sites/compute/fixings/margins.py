"""Margins of an item's fixings, kind by kind, with all that are sound and with one more lost."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from sites.compute.figures import Figures
from sites.compute.fixings import FAILED
from sites.compute.fixings.capacity import (
    BEAD,
    CURING,
    SIZED,
    TAB,
    Capacity,
    FixingLine,
    capacity_of,
    figure_inputs,
    missing_sizes,
    why_nothing,
)
from sites.compute.fixings.demand import Demand
from sites.compute.working import Input, Working

FEWEST: Final = 2
# A plate peels off what is stuck or soldered to its back; what grips or is screwed through stays.
PEEL: Final = frozenset({TAB, BEAD})
SCREENS: Final = (
    "A screening figure, not a design; pull-test on the real surface; local codes and licensed "
    "practice decide."
)
FORMULA: Final = (
    "margin = what the fixings of this kind carry alone ÷ what they have to carry: the lesser of "
    "lasting capacity ÷ weight and short capacity ÷ (weight + pull); rounded down"
)
ONE_CORNER: Final = "Not calculable, support it now: a plate that hangs by one corner peels."
PEELS_NEXT: Final = (
    "Not calculable, support it now: with one more lost it hangs by one corner, and peels."
)
NONE_COUNTS: Final = "Not calculable, support it now: none of these can be counted on."
NO_FIGURE: Final = "Not calculable: no figure says what this kind carries."
NO_PRODUCT: Final = "Record the product of the bead: acetic-cure silicone attacks lead."
DATE_PASSED: Final = "Its day of curing has passed: look at it and record what it is now."


@dataclass(frozen=True)
class KindMargin:
    """What one kind of fixing carries alone. A margin of None is not calculable.

    counted: fixings that are counted on; recorded: all of the kind; failed: those that have.
    peels: judged as a plate that peels, now or with one more lost.
    reason: why a margin is missing, in words. missing: what to record first.
    left_out: each line that counts as nothing and why.
    """

    kind: str
    recorded: int
    counted: int
    all_sound: float | None
    one_lost: float | None
    reason: str = ""
    missing: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    working: Working | None = None
    failed: int = 0
    peels: bool = False


def margins_of(
    lines: Sequence[FixingLine],
    demand: Demand | None,
    missing: tuple[str, ...],
    figures: Figures,
    today: date,
) -> tuple[KindMargin, ...]:
    """Return the margin of every kind of fixing of an item, in the order the kinds first appear.

    demand: None where the item's own weight is not known; `missing` then says why.
    today: the date at the building; a line counts as nothing until it has cured.

    Kinds are never summed: stiff solder takes the load before silicone moves enough to share it
    (common practice, no source). Within a kind the capacities add, and the one lost is the best.
    """
    kinds = list(dict.fromkeys(line.kind for line in lines))
    return tuple(
        _kind_margin(
            kind, [line for line in lines if line.kind == kind], demand, missing, figures, today
        )
        for kind in kinds
    )


def two_figures(margin: float) -> str:
    """Return a margin to two significant figures, rounded down: 0.998 is told as 0.99, never 1."""
    if margin <= 0:
        return "0"
    places = 1 - math.floor(math.log10(margin))
    step = 10.0**places
    down = math.floor(margin * step) / step
    return f"{down:.{max(places, 0)}f}"


def _kind_margin(
    kind: str,
    lines: Sequence[FixingLine],
    demand: Demand | None,
    missing: tuple[str, ...],
    figures: Figures,
    today: date,
) -> KindMargin:
    counting = [line for line in lines if not why_nothing(line, today)]
    counted = sum(line.count for line in counting)
    wanted = tuple(
        dict.fromkeys([*missing, *(size for line in counting for size in missing_sizes(line))])
    )
    each = [capacity for line in counting if (capacity := capacity_of(line, figures))]
    all_sound = one_lost = working = None
    peels = kind in PEEL and 0 < counted <= FEWEST
    reason = _reason(kind, counted, wanted, len(each) == len(counting))
    if demand is not None and not reason:
        all_of = [c for line, c in zip(counting, each, strict=True) for c in [c] * line.count]
        all_sound = _margin(all_of, demand)
        one_lost = None if peels else _margin(_one_lost(all_of), demand)
        reason = PEELS_NEXT if peels else ""
        working = _working(kind, counting, demand, figures, all_sound)
    return KindMargin(
        kind,
        sum(line.count for line in lines),
        counted,
        all_sound,
        one_lost,
        reason,
        wanted,
        tuple(_left_out(line, why) for line in lines if (why := why_nothing(line, today))),
        _remarks(kind, lines, counting),
        working,
        sum(line.count for line in lines if line.state == FAILED),
        peels,
    )


def _reason(kind: str, counted: int, wanted: tuple[str, ...], figured: bool) -> str:
    if counted == 0:
        return NONE_COUNTS
    if kind in PEEL and counted < FEWEST:
        return ONE_CORNER
    if wanted:
        return f"Not calculable until it is recorded: {', '.join(wanted)}."
    return "" if figured else NO_FIGURE


def _remarks(
    kind: str, lines: Sequence[FixingLine], counting: Sequence[FixingLine]
) -> tuple[str, ...]:
    told = [DATE_PASSED] if any(line.state == CURING for line in counting) else []
    if kind == BEAD and any(not line.product for line in lines):
        told.append(NO_PRODUCT)
    return tuple(told)


def _left_out(line: FixingLine, why: str) -> str:
    return f"{line.count} counted as nothing: {why}"


def _margin(each: Sequence[Capacity], demand: Demand) -> float:
    lasting = sum(one.lasting_n for one in each) / demand.weight_n
    return min(lasting, sum(one.moment_n for one in each) / demand.pulled_n)


def _one_lost(each: Sequence[Capacity]) -> list[Capacity]:
    """Without the best, under each load by itself: whichever is lost, it is no worse."""
    return [
        Capacity(lasting, moment)
        for lasting, moment in zip(
            _without_best(each, lambda one: one.lasting_n),
            _without_best(each, lambda one: one.moment_n),
            strict=True,
        )
    ]


def _without_best(each: Sequence[Capacity], load: Callable[[Capacity], float]) -> list[float]:
    return sorted(load(one) for one in each)[:-1]


def _working(
    kind: str, lines: Sequence[FixingLine], demand: Demand, figures: Figures, margin: float
) -> Working:
    inputs = [
        Input("weight", f"{demand.weight_n:.3g} N", "computed"),
        Input("weight and pull", f"{demand.pulled_n:.3g} N", "computed"),
        figures.input("fixing.pull"),
    ]
    for line in lines:
        size = f" of {line.width_mm:g} × {line.length_mm:g} mm" if kind in SIZED else ""
        inputs.append(Input(kind, f"{line.count}{size}", "entered"))
    return Working(
        FORMULA,
        (*inputs, *figure_inputs(kind, figures)),
        f"margin {two_figures(margin)} with all that are sound",
        "common practice, no source, on the figures named",
        SCREENS,
    )
