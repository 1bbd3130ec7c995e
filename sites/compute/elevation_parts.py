"""The parts of an opening's drawing: what is known of each, and where it is drawn."""

from dataclasses import dataclass
from typing import Final

LABEL_ROOM: Final = (22.0, 15.0)


@dataclass(frozen=True)
class OpeningShape:
    """What is known of the opening; a length in mm, or None."""

    head: str
    lights: int
    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class PanelShape:
    """A panel by its number, with its size in mm where known."""

    key: str
    number: str
    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class ItemShape:
    """An attached item, on a panel or on the opening as a whole."""

    key: str
    number: str
    panel_key: str | None = None
    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class Box:
    """A drawn part: its place and size in units of the drawing."""

    key: str
    number: str
    x: float
    y: float
    width: float
    height: float
    tracery: bool = False
    # Where its number goes: the middle of what the arch leaves to be seen of it, and how wide
    # that is.
    label: tuple[float, float] = (0.0, 0.0)
    label_room: float = 0.0
    # So large, like a guard, that it is drawn as an outline over what it covers.
    covers: bool = False

    @property
    def middle(self) -> tuple[float, float]:
        return round(self.x + self.width / 2, 1), round(self.y + self.height / 2, 1)

    @property
    def has_room_for_its_number(self) -> bool:
        return self.label_room >= LABEL_ROOM[0] and self.height >= LABEL_ROOM[1]


@dataclass(frozen=True)
class Elevation:
    """The whole drawing, `width` × `height` units, `mm_per_unit` where it is to scale."""

    width: float
    height: float
    outline: str
    panels: tuple[Box, ...]
    items: tuple[Box, ...]
    divisions: tuple[float, ...]
    mullions_from: float
    unplaced: tuple[str, ...]
    mm_per_unit: float | None
    remarks: tuple[str, ...]

    @property
    def to_scale(self) -> bool:
        return self.mm_per_unit is not None
