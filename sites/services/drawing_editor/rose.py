"""The lights of a rose: a ring of equal circles, about a middle one where there are many."""

import math
from typing import Final

from sites.compute.division import TracerySpec
from sites.compute.geometry.rings import Box

# From so many on, one stands in the middle and the others about it.
FEWEST_ABOUT_A_MIDDLE: Final = 5


def rose_lights(box: Box, count: int) -> tuple[TracerySpec, ...]:
    """Return `count` roundels within the circle of a box, numbered by rows from below.

    Source: n equal circles that touch each other inside a circle of radius R have the radius
    R sin(π/n) / (1 + sin(π/n)); what is left in the middle has R less their diameter.
    Plane geometry.
    """
    whole, middle = min(box.width, box.height) / 2, box.middle
    about = count - 1 if count >= FEWEST_ABOUT_A_MIDDLE else count
    sine = math.sin(math.pi / about) if about > 1 else 0.0
    radius = whole * sine / (1 + sine) if about > 1 else whole
    away = whole - radius
    circles = [
        (
            middle.x + away * math.sin(2 * math.pi * n / about),
            middle.y + away * math.cos(2 * math.pi * n / about),
            radius,
        )
        for n in range(about)
    ]
    if about < count:
        circles.append((middle.x, middle.y, whole - 2 * radius))
    rows = sorted({round(y, 3) for _, y, _ in circles})
    found = []
    for row, height in enumerate(rows):
        across = sorted(circle for circle in circles if round(circle[1], 3) == height)
        for place, (x, y, size) in enumerate(across, start=1):
            number = f"{chr(ord('A') + row)}{place}"
            found.append(TracerySpec("", number, "roundel", 2 * size, 2 * size, x, y))
    return tuple(found)
