"""What lies hidden: asbestos in old putty and old parts, and animals that nest or roost."""

from typing import Final

from condition.compute.safety.facts import (
    CLEAR,
    FOUND,
    NONE_HERE,
    US,
    SafetyLine,
    SheetCaution,
    SheetFacts,
)
from condition.compute.safety.limits import M2_PER_SQUARE_FOOT, MM_PER_FOOT
from condition.compute.safety.units import area_words, length_words
from sites.compute.working import Input, Working

NOTICE_RULE: Final = "40 CFR 61.145, from memory"
NOTICE_FEET, NOTICE_FT2, NOTICE_FT3 = 260, 160, 35


def asbestos(facts: SheetFacts) -> SheetCaution | None:
    """Return the caution for putty and old parts; one that nobody has tested counts as asbestos."""
    there = {"Old putty": facts.putty, "Old heating or electrical parts": facts.heating}
    states = {name: state for name, state in there.items() if state != NONE_HERE}
    if not states:
        return None
    if all(state == CLEAR for state in states.values()):
        return SheetCaution(
            "asbestos",
            "Old putty and old parts: tested, clear",
            "Keep the laboratory's report on site. Whatever the sample did not cover is suspect.",
        )
    found = [name.lower() for name, state in states.items() if state == FOUND]
    untested = [name.lower() for name, state in states.items() if state not in (FOUND, CLEAR)]
    do = "Stop, leave it alone, close the place off; only licensed people take it away. "
    if not found:
        do = "Do not cut, scrape, heat or drill it before a laboratory has cleared it. "
    return SheetCaution(
        "asbestos",
        f"Asbestos found: {' and '.join(found)}" if found else "Asbestos not ruled out",
        do + "Local law decides on testing, removal and waste.",
        (_notice(facts),),
        tuple(f"Not tested, so treated as asbestos: {name}." for name in untested),
    )


def _notice(facts: SheetFacts) -> SafetyLine:
    length = length_words(NOTICE_FEET * MM_PER_FOOT, facts.units)
    area = area_words(NOTICE_FT2 * M2_PER_SQUARE_FOOT, facts.units)
    published = f"{NOTICE_FEET} ft, {NOTICE_FT2} ft² or {NOTICE_FT3} ft³"
    return SafetyLine(
        US,
        f"Notice to the authority is due from {published} of it. The amount is not recorded "
        "here: count it.",
        NOTICE_RULE,
        Working(
            "Notice where any one of the three amounts is reached",
            (
                Input("Along it", f"{NOTICE_FEET} ft ({length})", "default", NOTICE_RULE),
                Input("Area", f"{NOTICE_FT2} ft² ({area})", "default", NOTICE_RULE),
                Input("Volume", f"{NOTICE_FT3} ft³ (0.99 m³)", "default", NOTICE_RULE),
                Input("Amount here", "not recorded", "entered"),
            ),
            f"due from {published}",
            NOTICE_RULE,
            "The state or the district may ask for notice of less.",
        ),
    )


def nesting(facts: SheetFacts) -> SheetCaution | None:
    """Return the caution for birds and bats."""
    if not facts.nesting:
        return None
    return SheetCaution(
        "nesting-birds-and-bats",
        "Nesting birds, roosting bats",
        "Stop and ask the wildlife authority or a licensed ecologist: disturbing them can be an "
        "offence. Droppings are never brushed dry; the protection that health rules ask for.",
    )
