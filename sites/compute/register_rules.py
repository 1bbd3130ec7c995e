"""What must hold of openings, panels, attached items and fixings: values in, problems out.

Forms, the drawing editor, visit folders and phones are all refused by these rules, in these words;
the services add what only the database knows, such as the numbers that are taken.
"""

from collections.abc import Container, Iterator
from decimal import Decimal
from functools import lru_cache
from typing import Final

from sites.compute.division import divide
from sites.compute.division_parts import OpeningSpec
from sites.compute.geometry.outlines import OutlineError, OutlineSpec, outline_of
from sites.compute.geometry.rings import Ring
from sites.compute.lengths import Length
from sites.compute.problems import Problem
from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.joints import count_joints
from sites.compute.record_fields import field_problems, without
from sites.compute.register_data import BarData, FixingData, ItemData, OpeningData, PanelData
from sites.compute.tracery import TracerySpec, tracery_ring

LETTERS: Final = 26
# Where the geometry's word for a measurement differs from the register's.
FIELD_OF: Final = {"shape": "head", "light_small_radius": "light_head"}
# Sizes of a round bar that differ by no more are one size, read off the tape twice.
ONE_SIZE_MM: Final = Decimal("0.05")

OPENING_TAKEN: Final = "Another opening here has this number."
PANEL_TAKEN: Final = "Another panel of this opening has this number."
ITEM_TAKEN: Final = "Another item of this opening has this number."
BAR_TAKEN: Final = "There is a bar at this height already."
NO_KEPT_AT: Final = "Say where it is kept."
NO_HOLDER: Final = "Say who holds it, or who has the key."
PANEL_ELSEWHERE: Final = "The panel is not in this opening."
ITEM_ELSEWHERE: Final = "The item is not in this opening."
WALL_ELSEWHERE: Final = "The wall is of another building."
PANELS_THERE: Final = "This opening has panels already: add others one by one."


def opening_problems(data: OpeningData, taken: Container[str] = ()) -> Iterator[Problem]:
    """Yield what is wrong with an opening. taken: the numbers of the building's other openings."""
    yield from (found := list(field_problems(data)))
    data = without(data, found)
    if data.number in taken:
        yield Problem("number", OPENING_TAKEN)
    if data.head == "points" and len(data.points) < 2:
        yield Problem("points", "An outline needs its corners: two at least with arcs.")
    elif isinstance(outlined := _outlined(data), Problem):
        yield outlined


def panel_problems(
    data: PanelData, opening: OpeningData | None, taken: Container[str] = ()
) -> Iterator[Problem]:
    """Yield what is wrong with a panel.

    opening: the one it is in, as far as it is known. taken: the numbers of its other panels.
    """
    yield from (found := list(field_problems(data)))
    data = without(data, found)
    if data.number in taken:
        yield Problem("number", PANEL_TAKEN)
    yield from _half_a_place(data)
    yield from _leads(data)
    outline = _ring_of(opening)
    if outline and data.shape and data.x_mm is not None and data.y_mm is not None:
        yield from _beside_its_opening(data, outline)


def item_problems(
    data: ItemData, opening: OpeningData | None, taken: Container[str] = ()
) -> Iterator[Problem]:
    """Yield what is wrong with an attached item. opening, taken: as for a panel."""
    yield from (found := list(field_problems(data)))
    data = without(data, found)
    if data.number in taken:
        yield Problem("number", ITEM_TAKEN)
    yield from _half_a_place(data)
    if data.placement == "taken down":
        if not data.placed_at.strip():
            yield Problem("placed_at", NO_KEPT_AT)
        if not data.held_by.strip():
            yield Problem("held_by", NO_HOLDER)
    outline = _ring_of(opening)
    if outline is None or data.x_mm is None or data.y_mm is None:
        return
    # Further off than the opening is wide or high is a slip of typing.
    width, height = outline.box.width, outline.box.height
    if not -width <= data.x_mm <= 2 * width:
        yield Problem("x_mm", f"That is beside the wall: the opening is {width:.0f} mm wide.")
    if not -height <= data.y_mm <= 2 * height:
        message = f"That is far off the window: the opening is {height:.0f} mm high."
        yield Problem("y_mm", message)


