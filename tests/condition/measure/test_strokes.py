"""Lengths, areas and shares of what is drawn: against shapely, and refused where it cannot be."""

from itertools import pairwise
from math import cos, hypot, pi, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from condition.compute.stroke_shares import Part, common_area, length_inside, shares_of
from condition.compute.strokes import (
    AREA,
    LINE,
    POINT,
    StrokeError,
    area_of,
    check_inside,
    check_stroke,
    kept_points,
    length_of,
)
from sites.compute.geometry.outlines import OutlineSpec, outline_of
from sites.compute.geometry.rings import Point

ARCHED = outline_of(OutlineSpec("semicircular", 600, 900, 600)).ring
SQUARE = (Point(0, 0), Point(100, 0), Point(100, 100), Point(0, 100))


def places(*pairs):
    return tuple(Point(*pair) for pair in pairs)


number = st.floats(-2000, 2000)
points = st.tuples(number, number).map(lambda pair: Point(*pair))


@st.composite
def outlines(draw):
    """A star-shaped outline: it never crosses itself, and is mostly not convex."""
    count = draw(st.integers(3, 12))
    x, y = draw(number), draw(number)
    reach = [draw(st.floats(10, 900)) for _ in range(count)]
    turn = draw(st.floats(0, 1))
    return tuple(
        Point(
            x + reach[n] * cos(2 * pi * (n + turn) / count),
            y + reach[n] * sin(2 * pi * (n + turn) / count),
        )
        for n in range(count)
    )


@given(st.lists(points, min_size=2, max_size=20))
def test_a_length_is_that_of_shapely(line):
    assert length_of(line) == pytest.approx(LineString(line).length, rel=1e-9, abs=1e-6)


@given(outlines())
def test_an_area_is_that_of_shapely_whichever_way_round(outline):
    assume(Polygon(outline).is_valid)
    wanted = Polygon(outline).area
    assert area_of(outline) == pytest.approx(wanted, rel=1e-9, abs=1e-5)
    assert area_of(outline[::-1]) == pytest.approx(wanted, rel=1e-9, abs=1e-5)


@given(outlines(), outlines())
def test_the_area_two_outlines_share_is_that_of_shapely(one, other):
    assume(Polygon(one).is_valid and Polygon(other).is_valid)
    wanted = Polygon(one).intersection(Polygon(other)).area
    assert common_area(one, other) == pytest.approx(wanted, rel=1e-6, abs=1e-2)


@given(st.lists(points, min_size=2, max_size=6), outlines())
def test_the_length_inside_an_outline_is_that_of_shapely(line, outline):
    assume(Polygon(outline).is_valid)
    polygon = Polygon(outline)
    # Edge by edge: shapely counts once what a line runs over twice.
    wanted = sum(LineString(edge).intersection(polygon).length for edge in pairwise(line))
    assert length_inside(line, outline) == pytest.approx(wanted, rel=1e-6, abs=1e-2)


@given(st.lists(points, min_size=3, max_size=7))
def test_an_outline_is_refused_just_where_shapely_finds_it_not_simple(outline):
    assume(all(one != other for one, other in pairwise([*outline, outline[0]])))
    ring = Polygon(outline)
    try:
        check_stroke(AREA, outline)
    except StrokeError:
        assert not ring.is_valid or ring.area == 0
    else:
        assert ring.is_valid


def test_an_area_across_two_panels_is_parted_between_them():
    right = places((100, 0), (200, 0), (200, 100), (100, 100))
    parts = [Part("1a", (SQUARE,), 10_000), Part("1b", (right,), 10_000)]
    area = places((50, 20), (175, 20), (175, 60), (50, 60))
    first, second = shares_of(AREA, area, parts)
    assert (first.number, first.amount, first.of_panel) == ("1a", 2000, 0.2)
    assert (second.number, second.amount, second.of_panel) == ("1b", 3000, 0.3)
    assert first.amount + second.amount == area_of(area)


