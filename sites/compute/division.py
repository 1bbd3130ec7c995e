"""An opening divided: lights between mullions, panels between bars, tracery lights in the head.

Millimetres; x to the right as seen from inside from the left jamb, y upwards from the sill.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import Final

from sites.compute.division_parts import (
    Bar,
    BarSpec,
    Cell,
    Division,
    Light,
    OpeningSpec,
)
from sites.compute.geometry.outlines import (
    HEADS,
    USUAL_RISE,
    Outline,
    OutlineError,
    OutlineSpec,
    outline_of,
)
from sites.compute.geometry.overlap import TAPE_MM, inside, overlap
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
MOST_LIGHTS: Final = 40


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
    _check_rows(spec)
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
        remarks=(
            *outline.guessed,
            *told,
            *told_of_heads,
            *_overlaps(tracery, lights),
            *_idle(spec, lights),
        ),
    )


Side = tuple[float, float]


def _sides(spec: OpeningSpec, outline: Outline) -> tuple[list[Side], list[str]]:
    """The left and right of each light, and what was assumed."""
    width, count = outline.ring.box.width, spec.lights
    if not 1 <= count <= MOST_LIGHTS:
        raise OutlineError("lights", f"Lights are from 1 to {MOST_LIGHTS}, not {count}.")
    if spec.mullion is not None and not spec.mullion > 0:
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
    if not all(each > 0 for each in widths):
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
        ring = _light_outline(spec, width, springing, rise).moved(left, 0.0)
        if not inside(ring, outline.ring):
            raise OutlineError(
                "light_springing",
                f"The head of light {n} would stand out of the opening: let the lights "
                f"spring lower than {springing:.0f} mm.",
            )
        found.append((ring,))
    return found, told


def _light_outline(spec: OpeningSpec, width: float, springing: float, rise: float) -> Ring:
    try:
        return outline_of(
            OutlineSpec(
                spec.light_head,
                width,
                springing + rise,
                springing=springing if rise else None,
                small_radius=spec.light_small_radius,
            )
        ).ring
    except OutlineError as error:
        field = {"small_radius": "light_small_radius", "width": "light_widths"}.get(error.field)
        raise OutlineError(field or "light_springing", f"The lights: {error}") from error


def _light_springing(spec: OpeningSpec, outline: Outline) -> tuple[float, list[str]]:
    top = outline.ring.box.top
    highest = outline.springing if outline.springing is not None else top
    given = spec.light_springing
    if given is None:
        given = highest if outline.springing else USUAL_LIGHT * top
        return given, [f"Where the lights spring is not recorded: drawn at {given:.0f} mm."]
    if not given > 0:
        raise OutlineError("light_springing", "The lights must spring above the sill.")
    if given > highest + TAPE_MM:
        raise OutlineError(
            "light_springing",
            f"The lights spring at {given:.0f} mm, above the opening's own springing at "
            f"{highest:.0f} mm: give no more than that.",
        )
    return given, []


def _check_bars(spec: OpeningSpec, outline: Outline, lights: Sequence[Light]) -> None:
    top = outline.ring.box.top
    for bar in spec.bars:
        if not 0 < bar.height < top:
            where = "above the apex" if bar.height > 0 else "at or below the sill"
            raise OutlineError(
                "bars",
                f"A bar at {bar.height:.0f} mm would lie {where}: give a height between 0 and "
                f"{top:.0f} mm.",
                bar.key,
            )
        if bar.light is not None and not 1 <= bar.light <= len(lights):
            words = f"There is no light {bar.light} for a bar to cross."
            raise OutlineError("bars", words, bar.key)


def _check_rows(spec: OpeningSpec) -> None:
    if not all(0 < height < math.inf for height in spec.row_heights):
        raise OutlineError("row_heights", "The height of a row must be above zero.")


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
    stops: list[float] = []
    for y in _cuts(spec, light, foot):
        # Two cuts within what a tape can tell apart are one: no panel is a hair high.
        if max([foot, *stops[-1:]]) + TAPE_MM < y < top - TAPE_MM:
            stops.append(y)
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
            if overlap(cell.ring, ring)
        ]
    return told


def _idle(spec: OpeningSpec, lights: Sequence[Light]) -> list[str]:
    """Which bars and rows have no glass behind them, in words."""
    told = [
        f"The bar at {bar.height:.0f} mm crosses no glass"
        + ("." if bar.light is None else f" of light {bar.light}.")
        for bar in spec.bars
        if not any(
            light.ring.widths_at(bar.height) for light in lights if bar.light in (None, light.place)
        )
    ]
    room = max(light.ring.box.height for light in lights)
    if sum(spec.row_heights) > room + TAPE_MM and not any(b.kind in CUTTING for b in spec.bars):
        told.append(
            f"The rows are {sum(spec.row_heights):.0f} mm high together, the lights {room:.0f} mm."
        )
    return told