def fixing_problems(data: FixingData) -> Iterator[Problem]:
    """Yield what is wrong with a fixing."""
    return field_problems(data)


def bar_problems(data: BarData) -> Iterator[Problem]:
    """Yield what is wrong with a bar taken by itself."""
    yield from field_problems(data)
    if data.section not in ("round", "square") or data.width is None or data.depth is None:
        return
    if abs(data.width.mm - data.depth.mm) > ONE_SIZE_MM:
        yield Problem(
            "depth", "A round or square bar has one size: leave this empty, or make the bar flat."
        )


def grid_problems(lights: int, field: str = "rows") -> Iterator[Problem]:
    """Yield why rows of panels cannot be lettered across so many lights."""
    if lights > LETTERS:
        words = f"Panels of {lights} lights cannot be lettered a to z: number them one by one."
        yield Problem(field, words)


def _half_a_place(data: PanelData | ItemData) -> Iterator[Problem]:
    if (data.x_mm is None) != (data.y_mm is None):
        missing = "x_mm" if data.x_mm is None else "y_mm"
        yield Problem(missing, "A place has both its figures, or neither.")


def _leads(data: PanelData) -> Iterator[Problem]:
    """What is counted of a panel's leads and glass belongs to one panel."""
    if data.pieces is None:
        return
    try:
        count_joints(data.pieces, data.crossings, data.ringed_pieces)
    except QuantityError as error:
        yield Problem(error.field, str(error))
    if data.plated_pieces is not None and data.plated_pieces > data.pieces:
        yield Problem("plated_pieces", f"There are {data.pieces} pieces in all.")


def _beside_its_opening(data: PanelData, opening: Ring) -> Iterator[Problem]:
    """Why a tracery light cannot be, or does not lie in its opening."""
    light = TracerySpec(
        key="",
        number=data.number,
        shape=data.shape,
        width=_mm(data.width),
        height=_mm(data.height),
        x=float(data.x_mm or 0),
        y=float(data.y_mm or 0),
        turn=float(data.turn_degrees or 0),
        foils=data.foils,
        points=_corners(data.points),
    )
    try:
        tracery_ring(light, opening)
    except OutlineError as error:
        cause = error.__cause__
        field = cause.field if isinstance(cause, OutlineError) else "x_mm"
        yield Problem(field, str(error))


@lru_cache(maxsize=512)
def _outlined(data: OpeningData) -> Ring | Problem | None:
    """The outline of a measured opening, or why it cannot be; None where sizes are missing.

    Kept for a while: a folder asks for it with every panel and item of the opening.
    """
    outline = OutlineSpec(
        data.head,
        _mm(data.width),
        _mm(data.height),
        springing=_mm(data.springing),
        small_radius=_mm(data.small_radius),
        foils=data.foils,
        points=_corners(data.points),
    )
    if data.head != "points" and (outline.width is None or outline.height is None):
        return None
    try:
        divide(
            OpeningSpec(
                outline,
                lights=data.lights or 1,
                light_widths=tuple(float(each.mm) for each in data.light_widths),
                mullion=_mm(data.mullion),
                light_head=data.light_head,
                light_springing=_mm(data.light_springing),
            )
        )
    except OutlineError as error:
        return Problem(FIELD_OF.get(error.field, error.field), str(error))
    return outline_of(outline).ring


def _ring_of(opening: OpeningData | None) -> Ring | None:
    ring = _outlined(opening) if opening else None
    return ring if isinstance(ring, Ring) else None


def _corners(points: tuple[tuple[float, ...], ...]) -> tuple[tuple[float, float, float], ...]:
    """Corners with a bulge each, 0 for the straight edge of a corner given by its place alone."""
    return tuple((x, y, bulge[0] if bulge else 0.0) for x, y, *bulge in points)


def _mm(length: Length | None) -> float | None:
    return float(length.mm) if length is not None else None
