"""An opening divided: lights between mullions, panels between bars, tracery lights in the head.

Millimetres; x to the right as seen from inside from the left jamb, y upwards from the sill.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Final, Literal

from sites.compute.geometry.outlines import (
    HEADS,
    USUAL_RISE,
    Outline,
    OutlineError,
    OutlineSpec,
    outline_of,
)
from sites.compute.geometry.rings import Ring
from sites.compute.tracery import TracerySpec, lay_out_tracery, tracery_ring

__all__ = [
    "Bar", "BarSpec", "Cell", "Division", "Light", "OpeningSpec", "TracerySpec",
    "divide", "lay_out_tracery",
]  # fmt: skip

CUTTING: Final = frozenset({"division bar", "T-bar", "transom"})
# A mullion nobody measured is drawn as this share of the opening's width.
USUAL_MULLION: Final = 0.025
# Where the lights end below a head nobody measured, as a share of the whole height.
USUAL_LIGHT: Final = 0.6
# What a tape may be out by, in mm.
TAPE_MM: Final = 1.0
MOST_LIGHTS: Final = 40

CellKind = Literal["panel", "tracery"]


@dataclass(frozen=True)
class BarSpec:
    """A bar as recorded; light counts from the left, None for a bar across all of them."""

    key: str
    kind: str
    height: float
    light: int | None = None


@dataclass(frozen=True)
class OpeningSpec:
    """What is known of an opening, in mm; see `divide`."""

    outline: OutlineSpec
    lights: int = 1
    light_widths: tuple[float, ...] = ()
    mullion: float | None = None
    light_head: str = ""
    light_springing: float | None = None
    light_small_radius: float | None = None
    bars: tuple[BarSpec, ...] = ()
    tracery: tuple[TracerySpec, ...] = ()
    row_heights: tuple[float, ...] = ()


@dataclass(frozen=True)
class Light:
    """A light by its place from the left, with its clear outline and its two sides."""

    place: int
    ring: Ring
    left: float
    right: float


@dataclass(frozen=True)
class Cell:
    """What one panel fills. A panel that an outline parts has several cells of one number."""

    number: str
    ring: Ring
    light: int
    row: int
    kind: CellKind


@dataclass(frozen=True)
class Bar:
    """A bar as it crosses one light."""

    key: str
    kind: str
    x1: float
    x2: float
    y: float


@dataclass(frozen=True)
class Division:
    """An opening's parts. mullions: (left, right, foot, top) of each; areas in mm².

    stonework: what of the opening is not glazed, its mullions and tracery.
    """

    outline: Outline
    lights: tuple[Light, ...]
    cells: tuple[Cell, ...]
    bars: tuple[Bar, ...]
    mullions: tuple[tuple[float, float, float, float], ...]
    glazed_area: float
    remarks: tuple[str, ...] = ()

    @property
    def stonework(self) -> float:
        return max(self.outline.ring.area - self.glazed_area, 0.0)


def divide(spec: OpeningSpec) -> Division:
    """Return the opening divided. Its rows are cut at the bars that part panels; where there is
    none, at the heights of `row_heights`; else each light is one panel.

    Raises OutlineError, naming the measurement that cannot be and what is possible.
    """
    outline = outline_of(spec.outline)
    sides, told = _sides(spec, outline)
    pieces, told_of_heads = _pieces(spec, outline, sides)
    lights = tuple(
        Light(n, max(rings, key=lambda ring: ring.area), left, right)
        for n, (rings, (left, right)) in enumerate(zip(pieces, sides, strict=True), start=1)
    )
    _check_bars(spec, outline, lights)
    tracery = tuple(
        Cell(each.number, tracery_ring(each, outline.ring), 0, 0, "tracery")
        for each in spec.tracery
    )
    panels = [cell for n, rings in enumerate(pieces, 1) for cell in _panels(spec, n, rings)]
    glazed = sum(ring.area for rings in pieces for ring in rings)
    return Division(
        outline=outline,
        lights=lights,
        cells=(*sorted(panels, key=lambda cell: (cell.row, cell.light)), *tracery),
        bars=tuple(_bars(spec, lights)),
        mullions=tuple(_mullions(outline.ring, sides, lights, bool(spec.light_head))),
        glazed_area=glazed + sum(cell.ring.area for cell in tracery),
        remarks=(*outline.guessed, *told, *told_of_heads, *_overlaps(tracery, lights)),
    )


Side = tuple[float, float]


def _sides(spec: OpeningSpec, outline: Outline) -> tuple[list[Side], list[str]]:
    """The left and right of each light, and what was assumed."""
    width, count = outline.ring.box.width, spec.lights
    if not 1 <= count <= MOST_LIGHTS:
        raise OutlineError("lights", f"Lights are from 1 to {MOST_LIGHTS}, not {count}.")
    if spec.mullion is not None and spec.mullion <= 0:
        raise OutlineError("mullion", "The mullion must be above zero.")
    if spec.light_widths:
        return _uneven(spec, width)
    mullion, told = spec.mullion or 0.0, []
    if count > 1 and spec.mullion is None:
        mullion = USUAL_MULLION * width
        told = [f"The mullions are not recorded: drawn {mullion:.0f} mm wide."]
    each = (width - mullion * (count - 1)) / count
    if each <= 0:
        raise OutlineError(
            "mullion",
            f"{count - 1} mullions of {mullion:.0f} mm leave no glass in the width of "
            f"{width:.0f} mm.",
        )
    return [(n * (each + mullion), n * (each + mullion) + each) for n in range(count)], told


def _uneven(spec: OpeningSpec, width: float) -> tuple[list[Side], list[str]]:
    widths, count = spec.light_widths, spec.lights
    if len(widths) != count:
        raise OutlineError(
            "light_widths", f"There are {len(widths)} widths for {count} lights: give one for each."
        )
    if any(each <= 0 for each in widths):
        raise OutlineError("light_widths", "The width of a light must be above zero.")
    room = width - (spec.mullion or 0.0) * (count - 1)
    left_over = room - sum(widths)
    if left_over < -TAPE_MM:
        raise OutlineError(
            "light_widths",
            f"The lights are {sum(widths):.0f} mm wide together, but the opening has room for "
            f"{room:.0f} mm: correct a width, the mullion or the opening's own width.",
        )
    # What nobody measured lies in the mullions; with a measured mullion, at both jambs.
    mullion = spec.mullion if spec.mullion is not None else max(left_over, 0.0) / max(count - 1, 1)
    x = max(left_over, 0.0) / 2 if spec.mullion is not None or count == 1 else 0.0
    sides = []
    for each in widths:
        sides.append((x, x + each))
        x += each + mullion
    return sides, []


def _pieces(
    spec: OpeningSpec, outline: Outline, sides: Sequence[Side]
) -> tuple[list[tuple[Ring, ...]], list[str]]:
    """Each light's outline, in pieces where the opening's own parts it."""
    if spec.light_head:
        return _headed_lights(spec, outline, sides)
    found = []
    for n, (left, right) in enumerate(sides, start=1):
        rings = [part for ring in outline.ring.right_of(left) for part in ring.left_of(right)]
        if not rings:
            raise OutlineError("lights", f"Light {n} has no glass: there are too many lights.")
        found.append(tuple(rings))
    return found, []


def _headed_lights(
    spec: OpeningSpec, outline: Outline, sides: Sequence[Side]
) -> tuple[list[tuple[Ring, ...]], list[str]]:
    """Lights with heads of their own under the opening's; between them is stone."""
    if spec.light_head != "rectangle" and spec.light_head not in HEADS:
        raise OutlineError("light_head", "A light has a square, round, segmental or pointed head.")
    springing, told = _light_springing(spec, outline)
    found: list[tuple[Ring, ...]] = []
    for n, (left, right) in enumerate(sides, start=1):
        width = right - left
        rise = USUAL_RISE.get(spec.light_head, 0.0) * width
        light = outline_of(
            OutlineSpec(
                spec.light_head,
                width,
                springing + rise,
                springing=springing if rise else None,
                small_radius=spec.light_small_radius,
            )
        )
        ring = light.ring.moved(left, 0.0)
        if not inside(ring, outline.ring):
            raise OutlineError(
                "light_springing",
                f"The head of light {n} would stand out of the opening: let the lights "
                f"spring lower than {springing:.0f} mm.",
            )
        found.append((ring,))
    return found, told


