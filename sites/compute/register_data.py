"""What is recorded of an opening, a panel, an attached item and a fixing, value by value.

Plain values: lengths with the words they were typed in, old dates as written, other records by
their keys. The same data makes a record and changes one.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Annotated, Final
from uuid import UUID

from sites.compute.geometry.outlines import FEWEST_FOILS, MOST_FOILS
from sites.compute.lengths import Length
from sites.compute.record_fields import (
    Choice,
    Key,
    Number,
    OldDateWords,
    Size,
    Sizes,
    Whole,
    Words,
)

MOST_LIGHTS: Final = 40
# Far above any window; the database would refuse more.
MOST_PIECES: Final = 100_000
MOST_FIXINGS: Final = 500
# How far from the origin a place may lie, in mm: beyond any wall.
FARTHEST_MM: Final = 60_000

HEADS: Final = (
    "rectangle",
    "semicircular",
    "segmental",
    "two-centred",
    "four-centred",
    "roundel",
    "ellipse",
    "vesica",
    "triangle",
    "curved triangle",
    "foiled",
    "foiled in circle",
    "points",
    "other",
)
# Corners in mm: x, y, and the bulge of the edge that follows.
Corner = tuple[float, ...]

Another = Annotated[UUID | None, Key()]
PartNumber = Annotated[str, Words(24, required=True)]
Measure = Annotated[Length | None, Size()]
Prose = Annotated[str, Words()]
OldDate = Annotated[str, OldDateWords(80)]
Foils = Annotated[int | None, Whole(FEWEST_FOILS, MOST_FOILS)]
Pieces = Annotated[int | None, Whole(0, MOST_PIECES)]
Under = Annotated[str, Choice(("people", "let in", "nobody"))]
Place = Annotated[Decimal | None, Number(Decimal(-FARTHEST_MM), Decimal(FARTHEST_MM), 2)]


@dataclass(frozen=True, kw_only=True)
class OpeningData:
    """A hole in the wall with a window in it."""

    building: Another = None
    number: PartNumber = ""
    title: Annotated[str, Words(200)] = ""
    wall: Annotated[str, Choice(("east", "north", "south", "west", "other"), required=True)] = (
        "other"
    )
    level: Annotated[str, Choice(("ground", "triforium", "clerestory", "other"), required=True)] = (
        "ground"
    )
    width: Measure = None
    height: Measure = None
    sill_height: Measure = None
    head: Annotated[str, Choice(HEADS, required=True)] = "other"
    springing: Measure = None
    small_radius: Measure = None
    foils: Foils = None
    points: tuple[Corner, ...] = ()
    lights: Annotated[int | None, Whole(1, MOST_LIGHTS, required=True)] = 1
    mullion: Measure = None
    light_head: Annotated[str, Choice(HEADS)] = ""
    light_springing: Measure = None
    light_widths: Annotated[tuple[Length, ...], Sizes()] = ()
    rebate: Measure = None
    plan_wall: Another = None
    plan_along: Measure = None
    made: OldDate = ""
    maker: Annotated[str, Words(160)] = ""
    protective_glazing: Annotated[
        str, Choice(("unknown", "none", "vented", "unvented"), required=True)
    ] = "unknown"
    under_inside: Under = ""
    under_outside: Under = ""
    significance: Annotated[str, Choice(("ordinary", "notable", "outstanding"))] = ""
    access: Prose = ""


@dataclass(frozen=True, kw_only=True)
class BarData:
    """A bar across an opening, or across one light of it."""

    opening: Another = None
    kind: Annotated[
        str, Choice(("saddle bar", "division bar", "T-bar", "transom"), required=True)
    ] = "saddle bar"
    light: Annotated[int | None, Whole(1, MOST_LIGHTS)] = None
    height: Measure = None
    ties: Annotated[int | None, Whole(0, 200)] = None
    section: Annotated[str, Choice(("round", "flat", "square"))] = ""
    width: Measure = None
    depth: Measure = None
    material: Annotated[
        str, Choice(("steel", "wrought iron", "stainless steel", "bronze", "brass"))
    ] = ""


@dataclass(frozen=True, kw_only=True)
class PanelData:
    """A leaded piece that is lifted in and out; with a shape and a place, a tracery light."""

    opening: Another = None
    number: PartNumber = ""
    width: Measure = None
    height: Measure = None
    pieces: Annotated[int | None, Whole(1, MOST_PIECES)] = None
    subject: Annotated[str, Words(200)] = ""
    shape: Annotated[str, Choice(HEADS)] = ""
    x_mm: Place = None
    y_mm: Place = None
    turn_degrees: Annotated[
        Decimal | None, Number(Decimal(-360), Decimal(360), 1, required=True)
    ] = Decimal(0)
    foils: Foils = None
    points: tuple[Corner, ...] = ()
    glass_thickness: Measure = None
    pattern: Annotated[str, Choice(("squares", "hexagons", "strips", "figure", "other"))] = ""
    crossings: Pieces = None
    ringed_pieces: Pieces = None
    plated_pieces: Pieces = None


@dataclass(frozen=True, kw_only=True)
class ItemData:
    """A plaque or another thing fixed to a window."""

    opening: Another = None
    panel: Another = None
    number: PartNumber = ""
    kind: Annotated[
        str, Choice(("plaque", "ventilator", "guard", "lamp", "sensor", "other"), required=True)
    ] = "plaque"
    material: Annotated[
        str,
        Choice(
            (
                "unknown",
                "brass",
                "bronze",
                "copper",
                "aluminium",
                "stainless steel",
                "magnesium",
                "zinc",
                "enamelled steel",
                "other",
            ),
            required=True,
        ),
    ] = "unknown"
    width: Measure = None
    height: Measure = None
    thickness: Measure = None
    inscription: Prose = ""
    memorial_of: Annotated[str, Words(240)] = ""
    donors: Annotated[str, Words(240)] = ""
    installed: OldDate = ""
    placement: Annotated[
        str, Choice(("in place", "taken down", "missing", "replaced"), required=True)
    ] = "in place"
    placed_at: Annotated[str, Words(240)] = ""
    held_by: Annotated[str, Words(160)] = ""
    placed_since: date | None = None
    replica_of: Another = None
    lower_edge: Measure = None
    has_sharp_edges: bool | None = None
    x_mm: Place = None
    y_mm: Place = None
    weighed_kg: Annotated[Decimal | None, Number(Decimal("0.001"), Decimal(99999), 3)] = None
    letter_height: Measure = None
    margin: Measure = None
    lettering: Annotated[str, Choice(("upright", "italic", "bold"), required=True)] = "upright"
    alignment: Annotated[str, Choice(("centred", "left"), required=True)] = "centred"
    reading_distance: Measure = None


@dataclass(frozen=True, kw_only=True)
class FixingData:
    """One kind of fixing of one item in one state: how many, held by what, cured when."""

    item: Another = None
    kind: Annotated[
        str,
        Choice(("soldered tab", "strap", "silicone bead", "screw", "wire", "other"), required=True),
    ] = ""
    count: Annotated[int | None, Whole(1, MOST_FIXINGS, required=True)] = 1
    state: Annotated[
        str, Choice(("sound", "failed", "new and curing", "not seen"), required=True)
    ] = ""
    holds_on_to: Annotated[
        str, Choice(("lead", "saddle bar", "frame", "stone", "timber", "unknown"), required=True)
    ] = ""
    host_state: Annotated[str, Choice(("sound", "weak", "failed", "not seen"), required=True)] = (
        "not seen"
    )
    width: Measure = None
    length: Measure = None
    cures_on: date | None = None
    product: Annotated[str, Words(120)] = ""
