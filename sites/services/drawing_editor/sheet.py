"""What stands in the boxes of the editor: plain texts, so that nothing typed is ever lost."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from sites.compute.plain_json import plain_json
from sites.compute.plausible import SURE

Row = dict[str, str]

BAR_BOXES: Final = (
    "key",
    "kind",
    "height",
    "light",
    "section",
    "width",
    "depth",
    "material",
)
TRACERY_BOXES: Final = (
    "key",
    "number",
    "shape",
    "x",
    "y",
    "width",
    "height",
    "turn",
    "foils",
    "points",
)
PLAQUE_BOXES: Final = ("key", "number", "kind", "x", "y", "width", "height", "inscription")
ROW_BOXES: Final = {"bar": BAR_BOXES, "tracery": TRACERY_BOXES, "plaque": PLAQUE_BOXES}
ROW: Final = re.compile(rf"(bar|tracery|plaque)-(\d{{1,3}})-([a-z]+(?:{SURE})?)")
MOST_ROWS: Final = 200


@dataclass
class Sheet:
    """The single boxes by name, and the rows of boxes: bars, tracery lights, attached items.

    laid: what was laid out last, so that what has since been moved by hand is left alone.
    """

    boxes: dict[str, str] = field(default_factory=dict)
    bars: list[Row] = field(default_factory=list)
    tracery: list[Row] = field(default_factory=list)
    plaques: list[Row] = field(default_factory=list)
    laid: dict[str, Any] = field(default_factory=dict)
    changed: set[str] = field(default_factory=set)

    def set_box(self, name: str, text: str) -> None:
        """Fill a single box in the user's place, and remember that it was filled."""
        if self.boxes.get(name, "") != text:
            self.boxes[name] = text
            self.changed.add(name)


def posted_sheet(data: Mapping[str, str], names: Iterable[str]) -> Sheet:
    """Return the boxes as they were sent. names: the single boxes there are."""
    rows: dict[str, dict[int, Row]] = {kind: {} for kind in ROW_BOXES}
    for name in data:
        if found := ROW.fullmatch(name):
            kind, place, box = found.groups()
            if box.removesuffix(SURE) in ROW_BOXES[kind]:
                rows[kind].setdefault(int(place), {})[box] = data[name]
    ordered = {kind: [row for _, row in sorted(rows[kind].items())][:MOST_ROWS] for kind in rows}
    return Sheet(
        boxes={name: data[name] for each in names for name in (each, each + SURE) if name in data},
        bars=ordered["bar"],
        tracery=ordered["tracery"],
        plaques=ordered["plaque"],
        laid=_laid(data.get("laid", "")),
    )


def _laid(text: str) -> dict[str, Any]:
    """What the page remembers of the last layout; anything unreadable is no memory."""
    try:
        laid = plain_json(text)
    except ValueError:
        return {}
    return laid if isinstance(laid, dict) else {}
