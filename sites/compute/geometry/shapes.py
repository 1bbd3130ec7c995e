"""Shapes that stand by themselves: roundels, ellipses, vesicas, triangles and foils.

Each is a counter-clockwise ring about its own middle or foot; lengths in mm. Plane geometry.
"""

import math

from sites.compute.geometry.heads import foil_in_circle_radius
from sites.compute.geometry.rings import Edge, Point, Ring

HALF_CIRCLE = 1.0


def ellipse(width: float, height: float) -> Ring:
    """Return an ellipse about the origin; a circle where both sizes are one."""
    half = width / 2
    left, right = Point(-half, 0.0), Point(half, 0.0)
    edges = (Edge(right, left, HALF_CIRCLE), Edge(left, right, HALF_CIRCLE))
    return Ring(edges, height / width)


def vesica(width: float, height: float) -> Ring:
    """Return the almond that two equal circles share, its points above and below."""
    foot, top = Point(0.0, 0.0), Point(0.0, height)
    bulge = width / height
    return Ring((Edge(foot, top, bulge), Edge(top, foot, bulge)))


def triangle(width: float, height: float) -> Ring:
    """Return a triangle with two equal sides on a level foot."""
    corners = (Point(0.0, 0.0), Point(width, 0.0), Point(width / 2, height))
    return _closed(corners, 0.0)


def curved_triangle(width: float) -> Ring:
    """Return an equilateral triangle whose sides are arcs about the opposite corners."""
    corners = (Point(0.0, 0.0), Point(width, 0.0), Point(width / 2, width * math.sqrt(3) / 2))
    return _closed(corners, math.tan(math.pi / 12))


def foils_on_sides(width: float, foils: int) -> Ring:
    """Return half circles on the sides of a regular polygon, `width` across in all.

    The first foil stands upwards. The greatest width is found from the ring itself.
    """
    ring = _closed(_corners(foils, 1.0), HALF_CIRCLE)
    return ring.scaled(width / ring.box.width)


def foils_in_circle(width: float, foils: int) -> Ring:
    """Return n equal foils that touch each other inside a circle `width` across.

    The outline is what the foils' circles cover with the cusps between them; each foil's arc
    runs from one touching point to the next round its outer side.
    """
    outer = width / 2
    radius = foil_in_circle_radius(foils, outer)
    touching = (outer - radius) * math.cos(math.pi / foils)
    # Seen from the foil's middle, the touching points stand at right angles to the spokes
    # that lead to them: the arc between them sweeps π + 2π/n.
    bulge = math.tan((math.pi + math.tau / foils) / 4)
    return _closed(_corners(foils, touching), bulge)


def _corners(foils: int, radius: float) -> tuple[Point, ...]:
    """A regular polygon's corners, counter-clockwise, one of its sides facing upwards."""
    start = math.pi / 2 - math.pi / foils
    return tuple(
        Point(
            radius * math.cos(start + math.tau * n / foils),
            radius * math.sin(start + math.tau * n / foils),
        )
        for n in range(foils)
    )


def _closed(corners: tuple[Point, ...], bulge: float) -> Ring:
    following = (*corners[1:], corners[0])
    return Ring(tuple(Edge(a, b, bulge) for a, b in zip(corners, following, strict=True)))
