"""Whether an item is held: by some kind of fixing alone, also with any one fixing more lost."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from sites.compute.figures import Figures
from sites.compute.fixings.capacity import FixingLine, day_words, is_uncured
from sites.compute.fixings.demand import Demand, demand_of
from sites.compute.fixings.item_mass import ItemFacts, ItemMass, mass_of, missing_for_mass
from sites.compute.fixings.margins import KindMargin, margins_of

Standing = Literal["nothing recorded", "not calculable", "fails", "fails with one lost", "holds"]

FAILS: Final = "Reckoned kind by kind, its fixings do not carry it."
FAILS_NEXT: Final = "With one more fixing lost, no kind of fixing carries it alone."
HOLDS: Final = "One kind of fixing alone carries it, also with any one more lost."
TOO_LIGHT: Final = "It weighs {mass}: it may be lost, but so light it hurts nobody by falling."
LIGHTEST: Final = "fixing.lightest_danger"
NOTHING: Final = "Nothing is recorded about what holds it: do not count on it."
KEEP_OUT: Final = (
    "Keep people out from under it until it is supported or taken down, and somebody licensed or "
    "competent to judge it has said that it holds. Local codes decide."
)


@dataclass(frozen=True)
class Verdict:
    """What the fixings of one item can carry, as of a day.

    all_sound, one_lost: the item's margins; None is not calculable.
    may_come_down: what is recorded says so; a weight or size that is missing does not, as long as
    no fixing has failed, and what weighs next to nothing hurts nobody.
    danger: it may come down where people pass.
    temporary_until: the last day of curing still to come.
    unsaid_cure: something cures and nobody said until when.
    """

    kinds: tuple[KindMargin, ...]
    mass: ItemMass | None
    demand: Demand | None
    all_sound: float | None
    one_lost: float | None
    standing: Standing
    may_come_down: bool
    danger: bool
    missing: tuple[str, ...]
    temporary_until: date | None = None
    unsaid_cure: bool = False
    too_light: bool = False

    @property
    def holds(self) -> bool:
        return self.standing == "holds"

    @property
    def words(self) -> str:
        """The verdict in a sentence; where it cannot be reckoned, each reason in one."""
        if self.too_light and self.mass and not self.holds:
            return TOO_LIGHT.format(mass=f"{self.mass.kg:.2g} kg")
        return {
            "nothing recorded": NOTHING,
            "not calculable": " ".join(dict.fromkeys(kind.reason for kind in self.kinds)),
            "fails": FAILS,
            "fails with one lost": FAILS_NEXT,
            "holds": HOLDS,
        }[self.standing]

    @property
    def warning(self) -> str:
        """The verdict with what to do now; empty where nothing says that it may come down."""
        return f"{self.words} {KEEP_OUT}" if self.may_come_down else ""

    @property
    def support(self) -> str:
        """What is to be held up until when, where something is still to cure."""
        if self.unsaid_cure:
            return "Temporary support until it has cured: record from which day that is."
        if self.temporary_until is None:
            return ""
        return f"Temporary support until {day_words(self.temporary_until)}."


def verdict_of(
    facts: ItemFacts,
    lines: Sequence[FixingLine],
    figures: Figures,
    today: date,
    people_below: bool,
) -> Verdict:
    """Return the verdict on an item's fixings.

    today: the date at the building. people_below: people pass or sit under the item.

    Below a margin of 1, or where what is left peels or cannot be counted on, an item over people
    is a danger; so is one of which a fixing has failed and nobody can reckon the rest. A size that
    is not recorded is never guessed. Source: common practice, no source.
    """
    mass, missing = mass_of(facts, figures), missing_for_mass(facts, figures)
    demand = demand_of(mass, figures) if mass else None
    kinds = margins_of(lines, demand, missing, figures, today)
    all_sound = _best(kind.all_sound for kind in kinds)
    one_lost = one_more_lost(kinds)
    standing = _standing(bool(lines), all_sound, one_lost)
    uncured = [line for line in lines if is_uncured(line, today)]
    sizes = [size for kind in kinds for size in kind.missing]
    too_light = mass is not None and mass.kg < figures.number(LIGHTEST)
    may_come_down = not too_light and _may_come_down(standing, kinds)
    days = [line.cures_on for line in uncured if line.cures_on is not None]
    return Verdict(
        kinds=kinds,
        mass=mass,
        demand=demand,
        all_sound=all_sound,
        one_lost=one_lost,
        standing=standing,
        may_come_down=may_come_down,
        danger=people_below and may_come_down,
        missing=tuple(dict.fromkeys([*missing, *sizes])),
        temporary_until=max(days, default=None),
        unsaid_cure=len(days) < len(uncured),
        too_light=too_light,
    )


def one_more_lost(kinds: Sequence[KindMargin]) -> float | None:
    """Return the item's margin once the one fixing is lost that costs it most.

    Whichever kind loses one, the others are whole, and the item hangs by the best kind alone.
    None where, after some loss, no kind can be reckoned.
    """
    after = [
        _best(other.one_lost if other is kind else other.all_sound for other in kinds)
        for kind in kinds
        if kind.counted
    ]
    known = [margin for margin in after if margin is not None]
    return min(known) if known and len(known) == len(after) else None


def _may_come_down(standing: Standing, kinds: Sequence[KindMargin]) -> bool:
    if standing == "not calculable":
        left = [kind for kind in kinds if kind.counted and not kind.peels]
        return not left or any(kind.failed for kind in kinds)
    return standing not in ("holds", "nothing recorded")


def _best(margins: Iterable[float | None]) -> float | None:
    return max((margin for margin in margins if margin is not None), default=None)


def _standing(recorded: bool, all_sound: float | None, one_lost: float | None) -> Standing:
    if not recorded:
        return "nothing recorded"
    if all_sound is not None and all_sound < 1:
        return "fails"
    if one_lost is None:
        return "not calculable"
    return "holds" if one_lost >= 1 else "fails with one lost"
