"""Plates and lines of fixings for tests: an invented brass plate of 286.875 g, on sound lead."""

from datetime import date

from sites.compute.fixings.capacity import FixingLine
from sites.compute.fixings.item_mass import ItemFacts

TODAY = date(2026, 6, 1)
PLATE = ItemFacts("brass", 150, 75, 3)


def line(kind="soldered tab", count=4, state="sound", **facts):
    sized = (
        {"width_mm": 6.0, "length_mm": 10.0} if kind in ("soldered tab", "silicone bead") else {}
    )
    given = {"host": "lead", "host_state": "sound", **sized, **facts}
    return FixingLine(kind, count, state, **given)
