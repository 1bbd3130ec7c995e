"""The outline of a window opening by the shape of its head, as a path of SVG."""

import math
from typing import Final

RECTANGLE: Final = "rectangle"
ROUNDEL: Final = "roundel"
MOST_OF_HEIGHT: Final = 0.7

# Rise of the head over its span. A round head is half its span by definition, an equilateral
# two-centred arch half of the root of three. The other two are studio defaults for a drawing:
# the register does not record the rise.
RISES: Final = {
    "semicircular": 0.5,
    "segmental": 1 / 6,
    "two-centred": math.sqrt(3) / 2,
    "four-centred": 1 / 3,
}
RISE_IS_A_GUESS: Final = frozenset({"segmental", "two-centred", "four-centred"})


def head_rise(head: str, width: float, height: float) -> float:
    """Return how far the head rises above the springing, in the unit of `width`; 0 for a flat one.

    A rise that would leave hardly any window below the springing is cut back.
    """
    return min(RISES.get(head, 0.0) * width, height * MOST_OF_HEIGHT)


def outline_path(head: str, width: float, height: float) -> str:
    """Return the outline as a path, y downwards, from the left foot round to it again.

    Source: the radius of a segment of span 2a and rise f is (a² + f²) / 2f; that of each side
    of a two-centred arch, centred on the springing line, is (a² + f²) / 2a. Plane geometry.
    """
    rise = head_rise(head, width, height)
    half = width / 2
    if head == ROUNDEL:
        arc = f"A{_n(half)} {_n(height / 2)} 0 0 1"
        return f"M0 {_n(height / 2)}{arc} {_n(width)} {_n(height / 2)}{arc} 0 {_n(height / 2)}Z"
    if rise == 0:
        return f"M0 {_n(height)}V0H{_n(width)}V{_n(height)}Z"
    over = _over_the_head(head, half, rise)
    return f"M0 {_n(height)}V{_n(rise)}{over}V{_n(height)}Z"


def half_width_at(head: str, half: float, rise: float, above: float) -> float:
    """Return half the clear width `above` the springing, for placing tracery lights.

    Exact for round and two-centred heads; the others are taken as half an ellipse.
    """
    if rise <= 0 or above >= rise:
        return 0.0
    if head == "two-centred" and rise >= half:
        radius = (half**2 + rise**2) / (2 * half)
        return math.sqrt(radius**2 - above**2) - (radius - half)
    return half * math.sqrt(1 - (above / rise) ** 2)


def _over_the_head(head: str, half: float, rise: float) -> str:
    """From the left springing over the apex to the right one, drawn with the apex at y 0."""
    width = 2 * half
    if head == "segmental":
        radius = (half**2 + rise**2) / (2 * rise)
        return f"A{_n(radius)} {_n(radius)} 0 0 1 {_n(width)} {_n(rise)}"
    if head == "two-centred" and rise >= half:
        radius = (half**2 + rise**2) / (2 * half)
        arc = f"A{_n(radius)} {_n(radius)} 0 0 1"
        return f"{arc} {_n(half)} 0{arc} {_n(width)} {_n(rise)}"
    if head in ("four-centred", "two-centred"):
        high, low, near, far = rise * 0.28, rise * 0.45, half * 0.3, width - half * 0.3
        left = f"C0 {_n(low)} {_n(near)} {_n(high)} {_n(half)} 0"
        return f"{left}C{_n(far)} {_n(high)} {_n(width)} {_n(low)} {_n(width)} {_n(rise)}"
    return f"A{_n(half)} {_n(rise)} 0 0 1 {_n(width)} {_n(rise)}"


def _n(number: float) -> str:
    return f"{number:.2f}".rstrip("0").rstrip(".")