def _light_springing(spec: OpeningSpec, outline: Outline) -> tuple[float, list[str]]:
    top = outline.ring.box.top
    highest = outline.springing if outline.springing is not None else top
    given = spec.light_springing
    if given is None:
        given = highest if outline.springing else USUAL_LIGHT * top
        return given, [f"Where the lights spring is not recorded: drawn at {given:.0f} mm."]
    if given <= 0:
        raise OutlineError("light_springing", "The lights must spring above the sill.")
    if given > highest + TAPE_MM:
        raise OutlineError(
            "light_springing",
            f"The lights spring at {given:.0f} mm, above the opening's own springing at "
            f"{highest:.0f} mm: give no more than that.",
        )
    return given, []


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


def _check_bars(spec: OpeningSpec, outline: Outline, lights: Sequence[Light]) -> None:
    top = outline.ring.box.top
    for bar in spec.bars:
        if not 0 < bar.height < top:
            where = "below the sill" if bar.height <= 0 else "above the apex"
            raise OutlineError(
                "bars",
                f"A bar at {bar.height:.0f} mm would lie {where}: give a height between 0 and "
                f"{top:.0f} mm.",
            )
        if bar.light is not None and not 1 <= bar.light <= len(lights):
            raise OutlineError("bars", f"There is no light {bar.light} for a bar to cross.")


