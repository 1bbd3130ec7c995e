"""What is known of a panel, from which its quantities are reckoned."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Final

from sites.compute.quantities.came import Profile
from sites.compute.working import Origin

LATTICE: Final = "squares"
PATTERNS: Final = frozenset({"squares", "hexagons", "strips", "figure"})


@dataclass(frozen=True)
class Outline:
    """A panel's own outline: its area, its edge, and where they come from.

    corners: where the border came turns sharply and is joined.
    source: in words, such as "cut from its light by the bars".
    """

    area_mm2: float
    perimeter_mm: float
    width_mm: float
    height_mm: float
    corners: int
    origin: Origin
    source: str

    @property
    def longest_side_mm(self) -> float:
        return max(self.width_mm, self.height_mm)


@dataclass(frozen=True)
class Run:
    """How much of one profile a panel has; without a length or cuts it is estimated.

    border: it goes round the edge. cuts: in mm, each as often as it is needed.
    """

    profile: Profile
    border: bool = False
    length_mm: float | None = None
    cuts: tuple[Decimal, ...] = ()

    @property
    def measured_mm(self) -> float | None:
        """The length measured, or that of the cuts together."""
        if self.length_mm is not None:
            return self.length_mm
        return float(sum(self.cuts)) if self.cuts else None


@dataclass(frozen=True)
class PanelNet:
    """A panel's outline and leads, as far as they are recorded.

    outline: None where neither the opening's sizes nor the panel's own tell it.
    plated: pieces that carry a second layer of glass.
    pattern: squares, hexagons, strips, figure, other, or "" where nobody said.
    """

    outline: Outline | None
    pieces: int | None = None
    crossings: int | None = None
    ringed: int | None = None
    plated: int | None = None
    pattern: str = ""
    glass_thickness_mm: float | None = None
    runs: tuple[Run, ...] = ()
