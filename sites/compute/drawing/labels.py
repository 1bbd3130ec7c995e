"""Where a number fits inside an outline: clear of its edges and of everything placed before it."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final

from sites.compute.drawing.scene import DANGER, Badge, Hand, Label, around, overlap
from sites.compute.geometry.rings import Box, Point, Ring

# Widths of a humanist sans in ems, on the generous side: a number is never cut.
CAPITAL: Final = 0.72
LETTER: Final = 0.60
SPACE: Final = 0.28
# How high a number stands, in ems: figures and capitals, without what hangs below the line.
FIGURE_HEIGHT: Final = 0.74
# Heights tried between the foot of an outline and its top, and lines looked along at each.
STEPS: Final = 15
LINES: Final = 5
# How many times the least room around a label it is given where it can be.
EASY: Final = 4.0

Span = tuple[float, float]


def text_width(text: str, size: float) -> float:
    """Return about how wide a text is set in letters of `size`; never less than it is."""
    return size * sum(
        SPACE if letter.isspace() else CAPITAL if letter.isupper() else LETTER for letter in text
    )


def place_block(
    rings: Iterable[Ring], width: float, height: float, taken: Sequence[Box], air: float
) -> Point | None:
    """Return the middle of a block of a size inside the rings, as near their middle as it goes.

    taken: boxes the block keeps clear of, by `air`, as it does of the edges.
    None where it fits nowhere.
    """
    spots = [
        spot for ring in rings for spot in _spots(ring, width + 2 * air, height + 2 * air, taken)
    ]
    return min(spots, default=(0.0, None), key=lambda spot: spot[0])[1]


def _spots(
    ring: Ring, width: float, height: float, taken: Sequence[Box]
) -> Iterator[tuple[float, Point]]:
    """Places for a block, each with how far it is from where one would like it: less is better."""
    box = ring.box
    slack = box.height - height
    if slack < 0 or box.width < width:
        return
    wanted = ring.centroid
    for step in range(STEPS):
        y = box.bottom + height / 2 + slack * step / (STEPS - 1)
        for left, right in _free(ring, y, height, taken):
            if right - left >= width:
                x = min(max(wanted.x, left + width / 2), right - width / 2)
                # Two thirds of the way to the middle of its span: not squeezed against an edge.
                x += ((left + right) / 2 - x) * 2 / 3
                yield abs(x - wanted.x) + abs(y - wanted.y), Point(x, y)


def _free(ring: Ring, y: float, height: float, taken: Sequence[Box]) -> list[Span]:
    """The spans of x that are glass, and free, over the whole height of a block about y."""
    # A hair within the edges: along a straight foot or head the width has no one value.
    inside = height * 0.998
    lines = [y - inside / 2 + inside * n / (LINES - 1) for n in range(LINES)]
    spans = list(ring.widths_at(lines[0]))
    for line in lines[1:]:
        spans = _common(spans, ring.widths_at(line))
    for box in taken:
        if box.bottom < y + height / 2 and y - height / 2 < box.top:
            spans = _without(spans, box.left, box.right)
    return spans


def _common(some: Iterable[Span], others: Sequence[Span]) -> list[Span]:
    return [(max(a, c), min(b, d)) for a, b in some for c, d in others if max(a, c) < min(b, d)]


def _without(spans: Iterable[Span], left: float, right: float) -> list[Span]:
    left_over = []
    for start, end in spans:
        if start < left:
            left_over.append((start, min(end, left)))
        if right < end:
            left_over.append((max(start, right), end))
    return left_over


def label_in(
    rings: Sequence[Ring],
    text: str,
    badge: Badge | None,
    taken: Sequence[Box],
    hand: Hand,
    unit: float,
) -> Label | None:
    """Return the label of a part: number and badge, else what of them fits.

    unit: millimetres to a unit of the drawing. A number that fits nowhere is left out; a badge
    never is: danger and class are shown though they reach over an edge.
    """
    for words in (text, "") if badge else (text,):
        width, height = _block(words, badge, hand)
        # With room to breathe where there is some: a number does not lean on a bar.
        for air in (hand.air * EASY, hand.air):
            middle = place_block(rings, width * unit, height * unit, taken, air * unit)
            if middle is not None:
                return _laid_out(words, badge, middle, hand, unit)
    if badge is None:
        return None
    return _laid_out("", badge, _roomiest(rings, taken, hand, unit), hand, unit)


def _roomiest(rings: Sequence[Ring], taken: Sequence[Box], hand: Hand, unit: float) -> Point:
    """Where a badge too large for its part does least harm."""
    for size in (0.7, 0.4, 0.2):
        side = hand.quarry[0] * size * unit
        middle = place_block(rings, side, side, taken, 0.0)
        if middle is not None:
            return middle
    return rings[0].centroid


def label_on(
    box: Box, text: str, badge: Badge | None, taken: Sequence[Box], hand: Hand, unit: float
) -> Label | None:
    """Return the label of an item in its middle, or None where it has no room for it.

    A badge that has no room on its item stands on it all the same.
    """
    for words in (text, "") if badge else (text,):
        width, height = (side * unit for side in _block(words, badge, hand))
        fits = width + hand.air * unit <= box.width and height <= box.height
        middle = box.middle
        if (fits or not words) and not any(
            overlap(around(middle, width, height), other) for other in taken
        ):
            return _laid_out(words, badge, middle, hand, unit)
    return _laid_out("", badge, box.middle, hand, unit) if badge else None


def corner_label(box: Box, text: str, badge: Badge | None, hand: Hand, unit: float) -> Label:
    """Return the label of an item that covers much: in its upper left corner."""
    width, height = (side * unit for side in _block(text, badge, hand))
    air = 2 * hand.air * unit
    middle = Point(box.left + air + width / 2, box.top - air - height / 2)
    return _laid_out(text, badge, middle, hand, unit)


def _badge_size(badge: Badge | None, hand: Hand) -> tuple[float, float]:
    if badge is None:
        return 0.0, 0.0
    return hand.sign if badge.kind == DANGER else hand.quarry


def _block(text: str, badge: Badge | None, hand: Hand) -> tuple[float, float]:
    """How wide and high a label is, in units."""
    wide, high = _badge_size(badge, hand)
    if text:
        gap = hand.number * 0.3 if badge else 0.0
        wide += gap + text_width(text, hand.number)
        high = max(high, hand.number * FIGURE_HEIGHT)
    return wide, high


def _laid_out(text: str, badge: Badge | None, middle: Point, hand: Hand, unit: float) -> Label:
    width, height = (side * unit for side in _block(text, badge, hand))
    box = around(middle, width, height)
    wide, high = (side * unit for side in _badge_size(badge, hand))
    badge_box = around(Point(box.left + wide / 2, middle.y), wide, high) if badge else None
    text_at = None
    if text:
        text_at = Point(box.right - text_width(text, hand.number) * unit / 2, middle.y)
    return Label(box, text, text_at, badge, badge_box)
