"""A rule in words: what it asks, and what it gives."""

from typing import Final

from condition.compute.classes.rules import CLASSES, RAISES, Rule
from condition.compute.classes.situation import EXTENTS, OUT_OF_PLANE
from sites.compute.plain_numbers import plain_number

NO_CLASS: Final = "no class"
UNITS: Final = {
    "count": "in number",
    "percent of pieces": "% of pieces",
    "percent of area": "% of area",
}
CIRCUMSTANCE_WORDS: Final = {
    "": "",
    "all of them": "all of it is affected",
    "important part": "a head, a hand, an inscription or a signature in the glass is affected",
    "can fall on people": "it can hurt someone and people pass below",
    "can fall": "it can hurt someone",
    "water": "water comes in",
    "grown": "it has grown by more than it can be measured",
    "one more lost": "with one more fixing lost the rest do not carry it",
    "one more over people": (
        "with one more fixing lost the rest do not carry it, and people pass below"
    ),
    "with other damage": "folds, cracked glass, or failed joints, leads or ties are on its panel",
    "outstanding": "glass or paint of an outstanding window is affected",
}


def asked_in_words(rule: Rule) -> str:
    """Return what a rule asks: `2 % or more of the whole, and 4 or more in number`."""
    parts = [
        _extent(rule),
        _amount(rule),
        _share(rule),
        f"{rule.least_count} or more in number while some remain" if rule.least_count else "",
        CIRCUMSTANCE_WORDS.get(rule.when, rule.when),
    ]
    words = ", and ".join(part for part in parts if part)
    return words[:1].upper() + words[1:] if words else "Always"


def given_in_words(rule: Rule) -> str:
    """Return what a rule gives: `condition 2, urgency 1`, or `raises urgency by 1`."""
    levels = [(name, level) for name in CLASSES if (level := rule.level(name)) is not None]
    if rule.effect == RAISES:
        return "raises " + ", ".join(f"{name} by {level}" for name, level in levels)
    return ", ".join(f"{name} {level}" for name, level in levels) or NO_CLASS


def _extent(rule: Rule) -> str:
    return f"{rule.extent} or further" if rule.extent in EXTENTS[1:-1] else rule.extent


def _amount(rule: Rule) -> str:
    unit = UNITS.get(rule.unit, rule.unit)
    if rule.at_least is None:
        return f"recorded in {rule.unit}" if rule.unit else ""
    return f"{plain_number(rule.at_least)} {unit} or more"


def _share(rule: Rule) -> str:
    if rule.share_at_least is None:
        return ""
    whole = "its span" if rule.unit == OUT_OF_PLANE else "the whole"
    return f"{plain_number(rule.share_at_least)} % or more of {whole}"
