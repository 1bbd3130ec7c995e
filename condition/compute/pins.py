"""Where the numbered pins of findings go on a drawn part, so that none hides another."""

from math import ceil
from typing import Final

# In units of the drawing. The largest is used that lets all pins of a part stand inside it.
RADII: Final = (20.0, 17.0, 14.0, 12.0)
GAP: Final = 2.0


def place_pins(
    middle: tuple[float, float], width: float, height: float, count: int
) -> tuple[float, list[tuple[float, float]]]:
    """Return the radius of the pins and the middle of each, in rows about the middle given.

    middle: where the part has room, in units of the drawing; width and height: of that room.

    Where even the smallest do not fit they keep their size and reach beyond the part: they
    never lie on one another. Raises ValueError for less than one pin.
    """
    if count < 1:
        raise ValueError(f"there are no {count} pins to place")
    radius = next((each for each in RADII if _fits(each, width, height, count)), RADII[-1])
    step = 2 * radius + GAP
    in_row = min(count, _in_row(radius, width))
    rows = ceil(count / in_row)
    places = []
    for number in range(count):
        row, place = divmod(number, in_row)
        here = min(in_row, count - row * in_row)
        places.append(
            (
                round(middle[0] + (place - (here - 1) / 2) * step, 1),
                round(middle[1] + (row - (rows - 1) / 2) * step, 1),
            )
        )
    return radius, places


def _in_row(radius: float, width: float) -> int:
    return max(1, int((width + GAP) // (2 * radius + GAP)))


def _fits(radius: float, width: float, height: float, count: int) -> bool:
    step = 2 * radius + GAP
    if width < 2 * radius or height < 2 * radius:
        return False
    return ceil(count / _in_row(radius, width)) * step - GAP <= height
