"""The parts of an opening divided: what is recorded of it, and what the division finds.

Millimetres; x to the right as seen from inside from the left jamb, y upwards from the sill.
"""

from dataclasses import dataclass
from typing import Literal

from sites.compute.geometry.outlines import Outline, OutlineSpec
from sites.compute.geometry.rings import Ring
from sites.compute.tracery import TracerySpec

CellKind = Literal["panel", "tracery"]


@dataclass(frozen=True)
class BarSpec:
    """A bar as recorded; light counts from the left, None for a bar across all of them."""

    key: str
    kind: str
    height: float
    light: int | None = None


@dataclass(frozen=True)
class OpeningSpec:
    """What is known of an opening, in mm; see `divide`."""

    outline: OutlineSpec
    lights: int = 1
    light_widths: tuple[float, ...] = ()
    mullion: float | None = None
    light_head: str = ""
    light_springing: float | None = None
    light_small_radius: float | None = None
    bars: tuple[BarSpec, ...] = ()
    tracery: tuple[TracerySpec, ...] = ()
    row_heights: tuple[float, ...] = ()


@dataclass(frozen=True)
class Light:
    """A light by its place from the left, with its clear outline and its two sides."""

    place: int
    ring: Ring
    left: float
    right: float


@dataclass(frozen=True)
class Cell:
    """What one panel fills. A panel that an outline parts has several cells of one number."""

    number: str
    ring: Ring
    light: int
    row: int
    kind: CellKind


@dataclass(frozen=True)
class Bar:
    """A bar as it crosses one light."""

    key: str
    kind: str
    x1: float
    x2: float
    y: float


@dataclass(frozen=True)
class Division:
    """An opening's parts. mullions: (left, right, foot, top) of each; areas in mm².

    stonework: what of the opening is not glazed, its mullions and tracery.
    """

    outline: Outline
    lights: tuple[Light, ...]
    cells: tuple[Cell, ...]
    bars: tuple[Bar, ...]
    mullions: tuple[tuple[float, float, float, float], ...]
    glazed_area: float
    remarks: tuple[str, ...] = ()

    @property
    def stonework(self) -> float:
        return max(self.outline.ring.area - self.glazed_area, 0.0)
