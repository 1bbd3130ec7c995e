"""The outline of an opening or a tracery light from its measurements, or why it cannot be."""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Final

from shapely.geometry import LinearRing

from sites.compute.geometry import heads
from sites.compute.geometry.rings import Edge, Point, Ring, counter_clockwise
from sites.compute.geometry.shapes import (
    curved_triangle,
    ellipse,
    foils_in_circle,
    foils_on_sides,
    triangle,
    vesica,
)

# Sixty metres: above any window, below any slip of a decimal point.
LARGEST_MM: Final = 60_000.0
SMALLEST_MM: Final = 1.0
# A round head rises by half its span; the tape is believed within this share of the span.
TAPE: Final = 0.02
# The small arcs of a four-centred head turn through 60° where that goes with its rise, and as near
# to it as does where it does not.
FOUR_CENTRED_ANGLE: Final = math.pi / 3
FOUR_CENTRED_ANGLES: Final = tuple(
    math.radians(degrees) for degrees in sorted(range(5, 90), key=lambda degrees: abs(degrees - 60))
)
# Usual shapes where the springing is not recorded: an equilateral arch rises by √3/2 of its span
# and a half circle by half of it, by definition; the other two are studio defaults for a drawing.
USUAL_RISE: Final[Mapping[str, float]] = {
    "semicircular": 0.5,
    "two-centred": math.sqrt(3) / 2,
    "segmental": 1 / 6,
    "four-centred": 1 / 3,
}
# What a usual rise may take of the whole height.
MOST_OF_HEIGHT: Final = 0.7
# Shares of the span tried in turn as the small radius of a four-centred head, where none is
# recorded, until one goes with the rise: studio defaults for a drawing.
USUAL_SMALL_RADII: Final = (0.15, 0.2, 0.25, 0.3, 0.35, 0.4, 0.1, 0.05)
FEWEST_FOILS, MOST_FOILS = 3, 8


class OutlineError(ValueError):
    """A measurement that cannot be: `field` names it, the text says what is possible.

    part: the key of the bar or tracery light it was taken of, where it is one of several.
    """

    def __init__(self, field: str, message: str, part: str = "") -> None:
        super().__init__(message)
        self.field = field
        self.part = part


@dataclass(frozen=True)
class OutlineSpec:
    """What was measured, in mm; shapes are those of the register's list.

    springing: above the sill. points: corners as (x, y, bulge of the edge that follows).
    """

    shape: str
    width: float | None
    height: float | None
    springing: float | None = None
    small_radius: float | None = None
    foils: int | None = None
    points: tuple[tuple[float, float, float], ...] = ()


@dataclass(frozen=True)
class Outline:
    """An outline with its origin at the left jamb on the sill.

    springing: height of the springing above the sill, None where there is none. rise: of the
    head above it. guessed: what was assumed, in words, where it was not measured.
    """

    ring: Ring
    springing: float | None
    rise: float
    guessed: tuple[str, ...] = ()


def outline_of(spec: OutlineSpec) -> Outline:
    """Return the outline of what was measured. Raises OutlineError, naming what cannot be."""
    if spec.shape == "points":
        return _of_points(spec)
    width = _measured(spec.width, "width")
    if spec.shape in SHAPES:
        return _shape(spec, width)
    height = _measured(spec.height, "height")
    if spec.shape in HEADS:
        return _headed(spec, width, height)
    guessed = () if spec.shape == "rectangle" else ("Its shape is not recorded: drawn square.",)
    return Outline(_rectangle(width, height), None, 0.0, guessed)


def _measured(value: float | None, field: str) -> float:
    if value is None:
        raise OutlineError(field, f"The {field} is missing.")
    if math.isnan(value):
        raise OutlineError(field, f"The {field} is not a number.")
    if value <= 0:
        raise OutlineError(field, f"The {field} must be above zero.")
    if not SMALLEST_MM <= value <= LARGEST_MM:
        raise OutlineError(field, f"The {field} must be between 1 mm and 60 m.")
    return value


def _rectangle(width: float, height: float) -> Ring:
    corners = [Point(0, 0), Point(width, 0), Point(width, height), Point(0, height)]
    return Ring(tuple(Edge(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)))


def _headed(spec: OutlineSpec, width: float, height: float) -> Outline:
    """An opening with jambs up to its springing and an arch over them."""
    guessed: tuple[str, ...] = ()
    if spec.springing is None:
        rise = min(USUAL_RISE[spec.shape] * width, MOST_OF_HEIGHT * height)
        guessed = ("The springing is not recorded: the head is drawn by its usual shape.",)
        if spec.shape == "two-centred":
            rise = max(rise, min(width / 2, height))
    else:
        rise = height - _springing(spec.springing, height)
    head, more = HEADS[spec.shape](spec, width, rise)
    rise = max(edge.start.y for edge in head) if len(head) > 1 else head[0].bulge * width / 2
    springing = height - rise
    return Outline(_with_jambs(head, width, springing), springing, rise, guessed + more)


