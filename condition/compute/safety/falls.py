"""What falls: things onto people below, and people from where they stand."""

from decimal import Decimal
from typing import Final

from condition.compute.safety.facts import (
    FLOOR,
    LADDER,
    LIFT,
    SCAFFOLD,
    TOWER,
    UK,
    US,
    SafetyLine,
    SheetCaution,
    SheetFacts,
)
from condition.compute.safety.limits import (
    FALL_PROTECTION_MM,
    SCAFFOLD_MM,
    ladder_angle,
    ladder_foot,
    ladder_length,
    needs_fall_protection,
    needs_scaffold_protection,
)
from condition.compute.safety.units import length_words, published_length
from sites.compute.working import Input, Working

FALLS_RULE: Final = "29 CFR 1926.501(b)(1)"
SCAFFOLD_RULE: Final = "29 CFR 1926.451(g)(1), from memory"
LADDER_RULE: Final = "29 CFR 1926.1053(b)(1) and (5)"
UK_HEIGHT_RULE: Final = "Work at Height Regulations 2005, from memory"
BY_ACCESS: Final = {
    FLOOR: "Work from the floor. Do not climb on pews, sills or furniture to see better.",
    LADDER: "Tie or foot the ladder, face it, keep three points of contact, and carry nothing up.",
    TOWER: "Put the tower up by its maker's sheet, brakes on, rails all round, nobody on it moved.",
    SCAFFOLD: "Go up only a scaffold that a competent person has inspected and signed.",
    LIFT: "Only trained people drive the lift; harness clipped on; check what the floor carries.",
}


def people_below(facts: SheetFacts) -> SheetCaution | None:
    """Return the caution for whoever is underneath; not said counts as people there."""
    if facts.people_below is False:
        return None
    unknown = () if facts.people_below else ("Whether people pass below is not recorded.",)
    return SheetCaution(
        "falling-glass-and-plaques",
        "People below",
        "Close the floor and the ground under the work, inside and outside, before anything "
        "is touched. Somebody keeps the barrier while work goes on. Tie tools to the wrist.",
        unknown=unknown,
    )


def at_height(facts: SheetFacts) -> SheetCaution | None:
    """Return the caution for work above the ground; nothing to say of work from the floor."""
    if facts.access == FLOOR:
        return None
    unknown: tuple[str, ...] = ()
    if facts.height_mm is None:
        unknown = ("The height is not recorded: it is taken to be above every limit here.",)
    lines = [_fall_protection(facts), _uk_height()]
    if facts.access in (TOWER, SCAFFOLD):
        lines.append(_scaffold(facts))
    if facts.access == LADDER:
        lines.append(_ladder(facts))
    return SheetCaution(
        "work-at-height", "Work at height", BY_ACCESS[facts.access], tuple(lines), unknown
    )


def _fall_protection(facts: SheetFacts) -> SafetyLine:
    limit = published_length(6, "1.8", facts.units)
    needed = needs_fall_protection(facts.height_mm)
    verdict = "needed here" if needed else "not asked for by this rule here"
    return SafetyLine(
        US,
        f"Open edges are protected against falls from {limit} up: {verdict}.",
        FALLS_RULE,
        _compared("Fall protection", facts, limit, FALL_PROTECTION_MM, verdict, FALLS_RULE),
        topic="falls",
    )


def _scaffold(facts: SheetFacts) -> SafetyLine:
    limit = published_length(10, "3", facts.units)
    needed = needs_scaffold_protection(facts.height_mm)
    verdict = "needed here" if needed else "not asked for by this rule here"
    return SafetyLine(
        US,
        f"On a scaffold, rails or harness above {limit}: {verdict}.",
        SCAFFOLD_RULE,
        _compared("Rails or harness", facts, limit, SCAFFOLD_MM, verdict, SCAFFOLD_RULE),
    )


def _uk_height() -> SafetyLine:
    return SafetyLine(
        UK,
        "No least height: wherever a fall could injure, the work is planned, supervised and done "
        "by competent people, and avoided where it can be.",
        UK_HEIGHT_RULE,
        topic="falls",
    )


def _ladder(facts: SheetFacts) -> SafetyLine:
    rails = published_length(3, "0.9", facts.units)
    rule = f"Its rails stand {rails} above a landing it leads to."
    if facts.height_mm is None:
        return SafetyLine(US, f"Foot out by a quarter of its working length. {rule}", LADDER_RULE)
    length = ladder_length(facts.height_mm)
    foot = length_words(ladder_foot(length), facts.units)
    return SafetyLine(
        US,
        f"For a top support at {length_words(facts.height_mm, facts.units)} the foot stands "
        f"{foot} out: a quarter of the working length. {rule}",
        LADDER_RULE,
        Working(
            "Foot out = working length ÷ 4; working length = height × 4 ÷ √15",
            (
                Input("Height of the top support", _height(facts), "entered"),
                Input("Working length", length_words(length, facts.units), "computed"),
                Input("Angle to the ground", f"{ladder_angle():.1f}°", "computed"),
            ),
            foot,
            LADDER_RULE,
            "The maker's sheet of the ladder decides where it says otherwise.",
        ),
    )


def _compared(
    what: str, facts: SheetFacts, limit: str, limit_mm: Decimal, verdict: str, source: str
) -> Working:
    return Working(
        f"{what} where the height reaches the limit; a height not recorded does",
        (
            Input("Height of the work", _height(facts), "entered"),
            Input("Limit", f"{limit} = {limit_mm.normalize():f} mm", "default", source),
        ),
        verdict,
        source,
    )


def _height(facts: SheetFacts) -> str:
    if facts.height_mm is None:
        return "not recorded"
    return length_words(facts.height_mm, facts.units)
