"""Numbered pins on a drawing: inside their part where they fit, else beside it with a leader."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, sqrt

from sites.compute.drawing.labels import place_block
from sites.compute.drawing.scene import Hand, Pane, Pin, Plate, around, overlap
from sites.compute.geometry.rings import Box, Point, Ring


@dataclass(frozen=True)
class Wanted:
    """A pin asked for: on which part, what it says, whether it is filled."""

    key: str
    text: str
    strong: bool = False


def place_pins(
    wanted: Sequence[Wanted],
    panes: Sequence[Pane],
    plates: Sequence[Plate],
    bars: Sequence[Box],
    outline: Ring,
    hand: Hand,
    unit: float,
) -> tuple[Pin, ...]:
    """Return a pin for each one wanted on a part that is drawn; none lies on another or an item.

    unit: millimetres to a unit of the drawing. The largest discs are drawn that all fit inside
    their parts; where even the smallest do not, those without room stand outside the opening.
    """
    sites = _Sites(panes, plates, bars, outline, hand, unit)
    known = [each for each in wanted if each.key in sites.targets]
    tries = [sites.placed(known, radius * unit) for radius in hand.pin_radii]
    whole = [pins for pins in tries if all(pin.tip is None or on_item for pin, on_item in pins)]
    chosen = whole[0] if whole else tries[-1] if tries else []
    return tuple(pin for pin, _ in chosen)


class _Sites:
    """The parts pins can stand on, and what they must keep clear of."""

    def __init__(
        self,
        panes: Sequence[Pane],
        plates: Sequence[Plate],
        bars: Sequence[Box],
        outline: Ring,
        hand: Hand,
        unit: float,
    ) -> None:
        self.panes = {pane.key: pane for pane in panes if pane.key}
        self.plates = {plate.key: plate for plate in plates}
        self.bars = list(bars)
        self.targets = self.panes.keys() | self.plates.keys()
        self.outline = outline
        self.air = hand.air * unit
        self.rim = hand.rim * unit

    def placed(self, wanted: Sequence[Wanted], radius: float) -> list[tuple[Pin, bool]]:
        """Each pin, with whether it belongs to an item; in the order wanted."""
        taken = [plate.box for plate in self.plates.values() if not plate.covers]
        found: dict[Wanted, Pin] = {}
        homeless: list[tuple[Wanted, Point]] = []
        for key, group in _by_part(wanted).items():
            spots = self._spots(key, len(group), radius, taken)
            for each, spot in zip(group, spots, strict=False):
                found[each] = self._pin(each, spot, radius)
            homeless += [(each, self._anchor(key)) for each in group[len(spots) :]]
        outside = beside(homeless, self.outline.box, radius, self.rim + 2 * self.air, self.air)
        found |= {each: self._pin(each, pin.at, radius, pin.tip) for each, pin in outside.items()}
        return [(found[each], each.key in self.plates) for each in wanted]

    def _spots(self, key: str, count: int, radius: float, taken: list[Box]) -> list[Point]:
        """Up to `count` free places for the part's pins, read from the top; `taken` grows."""
        side = 2 * radius + self.air
        spots = self._in_rows(key, count, side, taken) if key in self.panes else []
        taken += [around(spot, side, side) for spot in spots]
        while len(spots) < count:
            spot = self._spot(key, radius, taken)
            if spot is None:
                break
            spots.append(spot)
            taken.append(around(spot, side, side))
        return sorted(spots, key=lambda spot: (-round(spot.y / radius), spot.x))

    def _in_rows(self, key: str, count: int, side: float, taken: Sequence[Box]) -> list[Point]:
        """The places of a whole group, in rows that suit the part's shape; none if they do not."""
        rings = self.panes[key].rings
        box = rings[0].box
        wanted = sqrt(count * box.width / box.height)
        for columns in sorted(range(1, count + 1), key=lambda columns: abs(columns - wanted)):
            rows = ceil(count / columns)
            for blocked in ([*taken, *self.bars], taken):
                middle = place_block(rings, columns * side, rows * side, blocked, 0.0)
                if middle is not None:
                    return _rows_about(middle, count, columns, side)
        return []

    def _spot(self, key: str, radius: float, taken: Sequence[Box]) -> Point | None:
        if key in self.panes:
            rings, side = self.panes[key].rings, 2 * radius
            # Off the bars where that can be; a disc over a bar is read all the same.
            return place_block(
                rings, side, side, [*taken, *self.bars], self.air / 2
            ) or place_block(rings, side, side, taken, self.air / 2)
        return self._about(self.plates[key], radius, taken)

    def _about(self, plate: Plate, radius: float, taken: Sequence[Box]) -> Point | None:
        """A free place around an item, above it rather than below, and within the opening."""
        box, step = plate.box, radius + 2 * self.air
        if plate.covers:
            corner = Point(box.right - step, box.top - step)
            return None if _hits(corner, radius, taken) else corner
        x, y = box.middle
        spots = [
            Point(x + n * 2 * step, height)
            for n in (0, 1, -1, 2, -2)
            for height in (box.top + step, box.bottom - step)
        ] + [Point(box.right + step, y), Point(box.left - step, y)]
        for spot in spots:
            if not _hits(spot, radius, taken) and self.outline.contains(spot):
                return spot
        return None

    def _pin(self, each: Wanted, at: Point, radius: float, tip: Point | None = None) -> Pin:
        """A leader ends at the edge of an item: it hides nothing of it."""
        plate = self.plates.get(each.key)
        if plate is not None and (tip is not None or not plate.covers):
            tip = _nearest(plate.box, at)
        return Pin(each.text, each.strong, at, radius, tip)

    def _anchor(self, key: str) -> Point:
        """Where the leader of a pin that stands outside ends."""
        if key in self.plates:
            return self.plates[key].box.middle
        rings = self.panes[key].rings
        taken = [plate.box for plate in self.plates.values() if not plate.covers]
        small = self.air * 2
        return place_block(rings, small, small, taken, 0.0) or rings[0].centroid


