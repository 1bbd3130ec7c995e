"""Wrong inputs for each kind of record: from what its data declares, and values at odds."""

import random
from dataclasses import dataclass, field

from restoration.compute.estimate_rules import ActionData
from restoration.compute.visit_folder import layout
from restoration.services.action_recording import ACTIONS
from sites.compute import record_fields as rules
from sites.compute.register_data import FixingData, ItemData, OpeningData, PanelData
from sites.services.register_recording import FIXINGS, ITEMS, OPENINGS, PANELS

WINDOW = {"number": "nII", "width": "1000", "height": "2000", "head": "two-centred",
          "springing": "1200", "lights": "2"}  # fmt: skip
# What a page has chosen of itself.
CHOSEN = {"wall": "north", "level": "ground", "protective_glazing": "none", "material": "brass",
          "host_state": "weak", "lettering": "bold", "alignment": "left", "placement": "in place",
          "option": "must"}  # fmt: skip
# What a value is never given without.
BESIDE = {
    "x_mm": {"y_mm": "500"},
    "y_mm": {"x_mm": "500"},
    "lump_sum": {"lump_sum_reason": "agreed"},
    "lump_sum_reason": {"lump_sum": "100"},
}
TRACERY = {"number": "A1", "shape": "roundel", "x_mm": "500", "y_mm": "1500", "width": "200"}


@dataclass(frozen=True)
class Kind:
    """A kind of record: its data, its good values as they are typed, its sheet, its service."""

    data: type
    good: dict[str, str]
    table: layout.Table
    recording: object
    # Values at odds: what is typed, beside what is good.
    odds: tuple[dict[str, str], ...] = ()
    # Not every path has these lists: an outline by corners, a wall of other words, the spelling.
    left_out: tuple[str, ...] = field(default=())


KINDS = {
    "opening": Kind(
        OpeningData,
        WINDOW,
        layout.OPENINGS,
        OPENINGS,
        (
            {"springing": "2000"},
            {"springing": "2500"},
            {"head": "semicircular"},
            {"head": "segmental", "springing": "1000"},
            {"light_widths": "400; 500; 600"},
            {"light_widths": "400"},
            {"light_widths": "600; 700"},
            {"mullion": "1000"},
            {"mullion": "1200", "lights": "3"},
            {"light_head": "two-centred", "light_springing": "2400"},
            {"height": "300"},
        ),
        ("wall",),
    ),
    "panel": Kind(
        PanelData,
        {"number": "3b"},
        layout.PANELS,
        PANELS,
        (
            {"x_mm": "500"},
            {"y_mm": "500"},
            {**TRACERY, "x_mm": "5000"},
            {**TRACERY, "y_mm": "3000"},
            {**TRACERY, "x_mm": "10", "y_mm": "1990"},
            {**TRACERY, "width": "1500", "shape": "rectangle"},
            {**TRACERY, "shape": "ellipse", "height": "70000"},
            {"pieces": "10", "crossings": "10"},
            {"pieces": "10", "ringed_pieces": "10"},
            {"pieces": "10", "plated_pieces": "11"},
            {"pieces": "10", "crossings": "400", "plated_pieces": "12"},
        ),
    ),
    "item": Kind(
        ItemData,
        {"number": "P7", "kind": "plaque"},
        layout.ITEMS,
        ITEMS,
        (
            {"x_mm": "500"},
            {"y_mm": "500"},
            {"x_mm": "2500", "y_mm": "500"},
            {"x_mm": "-1500", "y_mm": "500"},
            {"x_mm": "500", "y_mm": "4500"},
            {"x_mm": "9000", "y_mm": "9000"},
        ),
    ),
    "fixing": Kind(
        FixingData,
        {"kind": "strap", "count": "2", "state": "sound", "holds_on_to": "lead"},
        layout.FIXINGS,
        FIXINGS,
    ),
    "action": Kind(
        ActionData,
        {"difficulty": "1", "phase": "1"},
        layout.ACTIONS,
        ACTIONS,
        (
            {"quantity": "1.5"},
            {"lump_sum": "100"},
            {"lump_sum_reason": "agreed"},
            {"lump_sum": "100.0050", "lump_sum_reason": "agreed"},
            {"lump_sum": "100.0050", "quantity": "2.5"},
        ),
        ("option",),
    ),
}  # fmt: skip


def wrong_values(rule):
    """Texts that cannot be, for a value of one rule; the numbers are drawn by a seed."""
    drawn = random.Random(repr(rule))
    if rule.required:
        yield ""
    if isinstance(rule, rules.OldDateWords):
        yield from ("31/02/1998", "yesteryear")
    elif isinstance(rule, rules.Words):
        yield "x" * (rule.longest + drawn.randint(1, 9))
    elif isinstance(rule, rules.Choice):
        yield "none of these"
    elif isinstance(rule, rules.Whole):
        yield str(rule.highest + drawn.randint(1, 99))
        yield str(rule.lowest - 1)
    elif isinstance(rule, rules.Number):
        yield str(rule.highest + drawn.randint(1, 99))
        yield str(int(rule.lowest) - drawn.randint(1, 9))
        # Four places or more: three could also be thousands, which is asked about.
        yield f"{rule.highest - 1}.{'0' * max(rule.places, 3)}7"
    elif isinstance(rule, rules.Size):
        yield from ("-4", "wide")


def cases_of(kind):
    columns = {column.target for column in kind.table.columns}
    single = [
        {**BESIDE.get(name, {}), name: text}
        for name, rule in rules.rules_of(kind.data).items()
        if name in columns and name not in kind.left_out and not isinstance(rule, rules.Key)
        for text in wrong_values(rule)
        # The boxes of a place round it to a hundredth of a millimetre: it may be typed in inches.
        if not (name in ("x_mm", "y_mm") and text.endswith("7") and "." in text)
    ]
    return [*single, *kind.odds]


def leaves_open(kind, case):
    """Whether it is an empty cell, which says nothing: the record is as it is of itself."""
    needed = {column.target for column in kind.table.columns if column.required}
    return any(not text and name not in needed for name, text in case.items())
