"""What a drawing holds, in millimetres of the opening: x to the right, y upwards from the sill.

A scene is already turned the way it is looked at; only its lettering is never mirrored.
"""

from dataclasses import dataclass
from typing import Final

from sites.compute.geometry.rings import Box, Point, Ring

DANGER: Final = "danger"


@dataclass(frozen=True)
class Hand:
    """How the drawing is drawn: sizes of letters and lines in units of the finished drawing."""

    number: float
    rim: float
    saddle_bar: float
    strong_bar: float
    unsized_item: tuple[float, float]
    smallest_item: tuple[float, float]
    pin_radii: tuple[float, ...]
    sign: tuple[float, float]
    quarry: tuple[float, float]
    air: float


# Units of a page are those of its view box, about a pixel each; a unit of paper is a millimetre.
SCREEN: Final = Hand(
    number=14.0,
    rim=9.0,
    saddle_bar=3.2,
    strong_bar=4.5,
    unsized_item=(46.0, 18.0),
    smallest_item=(12.0, 7.0),
    pin_radii=(10.0, 8.5, 7.0),
    sign=(15.0, 13.0),
    quarry=(9.0, 12.0),
    air=2.0,
)
PAPER: Final = Hand(
    number=2.2,
    rim=1.6,
    saddle_bar=0.65,
    strong_bar=0.9,
    unsized_item=(5.0, 2.0),
    smallest_item=(1.6, 1.0),
    pin_radii=(2.0, 1.75, 1.5),
    sign=(2.8, 2.45),
    quarry=(1.7, 2.2),
    air=0.35,
)


@dataclass(frozen=True)
class Badge:
    """What stands before a number: the sign of danger, or the quarry of a class."""

    kind: str
    level: int = 0


@dataclass(frozen=True)
class Label:
    """A number, a badge or both, where they fit; `box` is all the room they take."""

    box: Box
    text: str = ""
    text_at: Point | None = None
    badge: Badge | None = None
    badge_box: Box | None = None


@dataclass(frozen=True)
class Pane:
    """A panel or a tracery light; without a key it is glass nobody has registered as a panel."""

    key: str
    number: str
    kind: str
    rings: tuple[Ring, ...]
    label: Label | None = None


@dataclass(frozen=True)
class Plate:
    """An attached item; one that covers much is drawn as an outline over what is behind it."""

    key: str
    number: str
    box: Box
    covers: bool = False
    label: Label | None = None


@dataclass(frozen=True)
class DrawnBar:
    """A bar with the thickness it is drawn of; a saddle bar is a thin double line."""

    kind: str
    box: Box


@dataclass(frozen=True)
class Pin:
    """A numbered disc; `tip` is the end of its leader where it stands beside its place."""

    text: str
    strong: bool
    at: Point
    radius: float
    tip: Point | None = None

    @property
    def box(self) -> Box:
        """The square the disc fills."""
        x, y = self.at
        return Box(x - self.radius, y - self.radius, x + self.radius, y + self.radius)


@dataclass(frozen=True)
class Scene:
    """The whole drawing. `mm_per_unit`: millimetres of the opening to a unit as drawn."""

    hand: Hand
    mm_per_unit: float
    outline: Ring
    lights: tuple[Ring, ...]
    panes: tuple[Pane, ...]
    bars: tuple[DrawnBar, ...]
    plates: tuple[Plate, ...]
    pins: tuple[Pin, ...]
    unplaced: tuple[str, ...]
    remarks: tuple[str, ...]
    to_scale: bool
    from_outside: bool

    @property
    def box(self) -> Box:
        """All that is drawn: the opening, its stone rim, and pins that stand beside it."""
        rim = self.hand.rim * self.mm_per_unit
        outline = self.outline.box
        boxes = [pin.box for pin in self.pins] + [plate.box for plate in self.plates]
        return Box(
            min([outline.left - rim, *(box.left for box in boxes)]),
            min([outline.bottom - rim, *(box.bottom for box in boxes)]),
            max([outline.right + rim, *(box.right for box in boxes)]),
            max([outline.top + rim, *(box.top for box in boxes)]),
        )


def around(middle: Point, width: float, height: float) -> Box:
    """Return the box of a size about its middle."""
    x, y = middle
    return Box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def overlap(one: Box, other: Box, air: float = 0.0) -> bool:
    """Whether two boxes come nearer to each other than `air`."""
    return (
        one.left < other.right + air
        and other.left < one.right + air
        and one.bottom < other.top + air
        and other.bottom < one.top + air
    )
