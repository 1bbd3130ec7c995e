"""An opening of the register as geometry: what is recorded, and in its place what is usual."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from decimal import Decimal
from typing import Any, Final

from sites.compute.division import (
    BarSpec,
    Division,
    OpeningSpec,
    TracerySpec,
    divide,
    lay_out_tracery,
)
from sites.compute.geometry.outlines import (
    LARGEST_MM,
    SMALLEST_MM,
    OutlineError,
    OutlineSpec,
    outline_of,
)
from sites.compute.geometry.rings import Ring
from sites.compute.numbering import TRACERY, PanelPlace, panel_order, panel_place
from sites.compute.tracery import tracery_ring
from sites.models import Bar, Opening, Panel
from sites.models.choices import BarKind, Head

NOMINAL_LIGHT_MM: Final = 600.0
NOMINAL_ROW_MM: Final = 600.0
FEWEST_NOMINAL_ROWS: Final = 3
# Rows that fill this share of their light are all there; less, and some are not registered.
NEARLY_ALL: Final = 0.85
# Sums of taped panel sizes come out a little over the light's own: still believed.
TOLERANCE: Final = 1.03
# Which heads are as high as they are wide where nothing else is recorded.
AS_HIGH_AS_WIDE: Final = frozenset(
    {Head.ROUNDEL, Head.FOILED, Head.FOILED_IN_CIRCLE, Head.TRIANGLE, Head.CURVED_TRIANGLE}
)

# Heads of lights that nobody recorded follow that of their opening, and begin this share of a
# light's width below its springing: a studio default for a drawing.
LIKE_HEADS: Final[dict[str, Head]] = {
    Head.TWO_CENTRED: Head.TWO_CENTRED,
    Head.SEMICIRCULAR: Head.SEMICIRCULAR,
}
HEAD_BELOW: Final = 0.35

# As many measurements may be doubted one after the other before a plain rectangle is drawn.
MOST_DOUBTS: Final = 12

NOT_TO_SCALE: Final = "Not to scale: the width or the height is not recorded."
EVEN_ROWS: Final = "Rows of panels are drawn of even height: not all heights are recorded."
TOO_HIGH: Final = (
    "Rows of panels are drawn of even height: the recorded heights are more than the light's."
)
BEYOND: Final = (
    "The opening is recorded with {lights} lights: not on the drawing, but in the list: {numbers}."
)
EVEN_TRACERY: Final = "Tracery lights without a shape are drawn round, where the head has room."


def is_measured(opening: Opening) -> bool:
    """Whether both sizes of the opening are recorded: without them nothing is to scale."""
    return opening.width_mm is not None and opening.height_mm is not None


def division_of(
    opening: Opening,
    panels: Iterable[Panel] | None = None,
    bars: Iterable[Bar] | None = None,
) -> Division:
    """Return the opening divided into its cells; whatever is stored, it never raises.

    A size that is not recorded is taken as usual (a light 600 mm wide, rows 600 mm high), rows
    without a bar between them from the panels' own heights, tracery without a place laid out in
    the head. What cannot be true together is left out. `remarks` says all this in the user's words.
    panels, bars: the opening's, where the caller has read them already.
    """
    panels = list(opening.panels.all() if panels is None else panels)
    spec = _recorded(opening, panels, opening.bars.all() if bars is None else bars)
    doubts: list[str] = []
    for _attempt in range(MOST_DOUBTS):
        try:
            division, assumed = _completed(spec, opening, panels)
            break
        except OutlineError as error:
            doubts.append(f"Drawn more simply than it is recorded: {error}")
            spec = _simpler(spec, error.field)
    else:
        division, assumed = divide(OpeningSpec(_plain(spec.outline))), []
    remarks = dict.fromkeys((*doubts, *assumed, *division.remarks))
    return replace(division, remarks=tuple(remarks))


def division_as_recorded(
    opening: Opening, panels: Iterable[Panel], bars: Iterable[Bar]
) -> Division:
    """Return the opening divided just as it is told: for what is being typed.

    Raises OutlineError, naming what cannot be.
    """
    panels = list(panels)
    return _completed(_recorded(opening, panels, bars), opening, panels)[0]


def _recorded(opening: Opening, panels: Sequence[Panel], bars: Iterable[Bar]) -> OpeningSpec:
    lights = _lights(opening, panels)
    rows = [place.row for panel in panels if (place := _place_in(panel, lights))]
    return OpeningSpec(
        outline=_outline(opening, lights, max(rows, default=0)),
        lights=lights,
        light_widths=_light_widths(opening, panels, lights),
        mullion=_mm(opening.mullion_mm),
        light_head=opening.light_head,
        light_springing=_mm(opening.light_springing_mm),
        bars=tuple(
            BarSpec(str(bar.pk), bar.kind, float(bar.height_mm), bar.light)
            for bar in bars
            if bar.height_mm is not None
        ),
        tracery=tuple(spec for panel in panels if (spec := _tracery(panel))),
    )


def _lights(opening: Opening, panels: Iterable[Panel]) -> int:
    """As recorded; one light is what stands where nobody counted, so there the letters count."""
    if opening.lights > 1 or opening.light_widths_mm:
        return opening.lights
    return max([1, *(place.light for panel in panels if (place := panel_place(panel.number)))])


def _place_in(panel: Panel, lights: int) -> PanelPlace | None:
    """Where the panel stands in so many lights; None for tracery and beyond the last light."""
    place = panel_place(panel.number)
    return place if place and place.light <= lights else None


def _beyond(opening: Opening, panels: Iterable[Panel]) -> list[str]:
    """Which panels are lettered for a light that the opening has not, in words."""
    lights = _lights(opening, panels := list(panels))
    found = [p for p in panels if panel_place(p.number) and not _place_in(p, lights)]
    numbers = ", ".join(p.number for p in sorted(found, key=lambda p: panel_order(p.number)))
    return [BEYOND.format(lights=lights, numbers=numbers)] if found else []


def _outline(opening: Opening, lights: int, rows: int) -> OutlineSpec:
    width = _mm(opening.width_mm) or lights * NOMINAL_LIGHT_MM
    height = _mm(opening.height_mm)
    if height is None and opening.head in AS_HIGH_AS_WIDE:
        height = width
    if height is None:
        arched = opening.head not in (Head.RECTANGLE, Head.OTHER)
        height = max(rows, FEWEST_NOMINAL_ROWS) * NOMINAL_ROW_MM + (width if arched else 0.0)
    return OutlineSpec(
        shape=opening.head,
        width=width,
        height=height,
        springing=_mm(opening.springing_mm),
        small_radius=_mm(opening.small_radius_mm),
        foils=opening.foils,
        points=_points(opening.points),
    )


def _light_widths(opening: Opening, panels: Sequence[Panel], lights: int) -> tuple[float, ...]:
    """As recorded; else in proportion to the panels' own widths where all lights have one."""
    recorded = tuple(float(width) for width in opening.light_widths_mm)
    if recorded:
        return recorded
    known = [_greatest(panels, light=n + 1) for n in range(lights)]
    if opening.width_mm is None or any(width is None for width in known):
        return ()
    taped = [width for width in known if width is not None]
    clear = float(opening.width_mm) - (_mm(opening.mullion_mm) or 0.0) * (lights - 1)
    return tuple(taped) if clear * NEARLY_ALL < sum(taped) <= clear else ()


