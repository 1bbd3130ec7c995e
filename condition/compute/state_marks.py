"""The mark of each state of a comparison: a shape of its own, so that none is told by colour."""

from typing import Final

from condition.compute.comparing import State

# Drawn in a box of 16 by 16 around (8, 8), as strokes.
BOX: Final = 16
SHAPES: Final[dict[State, str]] = {
    State.NEW: "M8 2.5V13.5M2.5 8H13.5",
    State.WORSE: "M2.5 10.5L8 4.5L13.5 10.5",
    State.SAME: "M3 6H13M3 10.5H13",
    State.BETTER: "M2.5 5.5L8 11.5L13.5 5.5",
    State.GONE: "M3.5 3.5L12.5 12.5M12.5 3.5L3.5 12.5",
    State.REPAIRED: "M2.5 8.5L6.5 12.5L13.5 4",
    State.NOT_COMPARABLE: "M3 6H13M3 10.5H13M11 2.5L5 13.5",
    State.NOT_LOOKED_AT: "M3.2 8h.1M8 8h.1M12.8 8h.1",
}
