"""What holds for every outline, those by corners and arcs too, made at random."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LinearRing, Polygon

from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.compute.geometry.rings import Ring
from tests.sites.geometry.outlines import rings


def fine(ring: Ring) -> float:
    """A sagitta at which a polygon's area is short by under a millionth.

    Between a chord and its arc lies at most 2/3 of chord times sagitta.
    """
    return 1e-6 * ring.area / ring.perimeter


def shoelace(corners: list[tuple[float, float]]) -> float:
    following = [*corners[1:], corners[0]]
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, following, strict=True)) / 2


@settings(max_examples=250, deadline=None)
@given(rings())
def test_area_perimeter_and_centre_agree_with_the_polygon_and_with_shapely(ring: Ring):
    corners = [tuple(point) for point in ring.polygon(fine(ring))]
    polygon = Polygon(corners)
    assert shoelace(corners) == pytest.approx(ring.area, rel=1e-6)
    assert polygon.area == pytest.approx(ring.area, rel=1e-6)
    assert polygon.length == pytest.approx(ring.perimeter, rel=1e-6)
    size = max(ring.box.width, ring.box.height)
    assert math.dist((polygon.centroid.x, polygon.centroid.y), ring.centroid) < 2e-6 * size
    assert polygon.bounds == pytest.approx(
        (ring.box.left, ring.box.bottom, ring.box.right, ring.box.top), abs=1e-5 * size
    )


@settings(max_examples=100, deadline=None)
@given(rings())
def test_a_polygon_is_never_further_from_its_arcs_than_a_tenth_of_a_millimetre(ring: Ring):
    outline = LinearRing(ring.polygon())
    exact = LinearRing(ring.polygon(0.001))
    assert exact.hausdorff_distance(outline) < 0.1 + 1e-6
    assert LinearRing(ring.polygon(5.0)).hausdorff_distance(exact) < 5.0 + 0.002


@settings(max_examples=100, deadline=None)
@given(rings(), st.floats(-3000, 3000))
def test_mirrored_twice_is_itself_and_mirrored_once_lies_opposite(ring: Ring, axis: float):
    other = ring.mirrored(axis)
    assert other.area == pytest.approx(ring.area, rel=1e-9)
    assert other.perimeter == pytest.approx(ring.perimeter, rel=1e-9)
    assert other.centroid.x == pytest.approx(2 * axis - ring.centroid.x, abs=1e-5)
    assert other.centroid.y == pytest.approx(ring.centroid.y, abs=1e-5)
    again = other.mirrored(axis)
    assert again.stretch == ring.stretch
    for one, two in zip(again.edges, ring.edges, strict=True):
        assert (*one.start, *one.end, one.bulge) == pytest.approx(
            (*two.start, *two.end, two.bulge), abs=1e-8
        )


@settings(max_examples=200, deadline=None)
@given(rings(), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_what_is_clipped_makes_up_the_whole(ring: Ring, up: float, along: float):
    box = ring.box
    y, x = box.bottom + up * box.height, box.left + along * box.width
    low, high = ring.below(y), ring.above(y)
    left, right = ring.left_of(x), ring.right_of(x)
    assert sum(part.area for part in (*low, *high)) == pytest.approx(ring.area, rel=1e-9)
    assert sum(part.area for part in (*left, *right)) == pytest.approx(ring.area, rel=1e-9)
    for part in low:
        assert part.area > 0
        assert part.box.top <= y + 1e-6
    for part in right:
        assert part.area > 0
        assert part.box.left >= x - 1e-6


@settings(max_examples=200, deadline=None)
@given(rings(), st.floats(0.05, 0.95))
def test_clipping_agrees_with_shapely(ring: Ring, up: float):
    box = ring.box
    y = box.bottom + up * box.height
    polygon = Polygon(ring.polygon(fine(ring)))
    half = Polygon([(box.left, box.bottom), (box.right, box.bottom), (box.right, y), (box.left, y)])
    expected = polygon.intersection(half).area
    assert sum(part.area for part in ring.below(y)) == pytest.approx(expected, abs=2e-6 * ring.area)


@settings(max_examples=100, deadline=None)
@given(rings(), st.floats(0.05, 5.0), st.floats(-360, 360))
def test_a_ring_moved_turned_and_made_larger_keeps_its_shape(
    ring: Ring, factor: float, turn: float
):
    taken = ring.turned(turn, ring.box.middle).moved(300.0, -70.0).scaled(factor)
    # A turned ellipse is a fine polygon: its area is short by a few parts in a hundred thousand.
    within = 1e-9 if ring.stretch == 1 else 3e-4
    assert taken.area == pytest.approx(ring.area * factor**2, rel=within)
    assert taken.perimeter == pytest.approx(ring.perimeter * factor, rel=within)


@pytest.mark.published(
    "Perimeter of an ellipse as the series of Gauss and Kummer, in (a − b)/(a + b)"
)
@pytest.mark.parametrize("height", [610.0, 900.0, 1800.0, 4000.0])
def test_the_perimeter_of_an_ellipse_agrees_with_its_series(height: float):
    a, b = 300.0, height / 2
    h = ((a - b) / (a + b)) ** 2
    term, total = 1.0, 1.0
    for n in range(1, 60):
        # The binomial coefficient of one half over n, squared, times hⁿ.
        term *= (1.5 - n) / n
        total += term**2 * h**n
    ring = outline_of(OutlineSpec("ellipse", 2 * a, 2 * b)).ring
    assert ring.perimeter == pytest.approx(math.pi * (a + b) * total, rel=1e-6)
    assert ring.area == pytest.approx(math.pi * a * b, rel=1e-12)
