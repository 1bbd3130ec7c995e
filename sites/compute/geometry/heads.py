"""Heads of openings by closed forms: radii, rises, lengths of arc, and areas above the springing.

Lengths in mm (or any one unit), angles in radians. Source of all of them: plane geometry of the
circle, as handbooks of masonry and geometry print it; each was compared with numerical
integration. `span` is the clear width at the springing.
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True)
class FourCentred:
    """A four-centred head: a small arc from each springing, a large one on to the apex."""

    span: float
    small_radius: float
    angle: float
    large_radius: float

    @property
    def turn(self) -> tuple[float, float]:
        """Where the left small arc meets the large one, from the left springing."""
        r = self.small_radius
        return r - r * math.cos(self.angle), r * math.sin(self.angle)

    @property
    def large_centre(self) -> tuple[float, float]:
        """The centre of the left large arc, from the left springing."""
        away = self.large_radius - self.small_radius
        return (
            self.small_radius + away * math.cos(self.angle),
            -away * math.sin(self.angle),
        )

    @property
    def rise(self) -> float:
        x, y = self.large_centre
        return y + math.sqrt(self.large_radius**2 - (self.span / 2 - x) ** 2)

    @property
    def end_angle(self) -> float:
        """The direction of the apex from the large centre, from the level leftwards."""
        return math.acos(max(self.large_centre[0] - self.span / 2, 0.0) / self.large_radius)

    @property
    def arc_length(self) -> float:
        large = self.large_radius * (self.end_angle - self.angle)
        return 2 * (self.small_radius * self.angle + large)

    @property
    def area(self) -> float:
        """Twice the half: a polygon of four corners and the two segments outside it."""
        corners = [(0.0, 0.0), self.turn, (self.span / 2, self.rise), (self.span / 2, 0.0)]
        following = [*corners[1:], corners[0]]
        twice = sum(
            x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in zip(corners, following, strict=True)
        )
        small = segment_area(self.small_radius, self.angle)
        large = segment_area(self.large_radius, self.end_angle - self.angle)
        return 2 * (abs(twice) / 2 + small + large)


def segment_area(radius: float, angle: float) -> float:
    """Return the area between an arc and its chord: r²(θ − sin θ)/2."""
    return radius**2 / 2 * (angle - math.sin(angle))


def segment_radius(span: float, rise: float) -> float:
    """Return the radius of a segmental (or half round) head: s²/8h + h/2."""
    return span**2 / (8 * rise) + rise / 2


def segmental_area(span: float, rise: float) -> float:
    """Return the area of a segmental or half round head above its springing."""
    radius = segment_radius(span, rise)
    return segment_area(radius, _segment_angle(span, rise))


def segmental_arc(span: float, rise: float) -> float:
    """Return the length of a segmental or half round head."""
    return segment_radius(span, rise) * _segment_angle(span, rise)


def _segment_angle(span: float, rise: float) -> float:
    """The angle at the centre, above π where the head is more than a half circle."""
    return 4 * math.atan2(2 * rise, span)


def two_centred_radius(span: float, rise: float) -> float:
    """Return the radius of either side of a two-centred head: (s²/4 + h²)/s."""
    return (span**2 / 4 + rise**2) / span


def two_centred_rise(span: float, radius: float) -> float:
    """Return the rise of a two-centred head: √(Rs − s²/4)."""
    return math.sqrt(radius * span - span**2 / 4)


def two_centred_arc(span: float, radius: float) -> float:
    """Return the length of both sides of a two-centred head: 2Rα, cos α = (R − s/2)/R."""
    return 2 * radius * math.acos((radius - span / 2) / radius)


def two_centred_area(span: float, radius: float) -> float:
    """Return the area of a two-centred head above its springing: R²α − (R − s/2)h."""
    angle = math.acos((radius - span / 2) / radius)
    return radius**2 * angle - (radius - span / 2) * two_centred_rise(span, radius)


def four_centred(span: float, rise: float, small_radius: float, angle: float) -> FourCentred:
    """Return the head whose large arcs make it rise as given.

    With a = s/2 − r and d = R − r the condition that the large arc passes through the apex,
    (a − d cos φ)² + (h + d sin φ)² = (r + d)², is linear in d.
    Raises ValueError where no large radius does.
    """
    a = span / 2 - small_radius
    slope = 2 * (a * math.cos(angle) - rise * math.sin(angle) + small_radius)
    if slope <= 0:
        raise ValueError("too steep for four centres")
    further = (a**2 + rise**2 - small_radius**2) / slope
    head = FourCentred(span, small_radius, angle, small_radius + further)
    # A hair is allowed for rounding, where the centres meet on the axis.
    if further <= 0 or head.large_centre[0] < span / 2 * (1 - 1e-12):
        raise ValueError("the large arcs would not meet at an apex")
    return head


def four_centred_rises(span: float, small_radius: float, angle: float) -> tuple[float, float]:
    """Return the least and the greatest rise that large arcs can give with this small radius.

    At the least their centres meet on the axis and the apex is round; towards the greatest they
    flatten into straight lines, which it does not reach.
    """
    a = span / 2 - small_radius
    least = small_radius + a / math.cos(angle) * (1 - math.sin(angle))
    return least, (a * math.cos(angle) + small_radius) / math.sin(angle)


def half_circle_foils_area(foils: int, side: float) -> float:
    """Return the area of n half circles on the sides of a regular n-gon of side a, with the
    n-gon: na²/(4 tan(π/n)) + nπa²/8."""
    inner = foils * side**2 / (4 * math.tan(math.pi / foils))
    return inner + foils * math.pi * side**2 / 8


def half_circle_foils_length(foils: int, side: float) -> float:
    """Return the length of the outline of those foils: nπa/2."""
    return foils * math.pi * side / 2


def foil_in_circle_radius(foils: int, radius: float) -> float:
    """Return the radius of n equal foils that touch each other and a circle from inside:
    R sin(π/n)/(1 + sin(π/n))."""
    sine = math.sin(math.pi / foils)
    return radius * sine / (1 + sine)
