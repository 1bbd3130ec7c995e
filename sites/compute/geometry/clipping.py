"""What of an outline lies below a level line, exactly; turned by right angles, beside any line."""

from collections.abc import Sequence

from sites.compute.geometry.edges import CLOSE_MM, Edge, Point


def turn(edge: Edge, quarters: int) -> Edge:
    """The edge turned counter-clockwise about the origin by right angles, exactly."""
    return Edge(_turn_point(edge.start, quarters), _turn_point(edge.end, quarters), edge.bulge)


def turn_all(edges: Sequence[Edge], quarters: int) -> list[Edge]:
    return [turn(edge, quarters) for edge in edges]


def _turn_point(point: Point, quarters: int) -> Point:
    for _ in range(quarters % 4):
        point = Point(-point.y, point.x)
    return point


def clip(edges: Sequence[Edge], y: float) -> list[list[Edge]]:
    """The loops of a counter-clockwise outline's part below `y`.

    The edges are cut where they cross the line. What stays below falls into chains that begin and
    end on it; along the line, sorted from the left, chain ends pair off into the stretches that
    lie inside, and those close the chains into loops.
    """
    parts = [part for edge in edges for part in edge.cut(edge.crossings(y))]
    inside = [_lies_below(part, y) for part in parts]
    if all(inside):
        return [list(edges)]
    if not any(inside):
        return []
    return _joined(_chains(parts, inside), y)


def _lies_below(part: Edge, y: float) -> bool:
    """Whether a part that does not cross the line lies below it; it may touch it on the way."""
    furthest = max((part.at(share).y - y for share in (0.25, 0.5, 0.75)), key=abs)
    return furthest < -CLOSE_MM


def _chains(parts: list[Edge], inside: list[bool]) -> list[list[Edge]]:
    start = inside.index(False)
    chains: list[list[Edge]] = []
    running = False
    for n in range(start, start + len(parts)):
        n %= len(parts)
        if inside[n] and running:
            chains[-1].append(parts[n])
        elif inside[n]:
            chains.append([parts[n]])
        running = inside[n]
    return chains


def _joined(chains: list[list[Edge]], y: float) -> list[list[Edge]]:
    # Inside lies below the line: a stretch of it is closed from its right end, where a chain
    # ends, back to its left one, where a chain starts. So starts and ends take turns, and pair off
    # in order even where two of them touch.
    starts = sorted(range(len(chains)), key=lambda n: chains[n][0].start.x)
    stops = sorted(range(len(chains)), key=lambda n: chains[n][-1].end.x)
    following = dict(zip(stops, starts, strict=True))
    loops, waiting = [], set(range(len(chains)))
    while waiting:
        n = min(waiting)
        loop: list[Edge] = []
        while n in waiting:
            waiting.discard(n)
            loop += chains[n]
            n = following[n]
            # Onto the line exactly, so that the parts of an outline meet.
            loop.append(Edge(Point(loop[-1].end.x, y), Point(chains[n][0].start.x, y)))
        loops.append([edge for edge in loop if edge.start != edge.end])
    return loops
