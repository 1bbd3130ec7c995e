"""Rings: areas, lengths, clipping and paths, against polygons, shapely and themselves."""

import math
import re

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.geometry.rings import Edge, Point, Ring, ring_of_points
from tests.properties import examples
from tests.sites.geometry.shapes_at_random import outlines

close = pytest.approx
# Fine enough for a millionth: the error of a polygon's area falls with the sagitta.
FINE_SHARE = 1e-7


def fine(ring: Ring) -> shapely.Polygon:
    """The ring as a fine polygon, made here from its chords and bulges and not by the ring."""
    sagitta = min(ring.box.width, ring.box.height) * FINE_SHARE / max(ring.stretch, 1.0)
    found = np.concatenate([_corners(edge, sagitta) for edge in ring.edges])
    return shapely.Polygon(np.column_stack((found.real, found.imag * ring.stretch)))


def _corners(edge: Edge, sagitta: float) -> np.ndarray:
    """Corners along an edge from its start, without its end, as complex numbers."""
    start, end = complex(*edge.start), complex(*edge.end)
    if not edge.bulge:
        return np.array([start])
    swept = 4 * math.atan(edge.bulge)
    centre = (start + end) / 2 + 1j * (end - start) / 2 / math.tan(swept / 2)
    # A chord's sagitta is at most an eighth of its radius times the square of its angle.
    parts = math.ceil(abs(swept) / math.sqrt(8 * sagitta / abs(start - centre)))
    turns = swept * np.arange(parts) / parts
    return centre + (start - centre) * np.exp(1j * turns)


@examples(2000)
@given(outlines())
def test_area_and_perimeter_agree_with_shapely_on_the_polygon(outline):
    polygon = fine(outline.ring)
    assert polygon.is_valid
    assert outline.ring.area == close(polygon.area, rel=1e-6)
    assert outline.ring.perimeter == close(polygon.length, rel=1e-6)


@examples(500)
@given(outlines())
def test_centroid_and_box_agree_with_shapely(outline):
    ring = outline.ring
    polygon = fine(ring)
    size = max(ring.box.width, ring.box.height)
    assert (ring.centroid.x, ring.centroid.y) == close(
        (polygon.centroid.x, polygon.centroid.y), abs=size * 1e-6
    )
    box = ring.box
    assert (box.left, box.bottom, box.right, box.top) == close(polygon.bounds, abs=size * 1e-6)
    assert (box.left, box.bottom) == close((0, 0), abs=1e-6)


@examples(500)
@given(outlines(), st.floats(0.01, 10))
def test_no_arc_lies_further_from_its_chord_than_the_sagitta_allows(outline, sagitta):
    ring = outline.ring
    lost = ring.area - shapely.Polygon(ring.polygon(sagitta)).area
    # What the chords cut off is at most two thirds of the sagitta along the whole outline.
    assert abs(lost) <= ring.perimeter * sagitta


@examples(400)
@given(outlines(), st.floats(-0.2, 1.2))
def test_what_is_cut_apart_makes_the_whole(outline, share):
    ring = outline.ring
    y = ring.box.bottom + share * ring.box.height
    x = ring.box.left + share * ring.box.width
    for one, other in ((ring.below(y), ring.above(y)), (ring.left_of(x), ring.right_of(x))):
        assert sum(part.area for part in (*one, *other)) == close(ring.area, rel=1e-9)
        assert all(part.area > -1e-6 for part in (*one, *other))


@examples(200)
@given(outlines(), st.floats(0.05, 0.95))
def test_a_cut_is_where_shapely_makes_it(outline, share):
    ring, box = outline.ring, outline.ring.box
    y = box.bottom + share * box.height
    half = fine(ring).intersection(shapely.box(-1e6, -1e6, 1e6, y))
    assert sum(part.area for part in ring.below(y)) == close(half.area, rel=1e-5)


@examples(300)
@given(outlines(), st.floats(-3000, 3000))
def test_mirrored_twice_it_is_itself_and_once_its_middle_is_mirrored(outline, axis):
    ring = outline.ring
    once = ring.mirrored(axis)
    assert once.area == close(ring.area)
    assert once.perimeter == close(ring.perimeter)
    assert once.centroid.x == close(2 * axis - ring.centroid.x, abs=1e-5)
    twice = once.mirrored(axis)
    assert [edge.bulge for edge in twice.edges] == [edge.bulge for edge in ring.edges]
    for edge, before in zip(twice.edges, ring.edges, strict=True):
        assert edge.start == close(before.start, abs=1e-6)


@examples(200)
@given(outlines(), st.floats(0.02, 0.98), st.floats(0.02, 0.98))
def test_a_point_is_inside_where_shapely_says_so(outline, across, up):
    ring, box = outline.ring, outline.ring.box
    point = Point(box.left + across * box.width, box.bottom + up * box.height)
    polygon = fine(ring)
    if polygon.boundary.distance(shapely.Point(point)) > 1e-3:
        assert ring.contains(point) == polygon.contains(shapely.Point(point))


@examples(200)
@given(outlines(), st.floats(0, 359), st.floats(0.1, 3))
def test_turning_and_scaling_keep_the_shape(outline, degrees, factor):
    ring = outline.ring
    turned = ring.turned(degrees, ring.box.middle).scaled(factor)
    assert turned.area == close(ring.area * factor**2, rel=5e-4)


def test_a_clip_may_leave_several_pieces():
    comb = ring_of_points(
        [Point(*at) for at in ((0, 0), (5, 0), (5, 4), (4, 4), (4, 1), (1, 1), (1, 4), (0, 4))]
    )
    assert sorted(part.area for part in comb.above(2)) == [2, 2]
    assert [part.area for part in comb.below(1)] == [5]
    assert comb.widths_at(3) == ((0, 1), (4, 5))


def test_at_the_height_of_a_corner_an_outline_is_as_wide_as_it_is():
    diamond = ring_of_points([Point(5, 0), Point(10, 5), Point(5, 10), Point(0, 5)])
    assert diamond.widths_at(5) == ((0, 10),)


def test_a_path_has_true_arcs_and_is_turned_with_its_heights():
    square = ring_of_points([Point(0, 0), Point(10, 0), Point(10, 10), Point(0, 10)])
    assert square.path() == "M0 0L10 0L10 10L0 10L0 0Z"
    assert square.path(scale=0.5, flip=True) == "M0 0L5 0L5 -5L0 -5L0 0Z"


@examples(100)
@given(outlines())
def test_every_arc_of_a_path_is_an_arc(outline):
    data = outline.ring.path()
    arcs = sum(1 for edge in outline.ring.edges if edge.bulge)
    assert len(re.findall("A", data)) == arcs
    assert data.startswith("M")
    assert data.endswith("Z")