def _cuts(spec: OpeningSpec, light: int, foot: float) -> list[float]:
    """The heights at which a light is cut, from the sill up."""
    bars = {bar.height for bar in spec.bars if bar.kind in CUTTING and bar.light in (None, light)}
    if bars or any(bar.kind in CUTTING for bar in spec.bars):
        return sorted(bars)
    cuts, y = [], foot
    for height in spec.row_heights:
        y += height
        cuts.append(y)
    return cuts


def _panels(spec: OpeningSpec, light: int, rings: Sequence[Ring]) -> list[Cell]:
    foot = min(ring.box.bottom for ring in rings)
    top = max(ring.box.top for ring in rings)
    letter = chr(ord("a") + light - 1) if light <= 26 else f"({light})"
    cells, rest, row = [], list(rings), 0
    stops = [y for y in _cuts(spec, light, foot) if foot + TAPE_MM < y < top - TAPE_MM]
    for row, y in enumerate(stops, start=1):
        cells += [
            Cell(f"{row}{letter}", part, light, row, "panel")
            for ring in rest
            for part in ring.below(y)
        ]
        rest = [part for ring in rest for part in ring.above(y)]
    last = len(stops) + 1
    return cells + [Cell(f"{last}{letter}", ring, light, last, "panel") for ring in rest]


def _bars(spec: OpeningSpec, lights: Sequence[Light]) -> list[Bar]:
    return [
        Bar(bar.key, bar.kind, left, right, bar.height)
        for bar in sorted(spec.bars, key=lambda bar: bar.height)
        for light in lights
        if bar.light in (None, light.place)
        for left, right in light.ring.widths_at(bar.height)
    ]


def _mullions(
    outline: Ring, sides: Sequence[Side], lights: Sequence[Light], headed: bool
) -> list[tuple[float, float, float, float]]:
    found = []
    for (_, left), (right, _) in pairwise(sides):
        if right - left <= 0:
            continue
        stone = [part for ring in outline.right_of(left) for part in ring.left_of(right)]
        if not stone:
            continue
        foot, top = min(r.box.bottom for r in stone), max(r.box.top for r in stone)
        if headed:
            top = min(top, max(light.ring.box.top for light in lights))
        found.append((left, right, foot, top))
    return found


def _overlaps(tracery: Sequence[Cell], lights: Sequence[Light]) -> list[str]:
    """Which tracery lights lie over one another or over a light, in words."""
    told = []
    for n, cell in enumerate(tracery):
        others = [(other.number, other.ring) for other in tracery[n + 1 :]]
        others += [(f"light {light.place}", light.ring) for light in lights]
        told += [
            f"Tracery light {cell.number} overlaps {name}."
            for name, ring in others
            if _overlap(cell.ring, ring)
        ]
    return told


def _overlap(one: Ring, other: Ring) -> bool:
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
