"""The photograph straightened: the plane of the glass at a stated number of millimetres a pixel."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, isfinite
from typing import Final

from PIL import Image

from condition.compute.rectify.homography import Homography, Known, Place, RectifyError

LONGEST_PX: Final = 1600
STEPS: Final = (1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0)
FINEST_MM: Final = 0.1
COARSEST_MM: Final = 100.0
# Shown round the known points, as a share of what they span.
MARGIN: Final = 0.04


@dataclass(frozen=True)
class Frame:
    """What of the glass the straightened picture shows, and how finely.

    left and top are the place of its upper left corner in mm; mm_per_px: exact, as stated.
    """

    left: float
    top: float
    width_px: int
    height_px: int
    mm_per_px: float

    def at(self, place: Place) -> Place:
        """Return where a place on the glass is on the picture, in px."""
        return Place((place.x - self.left) / self.mm_per_px, (self.top - place.y) / self.mm_per_px)

    def place(self, at: Place) -> Place:
        """Return the place on the glass of a pixel."""
        return Place(self.left + at.x * self.mm_per_px, self.top - at.y * self.mm_per_px)


def frame_of(found: Homography, known: Sequence[Known], mm_per_px: float) -> Frame:
    """Return the frame round the known points.

    mm_per_px: how fine the photograph itself is; the frame takes the next round step that is no
        finer and at which the picture is at most 1600 px long.

    Raises RectifyError where the frame would reach beyond the photograph's horizon.
    """
    xs, ys = [each.place.x for each in known], [each.place.y for each in known]
    for margin in (MARGIN, 0.0):
        air = margin * max(max(xs) - min(xs), max(ys) - min(ys))
        left, right = min(xs) - air, max(xs) + air
        foot, top = min(ys) - air, max(ys) + air
        if _is_seen(found, (left, right), (foot, top)):
            step = _step(max(mm_per_px, (right - left) / LONGEST_PX, (top - foot) / LONGEST_PX))
            width, height = ceil((right - left) / step), ceil((top - foot) / step)
            return Frame(left, top, max(1, width), max(1, height), step)
    raise RectifyError(
        "The photograph is too slanted to be straightened: part of what the known points span "
        "lies beyond its horizon. Take it more squarely."
    )


def straightened(picture: Image.Image, found: Homography, frame: Frame, px: float) -> Image.Image:
    """Return `picture` as if it were taken squarely, as `frame` says; what it lacks is white.

    px: pixels of `picture` to a pixel of the photograph that `found` speaks of.
    """
    (a, b, c), (d, e, f), (g, h, i) = found.inverse().rows
    step, left, top = frame.mm_per_px, frame.left, frame.top
    # From a pixel of the new picture to its place, from there to the photograph, and to `picture`.
    depth = g * left + h * top + i
    data = (
        px * a * step / depth,
        px * -b * step / depth,
        px * (a * left + b * top + c) / depth,
        px * d * step / depth,
        px * -e * step / depth,
        px * (d * left + e * top + f) / depth,
        g * step / depth,
        -h * step / depth,
    )
    size = (frame.width_px, frame.height_px)
    return picture.transform(
        size, Image.Transform.PERSPECTIVE, data, Image.Resampling.BICUBIC, fillcolor="white"
    )


def _step(least: float) -> float:
    """The next round number of millimetres that is at least `least`."""
    tens = FINEST_MM
    while isfinite(least) and tens <= COARSEST_MM:
        for step in STEPS:
            if step * tens >= least * (1 - 1e-9):
                return round(step * tens, 6)
        tens *= 10
    raise RectifyError(
        f"What the known points span is too large for one photograph: a pixel would be "
        f"{least:.0f} mm."
    )


def _is_seen(found: Homography, across: tuple[float, float], up: tuple[float, float]) -> bool:
    back = found.inverse()
    try:
        for x in across:
            for y in up:
                found.to(back.to(Place(x, y)))
    except RectifyError:
        return False
    return True
