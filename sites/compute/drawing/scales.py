"""True scales: which a drawing may be printed at, and which of them fit a room on paper."""

from collections.abc import Callable
from typing import Final, NamedTuple

# ISO 5455 recommends 1:5, 1:10, 1:20, 1:50, 1:100 and 1:200 (from memory); 1:25 is common
# practice in the workshop.
SCALES: Final = (5, 10, 20, 25, 50, 100, 200)
PAPER_MM: Final = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}


class Room(NamedTuple):
    """Room on paper, in millimetres."""

    width: float
    height: float


class ScaleError(ValueError):
    """A scale the drawing cannot be printed at; the text says which are possible."""

    def __init__(self, text: str, possible: tuple[int, ...]) -> None:
        super().__init__(text)
        self.possible = possible


def fitting(size_at: Callable[[int], tuple[float, float]], rooms: tuple[Room, ...]) -> list[int]:
    """Return the scales, largest drawing first, at which a drawing fits one of the rooms.

    size_at: width and height on paper, in mm, of the whole drawing at 1:scale.
    """
    return [scale for scale in SCALES if room_for(size_at(scale), rooms) is not None]


def room_for(size: tuple[float, float], rooms: tuple[Room, ...]) -> Room | None:
    """Return the first of the rooms that takes a drawing of a size, or None."""
    width, height = size
    return next((room for room in rooms if width <= room.width and height <= room.height), None)


def chosen(scale: int, possible: list[int], paper: str) -> int:
    """Return `scale` if it is possible. Raises ScaleError, naming what is, if it is not."""
    if scale in possible:
        return scale
    if not possible:
        raise ScaleError(f"The opening is too large for {paper} at every scale we draw.", ())
    names = ", ".join(f"1:{each}" for each in possible)
    why = (
        f"At 1:{scale} the drawing does not fit on {paper}."
        if scale in SCALES
        else f"1:{scale} is not a scale we draw at."
    )
    raise ScaleError(f"{why} Possible here: {names}.", tuple(possible))
