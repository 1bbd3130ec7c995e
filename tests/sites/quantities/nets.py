"""Leaded nets as plane graphs: panes of a panel made at random, joined at their corners."""

import itertools
import math
import random
from collections.abc import Iterable, Sequence

import networkx as nx

Corner = tuple[float, float]
Pane = list[Corner]
NEAR = 1e-6


def graph_of(panes: Iterable[Sequence[Corner]]) -> nx.Graph:
    """The net of leads round the panes: every corner that lies on an edge parts it."""
    corners: list[Corner] = []
    shared: dict[tuple[int, int], list[int]] = {}
    rings = [[_shared(corner, corners, shared) for corner in pane] for pane in panes]
    graph = nx.Graph()
    graph.add_nodes_from(range(len(corners)))
    for ring in rings:
        for start, end in zip(ring, [*ring[1:], ring[0]], strict=True):
            if start != end:
                nx.add_path(graph, _parted(start, end, corners))
    return graph


def leads_in(graph: nx.Graph) -> dict[int, int]:
    """How many nodes have so many leads, by the number of leads."""
    degrees = [degree for _, degree in graph.degree()]
    return {leads: degrees.count(leads) for leads in set(degrees)}


def junctions_in(graph: nx.Graph) -> int:
    """Nodes at which three leads or more meet."""
    return sum(count for leads, count in leads_in(graph).items() if leads >= 3)


def faces_in(graph: nx.Graph) -> int:
    """Panes that the net shows, from a plane embedding of the graph itself."""
    plane, embedding = nx.check_planarity(graph)
    assert plane
    seen: set[tuple[int, int]] = set()
    faces = 0
    for start, end in embedding.edges():
        if (start, end) not in seen:
            embedding.traverse_face(start, end, mark_half_edges=seen)
            faces += 1
    return faces - nx.number_connected_components(graph)


def length_inside(graph: nx.Graph, panes: Iterable[Sequence[Corner]], border: float) -> float:
    """Leads inside the border: every pane's edge, less the border, halved."""
    edges = sum(math.dist(pane[n - 1], corner) for pane in panes for n, corner in enumerate(pane))
    return (edges - border) / 2


def cells_of(sites: Sequence[Corner], width: float, height: float) -> list[Pane]:
    """The panel shared out so that each pane is what lies nearest to its own site."""
    whole = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    panes = []
    for site in sites:
        pane = whole
        for other in sites:
            if other != site:
                pane = _nearer(pane, site, other)
        panes.append(pane)
    return panes


def scattered(seed: int) -> list[Pane]:
    """Panes about sites scattered at random, from 1 to 40 of them."""
    draw = random.Random(seed)
    width, height = draw.uniform(200, 900), draw.uniform(200, 900)
    sites = [(draw.uniform(0, width), draw.uniform(0, height)) for _ in range(draw.randint(1, 40))]
    return cells_of(sites, width, height)


def honeycomb(seed: int) -> list[Pane]:
    """Hexagons, cut by the panel's edge, with the whole net shifted at random."""
    draw = random.Random(seed)
    side, columns, rows = draw.uniform(40, 90), draw.randint(2, 5), draw.randint(2, 5)
    width, height = columns * side * 1.5, rows * side * math.sqrt(3)
    shift = draw.uniform(0.1, 0.4) * side
    sites = [
        (column * side * 1.5 + shift, (row + column % 2 / 2) * side * math.sqrt(3) + shift)
        for column in range(-1, columns + 2)
        for row in range(-1, rows + 2)
    ]
    return [pane for pane in cells_of(sites, width, height) if len(pane) > 2]


def strips(seed: int) -> list[Pane]:
    """Strips in courses like bricks, no joint above another."""
    draw = random.Random(seed)
    panes = []
    for row in range(draw.randint(1, 8)):
        cuts = sorted({0.0, 600.0, *(draw.uniform(20, 580) for _ in range(draw.randint(0, 6)))})
        low, high = row * 50.0, row * 50.0 + 50
        panes += [
            [(left, low), (right, low), (right, high), (left, high)]
            for left, right in itertools.pairwise(cuts)
        ]
    return panes


def lattice(columns: int, rows: int) -> list[Pane]:
    """Square panes in rows and columns."""
    return [
        [(x, y), (x + 1.0, y), (x + 1.0, y + 1), (x, y + 1.0)]
        for x in map(float, range(columns))
        for y in map(float, range(rows))
    ]


def _shared(corner: Corner, corners: list[Corner], cells: dict[tuple[int, int], list[int]]) -> int:
    """The node at a corner: one already there, where it is as good as the same place."""
    cell = (round(corner[0]), round(corner[1]))
    for across in (-1, 0, 1):
        for up in (-1, 0, 1):
            for node in cells.get((cell[0] + across, cell[1] + up), []):
                if math.dist(corners[node], corner) < NEAR:
                    return node
    corners.append(corner)
    cells.setdefault(cell, []).append(len(corners) - 1)
    return len(corners) - 1


def _parted(start: int, end: int, corners: Sequence[Corner]) -> list[int]:
    """The nodes along an edge, from one end to the other."""
    (x1, y1), (x2, y2) = corners[start], corners[end]
    length = math.dist(corners[start], corners[end])
    along = []
    for node, (x, y) in enumerate(corners):
        beside = abs((x2 - x1) * (y - y1) - (y2 - y1) * (x - x1)) / length
        place = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / length
        if beside < NEAR and -NEAR < place < length + NEAR:
            along.append((place, node))
    return [node for _, node in sorted(along)]


def _nearer(pane: Pane, site: Corner, other: Corner) -> Pane:
    """The part of a pane that is nearer to its site than to another."""
    middle = ((site[0] + other[0]) / 2, (site[1] + other[1]) / 2)
    away = (other[0] - site[0], other[1] - site[1])

    def beyond(corner: Corner) -> float:
        return (corner[0] - middle[0]) * away[0] + (corner[1] - middle[1]) * away[1]

    kept: Pane = []
    for n, end in enumerate(pane):
        start = pane[n - 1]
        before, after = beyond(start), beyond(end)
        if (before > 0) != (after > 0):
            share = before / (before - after)
            kept.append(
                (start[0] + share * (end[0] - start[0]), start[1] + share * (end[1] - start[1]))
            )
        if after <= 0:
            kept.append(end)
    return kept
