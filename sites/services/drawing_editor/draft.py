"""A window as it is typed, made into records that are not saved, and divided as they would be."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final, NamedTuple

from sites.compute.division import Division
from sites.compute.geometry.outlines import OutlineError
from sites.models import AttachedItem, Bar, Opening, Panel
from sites.services.shapes import division_as_recorded, is_measured

# Where the word of the geometry and the name of the box differ.
BOX_OF_FIELD: Final = {
    "shape": "head",
    "points": "corners",
    "row_heights": "rows",
    "light_small_radius": "light_head",
}
ONE_BY_ONE: Final = {"bars": "bar", "tracery": "tracery"}


@dataclass
class Draft:
    """What would be saved. Panels are here only where they are tracery lights."""

    opening: Opening
    bars: list[Bar]
    tracery: list[Panel]
    items: list[AttachedItem]

    @property
    def to_scale(self) -> bool:
        """Whether both sizes are there."""
        return is_measured(self.opening)


class Refusal(NamedTuple):
    """What cannot be, beside which box: a name of a single box, or kind, row and box."""

    box: str
    words: str
    kind: str = ""
    place: int = -1


def divided(draft: Draft) -> tuple[Division | None, list[Refusal]]:
    """Return the window divided, or None with what stands in the way."""
    try:
        division = division_as_recorded(draft.opening, draft.tracery, draft.bars)
    except OutlineError as error:
        return None, [_refusal(draft, error)]
    refusals = [*_bars_outside(draft, division), *_items_astray(draft, division)]
    return division, refusals


def _refusal(draft: Draft, error: OutlineError) -> Refusal:
    if error.field in ONE_BY_ONE:
        kind = ONE_BY_ONE[error.field]
        rows: Sequence[object] = draft.bars if kind == "bar" else draft.tracery
        place = _first_refused(draft, error.field, len(rows))
        if place is not None:
            return Refusal("height" if kind == "bar" else "x", str(error), kind, place)
    return Refusal(BOX_OF_FIELD.get(error.field, error.field), str(error))


def _first_refused(draft: Draft, field: str, count: int) -> int | None:
    """The first row with which the window can no longer be divided."""
    for upto in range(1, count + 1):
        part = (
            replace(draft, bars=draft.bars[:upto])
            if field == "bars"
            else replace(draft, tracery=draft.tracery[:upto])
        )
        try:
            division_as_recorded(part.opening, part.tracery, part.bars)
        except OutlineError as error:
            if error.field == field:
                return upto - 1
    return None


def _bars_outside(draft: Draft, division: Division) -> list[Refusal]:
    drawn = {bar.key for bar in division.bars}
    top = division.outline.ring.box.top
    return [
        Refusal(
            "height",
            f"No light is {float(bar.height_mm or 0):.0f} mm high there: the opening ends at "
            f"{top:.0f} mm above the sill. A bar must cross a light.",
            "bar",
            place,
        )
        for place, bar in enumerate(draft.bars)
        if str(bar.pk) not in drawn
    ]


def _items_astray(draft: Draft, division: Division) -> list[Refusal]:
    """Items further off the opening than it is wide or high: a slip of typing."""
    box = division.outline.ring.box
    astray = []
    for place, item in enumerate(draft.items):
        if item.x_mm is None or item.y_mm is None:
            continue
        x, y = float(item.x_mm), float(item.y_mm)
        if not -box.width <= x <= 2 * box.width:
            words = f"That is beside the wall: the opening is {box.width:.0f} mm wide."
            astray.append(Refusal("x", words, "plaque", place))
        if not -box.height <= y <= 2 * box.height:
            words = f"That is far off the window: the opening is {box.height:.0f} mm high."
            astray.append(Refusal("y", words, "plaque", place))
    return astray
