"""The three sizes of a panel, never to be confused: sight, rebate and made.

*Sight* size is what light comes through; areas are checked on it. *Rebate* size is the stone's or
frame's own, from the bottom of the rebate to the bottom of the rebate. *Made* size is what is cut
and leaded at the bench. Common practice, no source; every allowance is the studio's own figure.
"""

import math
from dataclasses import dataclass


class SizeError(ValueError):
    """An allowance that cannot be: `field` names it, the text says what is possible."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field


@dataclass(frozen=True)
class Allowances:
    """What lies between the three sizes, in mm.

    rebate_jamb: depth of the rebate at either side. rebate_sill, rebate_head: at the foot and the
    top, 0 where a panel stands on or under a bar. clearance: left free on each edge that stands in
    a rebate. overlap_foot, overlap_head: how far the panel is made to lap a bar there.
    """

    rebate_jamb: float
    rebate_sill: float
    rebate_head: float
    clearance: float
    overlap_foot: float = 0.0
    overlap_head: float = 0.0


@dataclass(frozen=True)
class Size:
    """A width and a height in mm."""

    width: float
    height: float


@dataclass(frozen=True)
class PanelSizes:
    """The three sizes of one panel, in mm."""

    sight: Size
    rebate: Size
    made: Size


def panel_sizes(sight: Size, allowances: Allowances) -> PanelSizes:
    """Return sight, rebate and made size of a panel, from its sight size.

    Rebate = sight and the rebate at each edge. Made = rebate less the clearance at each edge that
    stands in a rebate, and the overlap at each bar. Raises SizeError for a size or an allowance
    that is not a length, and for a clearance that the rebate does not hold.
    """
    _check(sight, allowances)
    a = allowances
    rebate = Size(sight.width + 2 * a.rebate_jamb, sight.height + a.rebate_sill + a.rebate_head)
    free_high = sum(a.clearance for depth in (a.rebate_sill, a.rebate_head) if depth > 0)
    free_wide = 2 * a.clearance if a.rebate_jamb > 0 else 0.0
    made = Size(
        rebate.width - free_wide,
        rebate.height - free_high + a.overlap_foot + a.overlap_head,
    )
    return PanelSizes(sight, rebate, made)


def _check(sight: Size, allowances: Allowances) -> None:
    for name, value in (("width", sight.width), ("height", sight.height)):
        if not math.isfinite(value) or value <= 0:
            raise SizeError(name, f"The sight {name} must be above zero.")
    for name, value in vars(allowances).items():
        if not math.isfinite(value) or value < 0:
            raise SizeError(name, f"The {name.replace('_', ' ')} must be zero or more.")
    for name in ("rebate_jamb", "rebate_sill", "rebate_head"):
        depth = getattr(allowances, name)
        if 0 < depth <= allowances.clearance:
            raise SizeError(
                "clearance",
                f"A clearance of {allowances.clearance:g} mm would let the panel fall out of a "
                f"rebate {depth:g} mm deep: give less than that.",
            )