def _tracery(panel: Panel) -> TracerySpec | None:
    """The tracery light a panel is, where its outline and its place are recorded."""
    if not panel.shape or panel.x_mm is None or panel.y_mm is None:
        return None
    return TracerySpec(
        key=str(panel.pk),
        number=panel.number,
        shape=panel.shape,
        width=_mm(panel.width_mm),
        height=_mm(panel.height_mm),
        x=float(panel.x_mm),
        y=float(panel.y_mm),
        turn=float(panel.turn_degrees),
        foils=panel.foils,
        points=_points(panel.points),
    )


def _completed(
    spec: OpeningSpec, opening: Opening, panels: Sequence[Panel]
) -> tuple[Division, list[str]]:
    """Return the spec divided, with rows and tracery that the register gives no place to, and
    remarks on what was assumed for that. Raises OutlineError, naming what cannot be.
    """
    remarks = [] if is_measured(opening) else [NOT_TO_SCALE]
    remarks += _beyond(opening, panels)
    placed = {each.number for each in spec.tracery}
    loose = [p for p in panels if TRACERY.fullmatch(p.number) and p.number not in placed]
    # A rose: its panels are its tracery lights, and what is between them is stone.
    alone = bool(panels) and len(loose) + len(placed) == len(panels) and _closed(spec)
    if loose and not spec.light_head and not alone:
        spec = _lights_below_the_head(spec)
    division, full = divide(spec), spec
    if loose:
        rings = [] if alone else [light.ring for light in division.lights]
        full = _with_tracery(full, division, rings, loose)
        remarks.append(EVEN_TRACERY)
    if all(bar.kind == BarKind.SADDLE_BAR for bar in full.bars):
        standing = [panel for panel in panels if _place_in(panel, full.lights)]
        heights, remark = _row_heights(standing, division)
        full = replace(full, row_heights=heights)
        remarks += remark
    if full != spec:
        division = divide(full)
    return _tracery_alone(division) if alone else division, remarks


def _closed(spec: OpeningSpec) -> bool:
    """Whether the outline is a shape of its own, without jambs for lights to stand between."""
    shape = spec.outline.shape
    return shape in AS_HIGH_AS_WIDE or shape in (Head.ELLIPSE, Head.VESICA, Head.POINTS)


def _tracery_alone(division: Division) -> Division:
    """The division without the light that fills the whole outline of a rose."""
    cells = tuple(cell for cell in division.cells if cell.kind == "tracery")
    return replace(
        division,
        lights=(),
        cells=cells,
        mullions=(),
        glazed_area=sum(cell.ring.area for cell in cells),
        remarks=tuple(told for told in division.remarks if "overlaps light" not in told),
    )


