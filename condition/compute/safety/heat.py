"""Hot work: fire, the insurer's word, and fume."""

from typing import Final

from condition.compute.safety.facts import (
    ANYWHERE,
    FLAME,
    IRON,
    NO_HEAT,
    US,
    SafetyLine,
    SheetCaution,
    SheetFacts,
)
from condition.compute.safety.units import published_length
from sites.compute.figures import Figures
from sites.compute.working import Input, Working

WATCH_MINUTES: Final = 30
WATCH_RULE: Final = "29 CFR 1910.252(a)(2)(iii)"
CLEAR_RULE: Final = "29 CFR 1910.252(a)(2)"
IRON_RULE: Final = "NFPA 1 (2015) chapter 41, after NFPA 51B 1.3.2"
FIRE_CODE: Final = "Fire code"


def hot_work(facts: SheetFacts, figures: Figures) -> SheetCaution | None:
    """Return the caution for a flame or an iron; an iron keeps the same watch, as the usual care.

    Raises FigureError where the fire code's minutes are not among the figures.
    """
    if facts.hot_work == NO_HEAT:
        return None
    what = "open flame" if facts.hot_work == FLAME else "electric soldering iron"
    clear = published_length(35, "11", facts.units)
    lines = [
        SafetyLine(
            US,
            f"What can burn is cleared, covered or watched within {clear}, and so are openings "
            f"in floors and walls within it.",
            CLEAR_RULE,
        ),
        _watch(figures),
    ]
    if facts.hot_work == IRON:
        lines.append(
            SafetyLine(
                FIRE_CODE,
                "Electric soldering irons stand outside the hot-work chapter, open flames inside. "
                "Many insurers of churches ask for the permit all the same.",
                IRON_RULE,
            )
        )
    return SheetCaution(
        "hot-work",
        f"Hot work: {what}",
        "Have the owner's permit and the insurer's answer in writing before the first joint. "
        "Extinguisher at hand, detectors isolated only by who may, none of it late in the day.",
        tuple(lines),
    )


def fume(facts: SheetFacts) -> SheetCaution | None:
    """Return the caution for flux and fume, wherever something is soldered."""
    if facts.hot_work == NO_HEAT:
        return None
    return SheetCaution(
        "flux-and-solvent-fume",
        "Flux and fume",
        "Draw fume away from the face, air the place, gloves and eye protection by the maker's "
        "safety sheet. No acid cleaner on any account.",
    )


def _watch(figures: Figures) -> SafetyLine:
    code = figures["safety.fire_watch"]
    longest = max(WATCH_MINUTES, int(code.value))
    return SafetyLine(
        ANYWHERE,
        f"Watch for at least {longest} minutes after the last flame or iron: "
        f"{WATCH_MINUTES} by the United States workplace rule, {code.shown} by the fire code.",
        f"{WATCH_RULE}; {code.source}",
        Working(
            "The longer of the two counts",
            (
                Input("Workplace rule", f"{WATCH_MINUTES} min", "default", WATCH_RULE),
                code.as_input("Fire code"),
            ),
            f"{longest} min",
            WATCH_RULE,
            "The permit, the insurer or the fire authority may ask for longer.",
        ),
    )
