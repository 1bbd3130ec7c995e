"""Joints by Euler's formula, against nets whose nodes are counted one by one."""

import networkx as nx
import pytest

from sites.compute.quantities.errors import QuantityError
from sites.compute.quantities.joints import count_joints, junctions, lattice_crossings
from tests.sites.quantities.nets import (
    faces_in,
    graph_of,
    honeycomb,
    junctions_in,
    lattice,
    leads_in,
    scattered,
    strips,
)

EULER = pytest.mark.published(
    "L. Euler, Elementa doctrinae solidorum (1758): nodes − edges + faces = 2 for a plane graph"
)
MAKERS = {"scattered": scattered, "honeycomb": honeycomb, "strips": strips}


@EULER
@pytest.mark.parametrize("make", MAKERS.values(), ids=MAKERS)
@pytest.mark.parametrize("seed", range(0, 70, 10))
def test_two_for_each_piece_but_one_on_random_nets_without_crossings(make, seed):
    for each in range(seed, seed + 10):
        panes = make(each)
        graph = graph_of(panes)
        assert faces_in(graph) == len(panes)
        counted = leads_in(graph)
        assert set(counted) <= {2, 3}, "this net was meant to have no crossing"
        assert counted[2] == 4, "the corners of the border"
        assert junctions_in(graph) == junctions(len(panes)) == 2 * (len(panes) - 1)


@EULER
@pytest.mark.parametrize("columns", range(1, 7))
@pytest.mark.parametrize("rows", range(1, 7))
def test_each_crossing_of_a_lattice_stands_for_two_junctions_of_three(columns, rows):
    counted = leads_in(graph_of(lattice(columns, rows)))
    crossings = (columns - 1) * (rows - 1)
    joints = count_joints(columns * rows, crossings)
    assert joints.crossings == counted.get(4, 0) == crossings
    assert joints.threes == counted.get(3, 0) == 2 * (columns - 1) + 2 * (rows - 1)
    assert joints.one_face == junctions_in(graph_of(lattice(columns, rows)))


@EULER
def test_panes_of_a_lattice_in_part_let_out_are_counted_as_well():
    # Two squares leaded as one: a crossing becomes a junction of three.
    panes = [pane for pane in lattice(3, 3) if pane[0] not in ((0, 0), (1, 0))]
    panes.append([(0.0, 0.0), (2.0, 0.0), (2.0, 1.0), (0.0, 1.0)])
    graph = graph_of(panes)
    assert leads_in(graph) == {2: 4, 3: 8, 4: 3}
    assert junctions(8, crossings=3) == junctions_in(graph) == 11


@EULER
def test_a_star_of_leads_is_not_counted_right_and_the_working_warns_of_it():
    # Leads from corner to corner of a square, and from middle to middle of its sides.
    middle = (1.0, 1.0)
    ring = [(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (2.0, 1.0), (2.0, 2.0), (1.0, 2.0)]
    ring += [(0.0, 2.0), (0.0, 1.0)]
    panes = [[middle, ring[n - 1], corner] for n, corner in enumerate(ring)]
    graph = graph_of(panes)
    # Eight leads meet in the middle: a star counts six of the fourteen that two for each leave.
    weights = sum((leads - 2) * count for leads, count in leads_in(graph).items())
    assert weights == 2 * (len(panes) - 1)
    assert junctions(len(panes)) != junctions_in(graph)
    assert "more than four leads meet" in count_joints(len(panes)).working.caution


@EULER
def test_a_ringed_piece_takes_two_junctions_away_and_closes_its_own_ring():
    panes = lattice(2, 1)
    graph = graph_of(panes)
    # A roundel within the left pane: a ring of four nodes that touches nothing else.
    nx.add_cycle(graph, ["a", "b", "c", "d"])
    assert faces_in(graph) == 3
    joints = count_joints(pieces=3, ringed=1)
    assert joints.threes == junctions_in(graph) == 2
    assert joints.rings == 1
    assert (joints.one_face, joints.both_faces) == (3, 6)


@pytest.mark.parametrize(
    ("pieces", "crossings", "ringed", "field"),
    [
        (0, 0, 0, "pieces"),
        (-3, 0, 0, "pieces"),
        (5, 5, 0, "crossings"),
        (5, -1, 0, "crossings"),
        (5, 0, 5, "ringed_pieces"),
        (5, 0, -1, "ringed_pieces"),
        (5, 3, 2, "crossings"),
    ],
)
def test_what_no_panel_can_have_is_refused_by_its_field(pieces, crossings, ringed, field):
    with pytest.raises(QuantityError, match=str((pieces, crossings, ringed)[0])) as refused:
        count_joints(pieces, crossings, ringed)
    assert refused.value.field == field


def test_crossings_nobody_counted_are_estimated_in_a_lattice_alone():
    plain = count_joints(20)
    assert (plain.one_face, plain.crossings_origin, plain.estimated) == (38, "default", False)
    quarries = count_joints(20, lattice=True)
    assert (quarries.crossings, quarries.crossings_origin) == (12, "estimated")
    assert quarries.one_face == 26
    counted = count_joints(20, 10, lattice=True)
    assert (counted.one_face, counted.crossings_origin) == (28, "entered")


@pytest.mark.parametrize("columns", range(1, 9))
@pytest.mark.parametrize("rows", range(1, 9))
def test_no_lattice_has_more_crossings_than_the_squarest(columns, rows):
    assert (columns - 1) * (rows - 1) <= lattice_crossings(columns * rows)
    assert lattice_crossings(rows * rows) == (rows - 1) ** 2


def test_the_working_tells_the_corners_apart_and_where_it_does_not_hold():
    joints = count_joints(12, 4, 1, corners=4)
    assert joints.one_face == 2 * 10 - 4 + 1
    assert (
        joints.working.result == "17 on one face, 34 on both; the 4 corners of the border besides"
    )
    assert "ends blind" in joints.working.caution
    assert [each.value for each in joints.working.inputs] == ["12", "4", "1"]
    assert "corners" not in count_joints(12).working.result