def _lights_below_the_head(spec: OpeningSpec) -> OpeningSpec:
    """Lights that leave the head to the tracery: pointed or round where that fits, or square."""
    springing = outline_of(spec.outline).springing
    wanted = LIKE_HEADS.get(spec.outline.shape)
    if wanted and springing and spec.outline.width and spec.light_springing is None:
        lower = springing - HEAD_BELOW * spec.outline.width / spec.lights
        if lower > springing / 2:
            return replace(spec, light_head=wanted, light_springing=lower)
    return replace(spec, light_head=Head.RECTANGLE)


def _with_tracery(
    spec: OpeningSpec, division: Division, lights: Sequence[Ring], loose: Sequence[Panel]
) -> OpeningSpec:
    found = lay_out_tracery(division.outline, lights, len(loose))
    ordered = sorted(loose, key=lambda panel: panel_order(panel.number))
    named = [
        replace(place, key=str(panel.pk), number=panel.number)
        for place, panel in zip(found, ordered, strict=False)
    ]
    return replace(spec, tracery=(*spec.tracery, *named))


def _row_heights(
    panels: Sequence[Panel], division: Division
) -> tuple[tuple[float, ...], list[str]]:
    """The recorded heights of the rows where all are known and fit in; else even shares."""
    places = [place for panel in panels if (place := panel_place(panel.number))]
    rows = max([place.row for place in places], default=0)
    if rows == 0 or not division.lights:
        return (), []
    room = max(light.ring.box.height for light in division.lights)
    known = [_greatest(panels, row=n + 1) for n in range(rows)]
    sizes = [height for height in known if height is not None]
    if len(sizes) < rows:
        return tuple(room / rows for _ in known), [EVEN_ROWS]
    if sum(sizes) > room * TOLERANCE:
        return tuple(room / rows for _ in known), [TOO_HIGH]
    stretch = room / sum(sizes) if sum(sizes) > room * NEARLY_ALL else 1.0
    return tuple(height * stretch for height in sizes), []


def _greatest(panels: Sequence[Panel], row: int = 0, light: int = 0) -> float | None:
    """The greatest recorded size of a row's panels (height) or of a light's (width)."""
    sizes = []
    for panel in panels:
        place = panel_place(panel.number)
        if place is None or (row and place.row != row) or (light and place.light != light):
            continue
        size = panel.height_mm if row else panel.width_mm
        if size:
            sizes.append(float(size))
    return max(sizes, default=None)


def _simpler(spec: OpeningSpec, field: str) -> OpeningSpec:
    """The spec without what could not be believed; in the end a plain rectangle."""
    plainer = _without(spec, field)
    if plainer != spec:
        return plainer
    if spec.outline.shape != Head.RECTANGLE:
        outline = OutlineSpec(Head.RECTANGLE, spec.outline.width, spec.outline.height)
        return replace(spec, outline=outline)
    return OpeningSpec(_plain(spec.outline))


def _without(spec: OpeningSpec, field: str) -> OpeningSpec:
    """The spec with the measurement of that name left out; the same where that does nothing."""
    outline = spec.outline
    nothing: dict[str, Any] = {field: None}
    if field in ("mullion", "light_springing", "light_small_radius"):
        return replace(spec, **nothing)
    if field == "light_widths":
        return replace(spec, light_widths=())
    if field == "light_head":
        return replace(spec, light_head="", light_springing=None)
    if field == "bars":
        return replace(spec, bars=tuple(bar for bar in spec.bars if _crosses(bar, spec)))
    if field == "tracery":
        return replace(spec, tracery=tuple(each for each in spec.tracery if _stands(each, spec)))
    if field in ("springing", "small_radius", "foils"):
        return replace(spec, outline=replace(outline, **nothing))
    return spec


def _crosses(bar: BarSpec, spec: OpeningSpec) -> bool:
    in_a_light = bar.light is None or 1 <= bar.light <= spec.lights
    return in_a_light and 0 < bar.height < outline_of(spec.outline).ring.box.top


def _stands(light: TracerySpec, spec: OpeningSpec) -> bool:
    try:
        tracery_ring(light, outline_of(spec.outline).ring)
    except OutlineError:
        return False
    return True


def _plain(outline: OutlineSpec) -> OutlineSpec:
    width, height = (
        min(max(side or NOMINAL_LIGHT_MM, SMALLEST_MM), LARGEST_MM)
        for side in (outline.width, outline.height)
    )
    return OutlineSpec(Head.RECTANGLE, width, height)


def _points(stored: object) -> tuple[tuple[float, float, float], ...]:
    """Corners as stored: [x, y] or [x, y, bulge] each; anything else is no corner."""
    corners = []
    for corner in stored if isinstance(stored, list) else ():
        if isinstance(corner, list | tuple) and len(corner) in (2, 3):
            x, y, *bulge = (float(number) for number in corner)
            corners.append((x, y, bulge[0] if bulge else 0.0))
    return tuple(corners)


def _mm(length: Decimal | None) -> float | None:
    return float(length) if length is not None else None
