"""The same count on nets noded by a geometry library of its own: 200 panels at random."""

import random

import networkx as nx
import pytest
import shapely
from shapely.geometry import LineString, MultiPoint, box
from shapely.ops import polygonize, unary_union

from sites.compute.quantities.joints import count_joints

EULER = pytest.mark.published(
    "L. Euler, Elementa doctrinae solidorum (1758): nodes − edges + faces = 2 for a plane graph"
)
GRID_MM = 1e-4


def leads_of(lines) -> nx.Graph:
    """The net as a graph, with a node wherever two leads touch."""
    noded = unary_union(shapely.set_precision(unary_union(lines), GRID_MM))
    graph = nx.Graph()
    for part in getattr(noded, "geoms", [noded]):
        nx.add_path(graph, part.coords)
    return graph


def panes_in(lines) -> int:
    return len(list(polygonize(unary_union(shapely.set_precision(unary_union(lines), GRID_MM)))))


def met_by(graph: nx.Graph, leads: int) -> int:
    return sum(degree == leads for _, degree in graph.degree())


@EULER
@pytest.mark.parametrize("seed", range(0, 100, 10))
def test_panes_shared_out_by_nearness_have_two_junctions_for_each_but_one(seed):
    for each in range(seed, seed + 10):
        draw = random.Random(each)
        panel = box(0, 0, draw.uniform(300, 900), draw.uniform(300, 900))
        width, height = panel.bounds[2:]
        sites = MultiPoint(
            [(draw.uniform(0, width), draw.uniform(0, height)) for _ in range(draw.randint(2, 40))]
        )
        cells = shapely.voronoi_polygons(sites, extend_to=panel)
        lines = [cell.intersection(panel).exterior for cell in cells.geoms]
        graph = leads_of(lines)
        joints = count_joints(panes_in(lines))
        assert panes_in(lines) == len(sites.geoms)
        assert joints.one_face == sum(degree >= 3 for _, degree in graph.degree())


@EULER
@pytest.mark.parametrize("seed", range(0, 100, 10))
def test_leads_run_across_a_panel_cross_in_fours_that_count_once(seed):
    for each in range(seed, seed + 10):
        draw = random.Random(each)
        panel = box(0, 0, 600, 800)
        lines = [panel.exterior]
        for _ in range(draw.randint(1, 9)):
            low, high = (draw.uniform(5, 595), 0), (draw.uniform(5, 595), 800)
            left, right = (0, draw.uniform(5, 795)), (600, draw.uniform(5, 795))
            lines.append(LineString(draw.choice([(low, high), (left, right), (low, right)])))
        graph = leads_of(lines)
        crossings = met_by(graph, 4)
        joints = count_joints(panes_in(lines), crossings)
        assert met_by(graph, 2) == 4, "the corners of the border"
        assert joints.threes == met_by(graph, 3)
        assert joints.one_face == met_by(graph, 3) + crossings
