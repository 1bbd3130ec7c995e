"""Walls of a plan: as they are walked, curved, read from what is typed and written again."""

from math import hypot, isclose, pi

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sites.compute.geometry.rings import Point
from sites.compute.plan.directions import DirectionError, compass_degrees, compass_text
from sites.compute.plan.rows import Row, SaidOpening, read_rows, unknown_openings, write_rows
from sites.compute.plan.walls import OnWall, Wall, orientation_of_plan, place_openings, walk
from tests.sites.plans import CRUCIFORM, drawn, row


def wall(x1, y1, x2, y2, bulge=0.0):
    return Wall("w", "", Point(x1, y1), Point(x2, y2), bulge)


@pytest.mark.parametrize(
    ("text", "degrees"),
    [
        ("N", 0),
        ("e", 90),
        ("SSW", 202.5),
        ("north-east", 45),
        ("South", 180),
        ("102", 102),
        ("102.5°", 102.5),
        ("7,25 deg", 7.25),
        ("360", 0),
    ],
)
def test_directions_are_read_as_people_write_them(text, degrees):
    assert compass_degrees(text) == degrees


@pytest.mark.parametrize("text", ["", "up", "361", "-5", "NN", "12 m"])
def test_what_is_no_direction_is_refused_with_what_is_possible(text):
    with pytest.raises(DirectionError, match="is no direction"):
        compass_degrees(text)


@pytest.mark.parametrize(("degrees", "text"), [(30, "30"), (90, "E"), (359.7, "N"), (100, "100")])
def test_a_direction_to_the_whole_degree_keeps_its_noughts(degrees, text):
    assert compass_text(degrees, 0) == text


@given(st.floats(0, 359.999))
def test_a_direction_written_reads_back(degrees):
    written = compass_degrees(compass_text(degrees))
    assert min(abs(written - degrees), 360 - abs(written - degrees)) < 1e-3


def test_outside_lies_left_of_the_way_walked():
    north_wall = wall(0, 0, 10000, 0)
    assert north_wall.outward_at(5000) == 0
    assert wall(0, 0, 0, 10000).outward_at(1) == 270


@pytest.mark.published("a half circle on a chord of 2r is pi·r long and rises by r: Euclid")
def test_a_half_circle_of_an_apse():
    # Walked from north to south, it stands out to the east.
    apse = wall(0, 4000, 0, -4000, bulge=1.0)
    assert isclose(apse.length, pi * 4000)
    assert isclose(apse.rise, 4000)
    middle = apse.at(apse.length / 2)
    assert isclose(middle.x, 4000)
    assert isclose(middle.y, 0, abs_tol=1e-6)
    assert isclose(apse.outward_at(apse.length / 2), 90)
    assert isclose(apse.outward_at(0), 0, abs_tol=1e-9)


@given(st.floats(-3, 3), st.floats(0, 1))
def test_every_point_of_a_curved_wall_lies_on_its_circle(bulge, share):
    curved = wall(0, 0, 6000, 1000, bulge)
    along = share * curved.length
    assert isclose(curved.at(0).x, 0, abs_tol=1e-6)
    end = curved.at(curved.length)
    assert hypot(end.x - 6000, end.y - 1000) < 1e-3
    if abs(bulge) > 0.01:
        radius = curved.chord * (1 + bulge**2) / (4 * abs(bulge))
        here, top = curved.at(along), curved.at(curved.length / 2)
        # The centre lies a radius inwards from the middle of the arc.
        side = 1 if bulge > 0 else -1
        centre = walk(top, curved.outward_at(curved.length / 2) + 180, side * radius)
        assert isclose(hypot(here.x - centre.x, here.y - centre.y), radius, rel_tol=1e-6)


def test_openings_without_a_distance_are_spread_between_those_that_have_one():
    long_wall = Wall("w", "", Point(0, 0), Point(12000, 0))
    said = [OnWall("a", "w"), OnWall("b", "w"), OnWall("c", "w", 8000), OnWall("d", "w")]
    assert [round(each.along) for each in place_openings([long_wall], said)] == [
        2000, 6000, 8000, 10000,
    ]  # fmt: skip


def test_an_opening_on_no_wall_has_no_place():
    assert place_openings([wall(0, 0, 1, 0)], [OnWall("a", "elsewhere")]) == ()


def test_the_axis_runs_through_the_east_end_whatever_a_vestry_adds():
    rows = [*CRUCIFORM[:12], row("S", "9 m", start="4 m; 0"), row("W", "4 m")]
    walls, _ = drawn(rows)
    assert isclose(orientation_of_plan(walls).axis_mm, 4000)


