"""Plans for tests: invented buildings, walked wall by wall with the inside on the right."""

from math import cos, radians, sin

from sites.compute.geometry.rings import Point
from sites.compute.numbering_plan import PlanOpening
from sites.compute.plan.rows import Row, read_rows
from sites.compute.plan.walls import OnWall, Placed, Wall, place_openings


def row(direction: str, length: str, openings: str = "", **more: str) -> Row:
    return Row(direction=direction, length=length, openings=openings, **more)


# A nave 24 m by 8 m, transepts 6 m out and 8 m wide, a chancel 10 m by 8 m with a square end, and
# a clerestory over the nave; from the south-west corner. Names of openings are what they should
# be numbered, in the order they are walked past.
CRUCIFORM = [
    row("N", "8 m", "wII, wI"),
    row("E", "24 m", "nX, nIX, nVIII"),
    row("N", "6 m", "nVII"),
    row("E", "8 m", "nVI, nV"),
    row("S", "6 m", "nIV"),
    row("E", "10 m", "nIII, nII"),
    row("S", "8 m", "I"),
    row("W", "10 m", "sII, sIII"),
    row("S", "6 m", "sIV"),
    row("W", "8 m", "sV, sVI"),
    row("N", "6 m", "sVII"),
    row("W", "24 m", "sVIII, sIX, sX"),
    row("E", "24 m", "NIV, NIII, NII", start="2 m; 6 m", name="north clerestory"),
    row("W", "24 m", "SII, SIII, SIV", start="26 m; 2 m", name="south clerestory"),
]

# Two half circles 10 m across, one window in each eighth of it.
ROUND = [
    row("N", "10 m", "sIV at 3927, wI at 7854, nIV at 11781, nIII at 15.7 m", rise="5 m"),
    row("S", "10 m", "nII at 3927, I at 7854, sII at 11781, sIII at 15.7 m", rise="5 m"),
]


def level_of(number: str) -> str:
    return "clerestory" if number[:2] in ("NI", "SI", "NV", "SV", "WI") else "ground"


def drawn(rows: list[Row]) -> tuple[list[Wall], tuple[Placed, ...]]:
    """The walls of a plan, and its openings in place, keyed by the numbers typed."""
    walls, errors = read_rows(rows, "mm")
    assert errors == []
    said = [
        OnWall(
            opening.number,
            each.wall.key,
            float(opening.along.mm) if opening.along else None,
            level_of(opening.number),
        )
        for each in walls
        for opening in each.openings
    ]
    return [each.wall for each in walls], place_openings([each.wall for each in walls], said)


def turned(walls: list[Wall], degrees: float) -> list[Wall]:
    """The walls turned clockwise by compass degrees about the origin."""

    def point(at: Point) -> Point:
        c, s = cos(radians(degrees)), sin(radians(degrees))
        return Point(at.x * c + at.y * s, at.y * c - at.x * s)

    return [
        Wall(wall.key, wall.name, point(wall.start), point(wall.end), wall.bulge) for wall in walls
    ]


def mirrored(opening: PlanOpening) -> PlanOpening:
    """An opening mirrored in the line that runs through the origin from west to east."""
    return PlanOpening(
        opening.key, opening.x, -opening.y, (180 - opening.outward) % 360, opening.level
    )
