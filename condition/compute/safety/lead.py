"""Lead: in the air of the work, in the blood, and in old paint where small children are."""

from decimal import Decimal
from typing import Final

from condition.compute.safety.facts import EU, FLAME, UK, US, SafetyLine, SheetCaution, SheetFacts
from condition.compute.safety.limits import (
    LEAD_ACTION_UG_M3,
    LEAD_LIMIT_UG_M3,
    WHOLE_DAY_HOURS,
    allowable_lead_in_air,
    is_child_occupied,
    is_minor_work,
    square_feet,
)
from condition.compute.safety.units import area_words
from sites.compute.figures import Figures
from sites.compute.plain_numbers import plain_number
from sites.compute.working import Input, Working

AIR_RULE: Final = "29 CFR 1926.62(b) and (c)"
BLOOD_RULE: Final = "29 CFR 1926.62(k), from memory"
UK_RULE: Final = "Control of Lead at Work Regulations 2002"
PAINT_RULE: Final = "40 CFR 745.83"
TENTH: Final = Decimal("0.1")


def lead(facts: SheetFacts, figures: Figures) -> SheetCaution | None:
    """Return the caution for lead came, solder and old paint.

    Raises FigureError where a figure it reckons with is not listed.
    """
    if not (facts.lead or facts.old_paint):
        return None
    unknown: tuple[str, ...] = ()
    if facts.hours is None:
        unknown = (
            "The hours of such work a day are not recorded: a day of "
            f"{figures['safety.long_day'].shown} is reckoned with.",
        )
    return SheetCaution(
        "lead",
        "Lead in came, solder, old paint and dust",
        "Work wet, never sand or scrape dry. No food or drink near; wash before eating and "
        "leaving; work clothes stay here. Waste goes into closed, marked containers to a "
        "licensed recycler.",
        (_us_air(facts, figures), _us_blood(), *_uk(), _eu(figures)),
        unknown,
    )


def _us_air(facts: SheetFacts, figures: Figures) -> SafetyLine:
    hours = facts.hours if facts.hours is not None else figures.value("safety.long_day")
    limit = plain_number(allowable_lead_in_air(hours).quantize(TENTH))
    long = hours > WHOLE_DAY_HOURS
    day = f"{plain_number(hours)} h"
    how = f"400 ÷ {plain_number(hours)}" if long else "averaged over 8 h"
    entered = facts.hours is not None
    return SafetyLine(
        US,
        f"In the air of a day of {day}: at most {limit} µg/m³ ({how}). Duties begin at "
        f"{LEAD_ACTION_UG_M3} µg/m³ over 8 h, respirator or not.",
        AIR_RULE,
        Working(
            "Up to 8 h a day: 50 µg/m³ averaged over 8 h. Longer: 400 ÷ hours",
            (
                Input("Hours a day", day, "entered")
                if entered
                else figures.input("safety.long_day", "Hours a day, not recorded"),
                Input("Limit over 8 h", f"{LEAD_LIMIT_UG_M3} µg/m³", "default", AIR_RULE),
            ),
            f"{limit} µg/m³",
            AIR_RULE,
            "Only air sampling shows what is in the air: this is the limit, not a measurement.",
        ),
        topic="air",
    )


def _us_blood() -> SafetyLine:
    return SafetyLine(
        US,
        "At 50 µg/dL in the blood: off the work, back below 40 µg/dL.",
        BLOOD_RULE,
        topic="blood",
    )


def _uk() -> tuple[SafetyLine, SafetyLine]:
    return (
        SafetyLine(
            UK,
            "In air 0.15 mg/m³ over 8 h. Under review: confirm before relying on it.",
            UK_RULE,
            topic="air",
        ),
        SafetyLine(
            UK,
            "In blood, action and suspension: 50 and 60 µg/dL; women able to bear children "
            "25 and 30; under 18, 40 and 50.",
            UK_RULE,
            topic="blood",
        ),
    )


def _eu(figures: Figures) -> SafetyLine:
    limit = figures["safety.eu_lead_air"]
    return SafetyLine(EU, f"In air {limit.shown} over 8 h.", limit.source, topic="air")


def old_paint(facts: SheetFacts) -> SheetCaution | None:
    """Return the caution for old paint where small children are, or are not ruled out."""
    if not (facts.old_paint or facts.window_replaced):
        return None
    occupied = is_child_occupied(facts.built_year, facts.children)
    return SheetCaution(
        "lead-paint-small-children",
        "Old paint and children under 6",
        "Take paint from before 1978 for lead paint until tested. Sheet off the place, no flame "
        "or dry scraping, clean up with wet cloths and a fine-filter vacuum, let no child back "
        "in before.",
        (_paint_line(facts, occupied),),
        tuple(_not_known(facts, occupied)),
    )


def _paint_line(facts: SheetFacts, occupied: bool | None) -> SafetyLine:
    minor = is_minor_work(
        *_areas(facts), window_replaced=facts.window_replaced, torch=facts.hot_work == FLAME
    )
    if occupied is False:
        verdict = "not a child-occupied facility: this rule does not apply; lead remains lead"
    elif minor:
        verdict = "minor work: exempt, with jobs in the same room within 30 days added together"
    else:
        verdict = "the rule applies: certified firm and renovator, and its way of working"
    return SafetyLine(
        US,
        f"Renovation rule where the same child under 6 is at least 2 days a week, 3 h each: "
        f"{verdict}.",
        PAINT_RULE,
        Working(
            "Applies where child-occupied and more than minor: over 6 ft² in a room or 20 ft² "
            "outside, or a window replaced, or paint burnt off. Not known counts as yes",
            _paint_inputs(facts, occupied),
            verdict,
            PAINT_RULE,
            "State programmes may be stricter; homes fall under the rule without any child there.",
        ),
    )


def _areas(facts: SheetFacts) -> tuple[Decimal | None, Decimal | None]:
    inside, outside = (
        None if area is None else square_feet(area) for area in (facts.inside_m2, facts.outside_m2)
    )
    return inside, outside


def _paint_inputs(facts: SheetFacts, occupied: bool | None) -> tuple[Input, ...]:
    use = facts.children
    year = use.hours_a_year
    return (
        Input("Built", str(facts.built_year or "not recorded"), "entered"),
        Input("Days a week", _said(use.days_a_week), "entered"),
        Input("Hours each time", _said(use.hours_a_day), "entered"),
        Input("Hours a year, of 60", _said(year), "computed"),
        Input("Child-occupied", _answer(occupied), "computed", PAINT_RULE),
        Input("In one room", _area(facts.inside_m2, facts.units), "entered"),
        Input("Outside", _area(facts.outside_m2, facts.units), "entered"),
        Input("A window replaced", _answer(facts.window_replaced), "entered"),
    )


def _not_known(facts: SheetFacts, occupied: bool | None) -> list[str]:
    told = []
    if occupied is None:
        told.append(
            "When it was built, or how often small children come, is not all recorded: they are "
            "taken to be there."
        )
    if occupied is not False and None in (facts.inside_m2, facts.outside_m2):
        told.append("The area of paint disturbed is not all recorded: it is taken to be large.")
    return told


def _said(value: Decimal | int | None) -> str:
    return "not recorded" if value is None else plain_number(Decimal(value))


def _area(m2: Decimal | None, units: str) -> str:
    return "not recorded" if m2 is None else area_words(m2, units)


def _answer(answer: bool | None) -> str:
    return {True: "yes", False: "no", None: "not known, so taken as yes"}[answer]
