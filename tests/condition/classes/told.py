"""Situations told in a glazier's words, one a line, read into what the rules ask about."""

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from condition.compute.classes.situation import Situation

ROOT = Path(__file__).resolve().parents[3]
KINDS = {
    entry["name"].lower(): entry
    for entry in tomllib.loads(
        (ROOT / "fixtures" / "vocabulary" / "finding_kinds.toml").read_text(encoding="utf-8")
    )["kind"]
}
EXTENTS = {
    "scattered": "isolated",
    "single": "isolated",
    "together": "grouped",
    "in a line": "along one line",
    "throughout": "throughout",
}
UNITS = {"mm": "mm", "% of area": "percent of area", "% of pieces": "percent of pieces"}
WITH = {
    "": {},
    "in a head": {"part": "head or hand"},
    "in lettering": {"part": "inscription"},
    "in the border": {"part": "border"},
    "can hurt someone": {"hazard": True},
    "people below": {"people_below": True},
    "water comes in": {"water": True},
    "has grown": {"grown": True},
    "outstanding window": {"significance": "outstanding"},
    "one more lost": {"one_more_lost": True},
    "other damage": {"other_damage": True},
    "diagnosed": {"diagnosed": True},
}


class Told(NamedTuple):
    """One line of the table."""

    words: str
    situation: Situation
    levels: tuple[int, int, int]
    because: str


def read(line: str) -> Told:
    """Return a line `what | how much | how it lies | with what | classes | because`."""
    what, amount, lies, beside, classes, because = (cell.strip() for cell in line.split("|"))
    kind = KINDS[what.lower()]
    said: dict[str, object] = {}
    for words in beside.split(","):
        said |= WITH[words.strip()]
    situation = Situation(
        kind=kind["code"], group=kind["group"], extent=EXTENTS[lies], **_amount(amount), **said
    )
    condition, urgency, recommendation = (int(level) for level in classes.split())
    return Told(line.strip(), situation, (condition, urgency, recommendation), because)


def table(lines: str) -> list[Told]:
    """Return every line but those that begin with #."""
    rows = (line.strip() for line in lines.splitlines())
    return [read(line) for line in rows if line and not line.startswith("#")]


def _amount(words: str) -> dict[str, object]:
    if not words:
        return {}
    number, _space, rest = words.partition(" ")
    said: dict[str, object] = {"amount": Decimal(number)}
    if not rest:
        return {**said, "unit": "count"}
    if rest.startswith("of "):
        return {**said, "unit": "count", "of_total": int(rest[3:])}
    if rest.startswith("mm out of flat"):
        span = rest.removeprefix("mm out of flat").strip().removeprefix("over ")
        over = {"span_mm": Decimal(span.removesuffix(" mm"))} if span else {}
        return {**said, "unit": "mm out of plane", **over}
    return {**said, "unit": UNITS[rest]}