def _springing(springing: float, height: float) -> float:
    if math.isnan(springing):
        raise OutlineError("springing", "The springing is not a number.")
    if springing < 0:
        raise OutlineError("springing", "The springing cannot be below the sill.")
    if springing >= height:
        raise OutlineError(
            "springing",
            f"The springing ({springing:.0f} mm) is not below the apex: give less than the whole "
            f"height, {height:.0f} mm.",
        )
    return springing


def _with_jambs(head: list[Edge], width: float, springing: float) -> Ring:
    """A head from the right springing to the left, on jambs and a sill."""
    if springing <= 0:
        return Ring((Edge(Point(0, 0), Point(width, 0)), *head))
    moved = [
        Edge(Point(e.start.x, e.start.y + springing), Point(e.end.x, e.end.y + springing), e.bulge)
        for e in head
    ]
    right, left = moved[0].start, moved[-1].end
    sill = Edge(Point(0, 0), Point(width, 0))
    return Ring((sill, Edge(sill.end, right), *moved, Edge(left, sill.start)))


Head = tuple[list[Edge], tuple[str, ...]]


def _semicircular(spec: OutlineSpec, width: float, rise: float) -> Head:
    if spec.springing is not None and abs(rise - width / 2) > TAPE * width:
        raise OutlineError(
            "springing",
            f"A round head {width:.0f} mm wide rises {width / 2:.0f} mm, not {rise:.0f} mm: "
            "correct the springing, or choose a segmental or a pointed head.",
        )
    told: tuple[str, ...] = ()
    if not math.isclose(rise, width / 2, abs_tol=0.5):
        told = (
            f"A half circle rises {width / 2:.0f} mm, by the tape it is {rise:.0f} mm: "
            + ("drawn a little flatter." if rise < width / 2 else "drawn springing higher."),
        )
    return _segment(width, min(rise, width / 2)), told


def _segmental(spec: OutlineSpec, width: float, rise: float) -> Head:
    if rise > width / 2 * (1 + TAPE):
        raise OutlineError(
            "springing",
            f"A segmental head rises at most half its span, {width / 2:.0f} mm, not {rise:.0f} mm: "
            "correct the springing, or choose a pointed head.",
        )
    return _segment(width, min(rise, width / 2)), ()


def _segment(width: float, rise: float) -> list[Edge]:
    return [Edge(Point(width, 0), Point(0, 0), 2 * rise / width)]


def _two_centred(spec: OutlineSpec, width: float, rise: float) -> Head:
    if rise < width / 2 * (1 - TAPE):
        raise OutlineError(
            "springing" if spec.springing is not None else "height",
            f"A pointed head of two centres rises at least half its span, {width / 2:.0f} mm, not "
            f"{rise:.0f} mm: correct the springing, or choose a four-centred or segmental head.",
        )
    if rise <= width / 2:
        told: tuple[str, ...] = ()
        if width / 2 - rise > 0.5:
            told = (f"A pointed head rises above {width / 2:.0f} mm: drawn round, {rise:.0f} mm.",)
        return _segment(width, rise), told
    apex = Point(width / 2, rise)
    bulge = _side_bulge(width, rise)
    return [Edge(Point(width, 0), apex, bulge), Edge(apex, Point(0, 0), bulge)], ()


def _side_bulge(width: float, rise: float) -> float:
    """The bulge of one side: its centre lies on the springing line."""
    radius = heads.two_centred_radius(width, rise)
    return math.tan(math.atan2(rise, radius - width / 2) / 4)


def _four_centred(spec: OutlineSpec, width: float, rise: float) -> Head:
    small = spec.small_radius
    if small is None:
        return _usual_four_centred(spec, width, rise)
    if not 0 < small < width / 2:
        raise OutlineError(
            "small_radius", f"The small radius must be above 0 and below {width / 2:.0f} mm."
        )
    for angle in FOUR_CENTRED_ANGLES:
        try:
            return _four_arcs(heads.four_centred(width, rise, small, angle)), ()
        except ValueError:
            continue
    least, _ = heads.four_centred_rises(width, small, max(FOUR_CENTRED_ANGLES))
    _, most = heads.four_centred_rises(width, small, min(FOUR_CENTRED_ANGLES))
    raise OutlineError(
        "small_radius",
        f"A four-centred head {width:.0f} mm wide with a small radius of {small:g} mm rises "
        f"from {least:.0f} to {most:.0f} mm, not {rise:.0f} mm: correct the radius or the "
        "springing.",
    )


