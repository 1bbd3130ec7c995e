"""Marks of findings: kept, measured, drawn on an elevation, and used as a finding's extent."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

from django.db.models import QuerySet

from condition.compute.stroke_drawing import Stroke, on_scene
from condition.compute.stroke_shares import Part, Share, shares_of
from condition.compute.stroke_signs import SIGNS, Sign, sign_of
from condition.compute.strokes import AREA, LINE, area_of, kept_points, length_of
from condition.models import Finding, FindingMark
from condition.services.rectifying import Measured
from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.scene import Scene
from sites.compute.drawing.sheet import Mark
from sites.compute.geometry.rings import Point, Ring


@dataclass(frozen=True)
class ElevationMarks:
    """The marks of some findings that are drawn on an opening's elevation."""

    strokes: tuple[Stroke, ...]

    @property
    def signs(self) -> tuple[Sign, ...]:
        """The signs used, in the legend's order: to be printed with the drawing."""
        return signs_of(self.strokes)

    @property
    def numbers(self) -> frozenset[int]:
        """The numbers of the findings that are drawn here: they need no pin."""
        return frozenset(stroke.number for stroke in self.strokes)

    def on(self, scene: Scene) -> list[Mark]:
        """Return the marks flat, to be put after those of `sheet_of(scene)`: same units."""
        return on_scene(self.strokes, scene)


@dataclass(frozen=True)
class Figured:
    """A mark with what was computed of it.

    mm: its length, mm2: its area, None where it has none or nothing is to scale. shares: what of
    it lies in which panel, of a mark on the elevation.
    """

    mark: FindingMark
    sign: Sign
    mm: float | None = None
    mm2: float | None = None
    shares: tuple[Share, ...] = ()


@dataclass(frozen=True)
class OpeningParts:
    """The panels of an opening as they are drawn, for what share of which is marked."""

    elevation: Elevation

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        return tuple(
            Part(pane.number, tuple(ring.polygon() for ring in pane.rings), _area(pane.rings))
            for pane in self.elevation.on_page().panes
            if pane.number
        )

    def area_of(self, number: str) -> float | None:
        """Return the area of a panel as drawn, in mm²; None where nothing is to scale."""
        if not self.elevation.to_scale:
            return None
        return next((part.area_mm2 for part in self.parts if part.number == number), None)


def marks_on_elevation(findings: Iterable[Finding]) -> ElevationMarks:
    """Return the marks of findings of one opening that are drawn on its elevation. One query.

    They are drawn over whatever scene there is of it, on a page or on paper, from inside or
    outside: `[*sheet_of(scene).marks, *marks_on_elevation(findings).on(scene)]`.
    """
    rows = marks_of(FindingMark.objects.filter(finding__in=list(findings), photograph=None))
    return ElevationMarks(strokes_of(rows))


def marks_of(rows: "QuerySet[FindingMark]") -> "QuerySet[FindingMark]":
    """Return marks with what their drawing reads, in the order of their findings."""
    return rows.select_related("finding__kind").order_by("finding__number", "id")


def strokes_of(marks: Iterable[FindingMark]) -> tuple[Stroke, ...]:
    """Return kept marks as they are drawn; one whose points are damaged is left out."""
    made = (
        Stroke(
            stroke=mark.stroke,
            points=kept_points(mark.points),
            group=mark.finding.kind.group,
            number=mark.finding.number,
            key=str(mark.pk),
        )
        for mark in marks
    )
    return tuple(stroke for stroke in made if stroke.points)


def signs_of(strokes: Iterable[Stroke]) -> tuple[Sign, ...]:
    used = {sign_of(stroke.group) for stroke in strokes}
    return tuple(sign for sign in SIGNS if sign in used)


def figured_on_elevation(marks: Iterable[FindingMark], opening: OpeningParts) -> list[Figured]:
    """Return marks on the elevation with their lengths, areas and shares of panels.

    Where the opening is not measured there are no lengths and areas, shares all the same.
    """
    found = []
    for mark in marks:
        points = kept_points(mark.points)
        shares = shares_of(mark.stroke, points, opening.parts) if points else ()
        to_scale = opening.elevation.to_scale
        found.append(_figured(mark, points if to_scale else (), shares))
    return found


def figured_on_photograph(marks: Iterable[FindingMark], sheet: Measured | None) -> list[Figured]:
    """Return marks on a photograph, with lengths and areas where it can be measured on.

    Raises RectifyError for a mark beyond the photograph's horizon.
    """
    parts = _rectangle_of(sheet) if sheet else ()
    found = []
    for mark in marks:
        points = sheet.on_glass(kept_points(mark.points)) if sheet else ()
        shares = shares_of(mark.stroke, points, parts) if points else ()
        found.append(_figured(mark, points, shares))
    return found


def _rectangle_of(sheet: Measured) -> tuple[Part, ...]:
    """The panel a photograph shows, by its recorded width and height; its lower left is 0, 0."""
    panel = sheet.scale.panel
    if panel is None or not panel.width_mm or not panel.height_mm:
        return ()
    width, height = float(panel.width_mm), float(panel.height_mm)
    corners = (Point(0, 0), Point(width, 0), Point(width, height), Point(0, height))
    return (Part(panel.number, (corners,), width * height),)


def _figured(mark: FindingMark, points: Sequence[Point], shares: tuple[Share, ...] = ()) -> Figured:
    sign = sign_of(mark.finding.kind.group)
    if mark.stroke == LINE and len(points) > 1:
        return Figured(mark, sign, mm=length_of(points), shares=shares)
    if mark.stroke == AREA and len(points) > 2:
        return Figured(mark, sign, mm2=area_of(points), shares=shares)
    return Figured(mark, sign, shares=shares)


def _area(rings: Iterable[Ring]) -> float:
    return sum(ring.area for ring in rings)