def test_a_line_and_a_point_lie_in_the_panels_they_touch_and_no_others():
    right = places((110, 0), (200, 0), (200, 100), (110, 100))
    parts = [Part("1a", (SQUARE,), 10_000), Part("1b", (right,), 9_000)]
    assert [
        (each.number, each.amount) for each in shares_of(LINE, places((50, 5), (150, 5)), parts)
    ] == [
        ("1a", 50),
        ("1b", 40),
    ]
    assert [each.number for each in shares_of(POINT, places((150, 50)), parts)] == ["1b"]
    assert shares_of(POINT, places((105, 50)), parts) == ()


# Refused in words.
def test_a_bow_tie_is_refused_and_the_sides_are_named():
    bow_tie = places((0, 0), (100, 100), (100, 0), (0, 100))
    with pytest.raises(
        StrokeError, match="crosses itself: the side after point 1 and the side after point 3"
    ):
        check_stroke(AREA, bow_tie)


@pytest.mark.parametrize(
    ("stroke", "drawn", "said"),
    [
        (POINT, (), "needs 1 point at least"),
        (POINT, ((1, 1), (2, 2)), "A point is one place"),
        (LINE, ((1, 1),), "needs 2 points at least; 1 is there"),
        (LINE, ((1, 1), (1, 1)), "has no length"),
        (AREA, ((1, 1), (5, 5)), "needs 3 points"),
        (AREA, ((1, 1), (5, 5), (5, 5), (9, 1)), "Points 2 and 3 of the outline are one"),
        (AREA, ((0, 0), (5, 0), (10, 0)), "crosses itself|in a line"),
        (LINE, ((float("nan"), 1), (2, 2)), "not a number"),
        ("blot", ((1, 1),), "point, a line or an area"),
        (LINE, tuple((n, n) for n in range(201)), "At most 200"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_words(stroke, drawn, said):
    with pytest.raises(StrokeError, match=said):
        check_stroke(stroke, places(*drawn))


def test_a_mark_outside_the_opening_is_refused_by_the_opening_s_name():
    with pytest.raises(StrokeError, match=r"Point 2 \(700, 100\) lies 100 mm outside opening nIV"):
        check_inside(LINE, places((300, 100), (700, 100)), ARCHED, "nIV")
    with pytest.raises(StrokeError, match=r"The point .* outside opening nIV"):
        check_inside(POINT, places((5, 890)), ARCHED, "nIV")


def test_a_finger_beside_the_edge_is_on_it():
    check_inside(POINT, places((-4, 100)), ARCHED, "nIV")
    with pytest.raises(StrokeError, match="outside opening nIV"):
        check_inside(POINT, places((-40, 100)), ARCHED, "nIV")


def test_a_line_that_leaves_a_bent_opening_between_its_points_is_refused():
    bent = outline_of(
        OutlineSpec(
            "points",
            None,
            None,
            points=(
                (0, 0, 0),
                (900, 0, 0),
                (900, 300, 0),
                (300, 300, 0),
                (300, 900, 0),
                (0, 900, 0),
            ),
        )
    ).ring
    with pytest.raises(StrokeError, match="Between points 1 and 2 it leaves opening sII"):
        check_inside(LINE, places((800, 200), (200, 800)), bent, "sII")
    check_inside(LINE, places((800, 200), (200, 200), (200, 800)), bent, "sII")


@pytest.mark.parametrize("kept", [None, "x", [1, 2], [[1]], [["a", 2]], [[1, float("inf")]], {}])
def test_what_is_stored_wrongly_is_left_out(kept):
    assert kept_points(kept) == ()


def test_points_are_read_as_they_were_stored():
    assert kept_points([[1, 2.5], ["3", 4]]) == (Point(1, 2.5), Point(3, 4))
    assert hypot(*kept_points([[3, 4]])[0]) == 5