def _usual_four_centred(spec: OutlineSpec, width: float, rise: float) -> Head:
    """With the first of the usual small radii that goes with the rise."""
    for share in USUAL_SMALL_RADII:
        try:
            head = heads.four_centred(width, rise, share * width, FOUR_CENTRED_ANGLE)
        except ValueError:
            continue
        return _four_arcs(head), (
            f"The small radius is not recorded: {share:g} of the span is taken.",
        )
    small, large = min(USUAL_SMALL_RADII), max(USUAL_SMALL_RADII)
    least, _ = heads.four_centred_rises(width, small * width, FOUR_CENTRED_ANGLE)
    _, most = heads.four_centred_rises(width, large * width, FOUR_CENTRED_ANGLE)
    raise OutlineError(
        "springing" if spec.springing is not None else "height",
        f"A four-centred head {width:.0f} mm wide rises from about {least:.0f} to {most:.0f} mm, "
        f"not {rise:.0f} mm: correct the springing, or choose a segmental head if it is lower, a "
        "two-centred one if it is higher.",
    )


def _four_arcs(head: heads.FourCentred) -> list[Edge]:
    x, y = head.turn
    width, apex = head.span, Point(head.span / 2, head.rise)
    small = math.tan(head.angle / 4)
    large = math.tan((head.end_angle - head.angle) / 4)
    right, left = Point(width - x, y), Point(x, y)
    return [
        Edge(Point(width, 0), right, small),
        Edge(right, apex, large),
        Edge(apex, left, large),
        Edge(left, Point(0, 0), small),
    ]


HEADS: Final[Mapping[str, Callable[[OutlineSpec, float, float], Head]]] = {
    "semicircular": _semicircular,
    "segmental": _segmental,
    "two-centred": _two_centred,
    "four-centred": _four_centred,
}


def _shape(spec: OutlineSpec, width: float) -> Outline:
    """A shape that stands by itself, without jambs; its foot touches the sill."""
    height = None if spec.height is None else _measured(spec.height, "height")
    foils = _foils(spec) if spec.shape in ("foiled", "foiled in circle") else 0
    ring = SHAPES[spec.shape](width, height, foils)
    box = ring.box
    ring = ring.moved(-box.left, -box.bottom)
    told: tuple[str, ...] = ()
    if height is not None and abs(box.height - height) > max(TAPE * height, 1.0):
        told = (f"By its width this shape is {box.height:.0f} mm high, not {height:.0f} mm.",)
    return Outline(ring, None, 0.0, told)


def _foils(spec: OutlineSpec) -> int:
    if spec.foils is None:
        raise OutlineError("foils", "Say how many foils it has, from 3 to 8.")
    if not FEWEST_FOILS <= spec.foils <= MOST_FOILS:
        raise OutlineError("foils", f"Foils are from 3 to 8, not {spec.foils}.")
    return spec.foils


def _vesica(width: float, height: float | None, foils: int) -> Ring:
    tall = height or width * math.sqrt(3)
    if tall < width:
        raise OutlineError("height", f"A vesica is at least as high as wide, {width:.0f} mm.")
    return vesica(width, tall)


SHAPES: Final[Mapping[str, Callable[[float, float | None, int], Ring]]] = {
    "roundel": lambda width, height, foils: ellipse(width, width),
    "ellipse": lambda width, height, foils: ellipse(width, height or width),
    "vesica": _vesica,
    "triangle": lambda width, height, foils: triangle(width, height or width * math.sqrt(3) / 2),
    "curved triangle": lambda width, height, foils: curved_triangle(width),
    "foiled": lambda width, height, foils: foils_on_sides(width, foils),
    "foiled in circle": lambda width, height, foils: foils_in_circle(width, foils),
}


def _of_points(spec: OutlineSpec) -> Outline:
    """A ring of corners and arcs as typed, moved so that its foot stands on the sill."""
    corners = spec.points
    if len(corners) < 2 or (len(corners) == 2 and not any(bulge for _, _, bulge in corners)):
        raise OutlineError("points", "An outline needs at least three corners, or two and an arc.")
    for number in (number for corner in corners for number in corner):
        if not math.isfinite(number) or abs(number) > LARGEST_MM:
            raise OutlineError("points", "A corner is further away than 60 m.")
    points = [Point(x, y) for x, y, _ in corners]
    if len(set(points)) < len(points):
        raise OutlineError("points", "Two corners of the outline are the same.")
    following = [*points[1:], points[0]]
    bulges = [bulge for _, _, bulge in corners]
    ring = Ring(
        tuple(Edge(a, b, bulge) for a, b, bulge in zip(points, following, bulges, strict=True))
    )
    if _crosses_itself(ring):
        raise OutlineError("points", "The outline crosses itself: give its corners in order.")
    ring = counter_clockwise(ring)
    box = ring.box
    if max(box.width, box.height) > LARGEST_MM:
        raise OutlineError("points", "The outline is larger than 60 m.")
    if ring.area < SMALLEST_MM**2:
        raise OutlineError("points", "These corners enclose nothing.")
    return Outline(ring.moved(-box.left, -box.bottom), None, 0.0)


def _crosses_itself(ring: Ring) -> bool:
    """Whether its polygon crosses or touches itself."""
    polygon = ring.polygon(max(ring.box.width, ring.box.height) / 2000)
    return not LinearRing(polygon).is_simple