def test_a_plan_typed_is_walked_corner_by_corner():
    walls, _ = drawn([row("N", "8 m"), row("90", "24.5 m"), row("S", "8000", rise="-500")])
    assert [tuple(map(round, each.end)) for each in walls] == [
        (0, 8000), (24500, 8000), (24500, 0),
    ]  # fmt: skip
    assert isclose(walls[2].rise, -500)


@pytest.mark.parametrize(
    ("start", "expected"),
    [
        ("wall 1", (0, 8000)),
        ("2", (5000, 8000)),
        ("start of wall 2", (0, 8000)),
        ("end of West", (0, 8000)),
        ("start of west", (0, 0)),
        ("3.6 m; -2.7 m", (3600, -2700)),
        ("0; 120", (0, 120)),
    ],
)
def test_a_wall_may_begin_anew_at_a_corner_or_a_place(start, expected):
    rows = [row("N", "8 m", name="West"), row("E", "5 m"), row("E", "1 m", start=start)]
    walls, errors = read_rows(rows, "mm")
    assert errors == []
    assert tuple(map(round, walls[2].wall.start)) == expected


@pytest.mark.parametrize(
    ("wrong", "column", "message"),
    [
        (row("E", "", name="north aisle"), "length", "Wall 2 “north aisle”: the length is missing"),
        (row("", "5 m"), "direction", "Wall 2: the direction is missing"),
        (row("up", "5 m"), "direction", "Wall 2: “up” is no direction"),
        (row("E", "five"), "length", "Wall 2: "),
        (row("E", "-5 m"), "length", "below zero"),
        (row("E", "5 m", start="wall 9"), "start", "no wall above this one is called “wall 9”"),
        (row("E", "5 m", start="a; b"), "start", "Wall 2: "),
        (row("E", "5 m", rise="40 m"), "rise", "the rise is at most 5 times the length"),
        (row("E", "5 m", "nII at 6 m"), "openings", "nII at 6 m lies beyond the end"),
        (row("E", "5 m", "nII at x"), "openings", "Wall 2: "),
        (row("E", "5 m", "nII, nII"), "openings", "Wall 2: opening nII is on the plan twice"),
    ],
)
def test_what_is_wrong_is_told_with_the_wall_s_number_and_name(wrong, column, message):
    _, errors = read_rows([row("N", "8 m"), wrong], "mm")
    assert [error.column for error in errors] == [column]
    assert errors[0].row == 1
    assert message in errors[0].message


def test_blank_rows_are_passed_over_and_numbers_stay_those_of_the_table():
    walls, errors = read_rows([Row(), row("N", "8 m"), Row(name="  "), row("E", "")], "mm")
    assert [each.row for each in walls] == [1]
    assert errors[0].message.startswith("Wall 4:")


def test_an_opening_the_building_does_not_have_is_told():
    walls, _ = read_rows([row("N", "8 m", "nII; nIII at 3,5 m, W 7")], "mm")
    assert [error.message[:45] for error in unknown_openings(walls, {"nII": 1, "nIII": 2})] == [
        "Wall 1: no opening here is numbered W 7. Add "
    ]
    assert float(walls[0].openings[1].along.mm) == 3500


def test_a_bare_number_is_in_the_reader_s_unit():
    walls, _ = read_rows([row("N", "120")], "in")
    assert isclose(walls[0].wall.chord, 3048)


@given(st.integers(0, 3599), st.floats(-2, 2))
def test_rows_written_read_back_within_half_a_millimetre(tenths, bulge):
    walls, _ = drawn(CRUCIFORM)
    there = [
        Wall(
            each.key,
            each.name,
            walk(Point(0, 0), tenths / 10, each.start.x),
            walk(Point(0, 0), tenths / 10 + 1, each.end.x + 9),
            round(bulge, 4),
        )
        for each in walls
    ]
    rows = write_rows(there, [""] * len(there), [[SaidOpening("nII")]] + [[]] * (len(there) - 1))
    back, errors = read_rows(rows, "mm")
    assert errors == []
    for one, other in zip(there, back, strict=True):
        assert hypot(one.start.x - other.wall.start.x, one.start.y - other.wall.start.y) < 1.1
        assert hypot(one.end.x - other.wall.end.x, one.end.y - other.wall.end.y) < 2
        assert abs(one.rise - other.wall.rise) < 1
