"""A panel's outline as its border came sees it: how long, how large, how many corners."""

import math
from collections.abc import Sequence
from typing import Final

from sites.compute.geometry.rings import Edge, Ring
from sites.compute.quantities.net import Outline
from sites.compute.working import Origin

# Came bends round a turn slighter than this; at a sharper one it is cut and soldered.
SHARP_DEGREES: Final = 20.0


def outline_from(rings: Sequence[Ring], origin: Origin, source: str) -> Outline:
    """Return what the quantities need of a panel's rings: area, edge, size and corners, in mm.

    rings: one, or several where the opening's own outline parts the panel.
    """
    boxes = [ring.box for ring in rings]
    return Outline(
        area_mm2=sum(ring.area for ring in rings),
        perimeter_mm=sum(ring.perimeter for ring in rings),
        width_mm=max(box.right for box in boxes) - min(box.left for box in boxes),
        height_mm=max(box.top for box in boxes) - min(box.bottom for box in boxes),
        corners=sum(sharp_corners(ring) for ring in rings),
        origin=origin,
        source=source,
    )


def sharp_corners(ring: Ring) -> int:
    """Return at how many of its corners a ring turns by more than SHARP_DEGREES.

    Source: an edge of bulge b sweeps 4·atan(b), half of it on either side of its chord. From
    plane geometry; the limit is common practice, no source.
    """
    edges = ring.edges
    return sum(
        abs(_turn(edges[n - 1], edge, ring.stretch)) > SHARP_DEGREES for n, edge in enumerate(edges)
    )


def is_rectangle(ring: Ring) -> bool:
    """Whether the ring fills its own box, as near as can be drawn."""
    return ring.area > 0.999 * ring.box.width * ring.box.height


def _turn(before: Edge, after: Edge, stretch: float) -> float:
    leaving = _way(before, stretch, end=True)
    taking = _way(after, stretch, end=False)
    return math.degrees((taking - leaving + math.pi) % (2 * math.pi) - math.pi)


def _way(edge: Edge, stretch: float, *, end: bool) -> float:
    chord = math.atan2(edge.end.y - edge.start.y, edge.end.x - edge.start.x)
    half_sweep = 2 * math.atan(edge.bulge)
    way = chord + half_sweep if end else chord - half_sweep
    return math.atan2(stretch * math.sin(way), math.cos(way))
