"""What a finding is drawn on: the elevation, a photograph, or a photograph straightened."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from condition.compute.rectify.homography import RectifyError
from condition.compute.strokes import (
    AREA,
    StrokeError,
    check_inside,
    check_stroke,
    kept_points,
)
from condition.compute.typed_places import (
    read_mm,
    read_places,
    read_share,
    without_repeats,
    write_mm,
    write_share,
    written_places,
)
from condition.models import Photograph
from condition.services.marks import OpeningParts
from condition.services.rectifying import Measured
from sites.compute.drawing.scene import Scene
from sites.compute.geometry.rings import Point
from sites.compute.lengths import BareUnit
from sites.models import Opening

HUNDRED: Final = 100.0
# Kept places are rounded to what can be told apart: a hundredth of a millimetre, a millionth.
MM_PLACES, SHARE_PLACES = 2, 6


@dataclass(frozen=True)
class Axes:
    """How places as typed lie on the drawing: typed = (drawn - origin) × per."""

    origin_x: float
    origin_y: float
    per_x: float
    per_y: float

    def drawn(self, place: Point) -> Point:
        return Point(place.x / self.per_x + self.origin_x, place.y / self.per_y + self.origin_y)


@dataclass(frozen=True)
class Surface:
    """One of them. Its places are typed in mm, or on a plain photograph in per cent."""

    axes: Axes
    bare_unit: BareUnit

    @property
    def in_mm(self) -> bool:
        return True

    def read(self, stroke: str, text: str) -> list[list[float]]:
        """Return typed places as they are kept. Raises StrokeError, in the user's words."""
        reader: Callable[[str], float] = read_mm(self.bare_unit) if self.in_mm else read_share
        points = read_places(text, reader)
        if stroke == AREA:
            points = without_repeats(points)
        check_stroke(stroke, points)
        return self.kept(stroke, points)

    def write(self, points: object) -> str:
        """Return kept places as they are typed."""
        if self.in_mm:
            return written_places(
                self.typed(kept_points(points)), lambda mm: write_mm(mm, self.bare_unit)
            )
        return written_places(self.typed(kept_points(points)), write_share)

    def drawn(self, point: Point) -> Point:
        """Return where a kept place is on the drawing."""
        (place,) = self.typed((point,))
        return self.axes.drawn(place)

    def typed(self, kept: Sequence[Point]) -> tuple[Point, ...]:
        """Return kept places in the units they are typed in."""
        return tuple(kept)

    def kept(self, stroke: str, typed: Sequence[Point]) -> list[list[float]]:
        """Return places in typed units as they are kept. Raises StrokeError for ones off it."""
        return _rounded(typed, MM_PLACES)


@dataclass(frozen=True)
class ElevationSurface(Surface):
    """The opening's elevation: register coordinates, whichever side it is shown from."""

    opening: Opening
    parts: OpeningParts
    scene: Scene

    @classmethod
    def of(cls, opening: Opening, parts: OpeningParts, scene: Scene, unit: BareUnit) -> "Surface":
        """Return the surface of a scene drawn of the opening, mirrored where the scene is."""
        per = scene.mm_per_unit
        axes = Axes(0.0, 0.0, per, -per)
        if scene.from_outside:
            axes = Axes(2 * scene.outline.box.middle.x / per, 0.0, -per, -per)
        return cls(axes, unit, opening, parts, scene)

    def kept(self, stroke: str, typed: Sequence[Point]) -> list[list[float]]:
        outline = self.parts.elevation.division.outline.ring
        check_inside(stroke, typed, outline, self.opening.number)
        return super().kept(stroke, typed)


@dataclass(frozen=True)
class PhotographSurface(Surface):
    """A photograph as it was taken; places are shares of its sides, in per cent."""

    photograph: Photograph

    @classmethod
    def of(cls, photograph: Photograph, width: float, height: float) -> "Surface":
        """Return the surface of a photograph drawn `width` by `height`."""
        return cls(Axes(0.0, 0.0, HUNDRED / width, HUNDRED / height), "mm", photograph)

    @property
    def in_mm(self) -> bool:
        return False

    def typed(self, kept: Sequence[Point]) -> tuple[Point, ...]:
        return tuple(Point(point.x * HUNDRED, point.y * HUNDRED) for point in kept)

    def kept(self, stroke: str, typed: Sequence[Point]) -> list[list[float]]:
        return _rounded((Point(p.x / HUNDRED, p.y / HUNDRED) for p in typed), SHARE_PLACES)


@dataclass(frozen=True)
class StraightSurface(Surface):
    """A measured photograph, straightened: places in mm on the glass, kept as shares."""

    sheet: Measured

    @classmethod
    def of(cls, sheet: Measured, unit: BareUnit) -> "Surface":
        """Return the surface of the straightened picture, drawn a unit to a pixel."""
        frame = sheet.frame
        step = frame.mm_per_px
        return cls(Axes(-frame.left / step, frame.top / step, step, -step), unit, sheet)

    def typed(self, kept: Sequence[Point]) -> tuple[Point, ...]:
        try:
            return self.sheet.on_glass(kept)
        except RectifyError as error:
            raise StrokeError(str(error)) from None

    def kept(self, stroke: str, typed: Sequence[Point]) -> list[list[float]]:
        try:
            shares = self.sheet.on_photograph(typed)
        except RectifyError as error:
            raise StrokeError(str(error)) from None
        for n, share in enumerate(shares, start=1):
            if not (0 <= share.x <= 1 and 0 <= share.y <= 1):
                raise StrokeError(f"Place {n} lies outside the photograph.")
        return _rounded(shares, SHARE_PLACES)


def _rounded(points: Iterable[Point], places: int) -> list[list[float]]:
    return [[round(point.x, places), round(point.y, places)] for point in points]
