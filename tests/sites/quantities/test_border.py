"""What the quantities take of an outline: area, edge, size and sharp corners."""

import math

import pytest

from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.compute.quantities.border import is_rectangle, outline_from, sharp_corners

GEOMETRY = pytest.mark.published("plane geometry, no source needed")


def ring(shape, width=600.0, height=600.0, **more):
    return outline_of(OutlineSpec(shape=shape, width=width, height=height, **more)).ring


@GEOMETRY
@pytest.mark.parametrize(
    ("outline", "corners"),
    [
        (ring("rectangle"), 4),
        (ring("roundel"), 0),
        (ring("ellipse", height=900.0), 0),
        (ring("vesica", height=1000.0), 2),
        (ring("triangle"), 3),
        # Jambs run into the arch without a corner; the point of the arch is one.
        (ring("semicircular", height=1300.0, springing=1000.0), 2),
        (ring("two-centred", height=1600.0, springing=1000.0), 3),
        (ring("foiled", foils=4), 4),
        (
            ring("points", None, None, points=((0, 0, 0), (500, 0, 0), (500, 300, 0), (0, 300, 0))),
            4,
        ),
    ],
)
def test_the_border_is_joined_at_sharp_corners_alone(outline, corners):
    assert sharp_corners(outline) == corners
    if outline.stretch == 1:
        assert sharp_corners(outline.turned(37.0, outline.centroid)) == corners


@GEOMETRY
def test_an_outline_is_measured_over_all_its_parts():
    left, right = ring("rectangle", 200.0, 300.0), ring("roundel", 100.0, 100.0).moved(400, 0)
    told = outline_from([left, right], "computed", "two parts")
    assert told.area_mm2 == pytest.approx(60_000 + math.pi * 2500)
    assert told.perimeter_mm == pytest.approx(1000 + math.pi * 100)
    assert (told.width_mm, told.height_mm) == pytest.approx((500, 300))
    assert (told.corners, told.longest_side_mm) == (4, pytest.approx(500))
    assert (told.origin, told.source) == ("computed", "two parts")


def test_a_rectangle_is_told_from_what_is_cut_by_an_arch():
    assert is_rectangle(ring("rectangle", 333.3, 777.7))
    assert not is_rectangle(ring("semicircular", height=1300.0, springing=1000.0))