def _rows_about(middle: Point, count: int, columns: int, side: float) -> list[Point]:
    rows = ceil(count / columns)
    spots = []
    for place in range(count):
        row, column = divmod(place, columns)
        here = min(columns, count - row * columns)
        spots.append(
            Point(
                middle.x + (column - (here - 1) / 2) * side,
                middle.y - (row - (rows - 1) / 2) * side,
            )
        )
    return spots


def beside(
    homeless: Sequence[tuple[Wanted, Point]], box: Box, radius: float, gap: float, air: float
) -> Mapping[Wanted, Pin]:
    """Return pins in a row down each side of the opening, each as near its part as it can be."""
    middle = (box.left + box.right) / 2
    found: dict[Wanted, Pin] = {}
    for left in (True, False):
        here = [(each, tip) for each, tip in homeless if (tip.x < middle) == left]
        here.sort(key=lambda pair: -pair[1].y)
        x = box.left - gap - radius if left else box.right + gap + radius
        heights = spread([tip.y for _, tip in here], 2 * radius + air)
        for (each, tip), y in zip(here, heights, strict=True):
            found[each] = Pin(each.text, each.strong, Point(x, y), radius, tip)
    return found


def spread(heights: Sequence[float], step: float) -> list[float]:
    """Return heights given from the top down, moved apart to `step` and no further than needed."""
    groups: list[tuple[float, int]] = []
    for height in heights:
        groups.append((height, 1))
        while len(groups) > 1 and _close(groups[-2], groups[-1], step):
            (high, some), (low, more) = groups[-2:]
            groups[-2:] = [((high * some + low * more) / (some + more), some + more)]
    return [middle + step * ((count - 1) / 2 - n) for middle, count in groups for n in range(count)]


def _close(upper: tuple[float, int], lower: tuple[float, int], step: float) -> bool:
    return upper[0] - lower[0] < step * (upper[1] + lower[1]) / 2


def _by_part(wanted: Sequence[Wanted]) -> dict[str, list[Wanted]]:
    groups: dict[str, list[Wanted]] = {}
    for each in wanted:
        groups.setdefault(each.key, []).append(each)
    return groups


def _hits(spot: Point, radius: float, taken: Sequence[Box]) -> bool:
    return any(overlap(around(spot, 2 * radius, 2 * radius), box) for box in taken)


def _nearest(box: Box, point: Point) -> Point:
    """The point of a box that is nearest to one outside it."""
    return Point(min(max(point.x, box.left), box.right), min(max(point.y, box.bottom), box.top))
