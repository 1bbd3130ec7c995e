"""Whether one outline lies within another, or over it, to what a tape may be out by."""

from typing import Final

from sites.compute.geometry.rings import Ring

# What a tape may be out by, in mm.
TAPE_MM: Final = 1.0


def inside(ring: Ring, outer: Ring, allowed: float = TAPE_MM) -> bool:
    """Return whether all of `ring` lies within `outer`, by the corners of its polygon."""
    middle = ring.box.middle
    for corner in ring.polygon():
        # A hair nearer to the middle: what lies on the very edge is inside.
        away = max(abs(corner.x - middle.x), abs(corner.y - middle.y), allowed)
        share = 1 - allowed / away
        x, y = (middle.x + (corner.x - middle.x) * share, middle.y + (corner.y - middle.y) * share)
        if not any(left <= x <= right for left, right in outer.widths_at(y)):
            return False
    return True


def overlap(one: Ring, other: Ring) -> bool:
    """Return whether two outlines lie over one another by more than the tape may be out."""
    a, b = one.box, other.box
    if a.right < b.left or b.right < a.left or a.top < b.bottom or b.top < a.bottom:
        return False
    return _reaches_into(one, other) or _reaches_into(other, one)


def _reaches_into(ring: Ring, other: Ring) -> bool:
    middle = ring.box.middle
    for corner in (*ring.polygon(1.0), middle):
        # Only what reaches in by more than the tape may be out.
        away = max(abs(corner.x - middle.x), abs(corner.y - middle.y), TAPE_MM)
        share = 1 - TAPE_MM / away
        x, y = middle.x + (corner.x - middle.x) * share, middle.y + (corner.y - middle.y) * share
        if any(left + TAPE_MM < x < right - TAPE_MM for left, right in other.widths_at(y)):
            return True
    return False
