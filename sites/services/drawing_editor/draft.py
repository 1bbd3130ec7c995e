"""A window as it is typed, made into records that are not saved, and divided as they would be."""

from dataclasses import dataclass
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
    return division, _bars_outside(draft, division)


def _refusal(draft: Draft, error: OutlineError) -> Refusal:
    for kind, box, rows in (("bar", "height", draft.bars), ("tracery", "x", draft.tracery)):
        for place, row in enumerate(rows):
            if str(row.pk) == error.part:
                return Refusal(box, str(error), kind, place)
    return Refusal(BOX_OF_FIELD.get(error.field, error.field), str(error))


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
