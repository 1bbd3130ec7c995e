"""An opening with its bars numbered, as paths for a small drawing beside the table of bars."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from sites.compute.division import Division

LONGEST_UNITS: Final = 420.0
MARGIN: Final = 6.0
# Room for the numbers, left of the window.
LABELS: Final = 44.0
LABEL_DROP: Final = 5.0
SAME_HEIGHT: Final = 14.0


@dataclass(frozen=True)
class BarLine:
    """A bar across one light, in units of the drawing, y downwards; `strong` where it stands out.

    number: its place in the table, from the sill up.
    """

    x1: float
    x2: float
    y: float
    number: int
    strong: bool


@dataclass(frozen=True)
class BarLabel:
    """The numbers of the bars at one height, left of the window."""

    x: float
    y: float
    text: str


@dataclass(frozen=True)
class BarDrawing:
    """Paths seen from inside, in a box of `view_box`."""

    view_box: str
    outline: str
    lights: tuple[str, ...]
    bars: tuple[BarLine, ...]
    labels: tuple[BarLabel, ...]


def draw_bars(division: Division, numbers: Mapping[str, int], strong: frozenset[str]) -> BarDrawing:
    """Return the drawing. numbers: of each bar by its key; strong: keys of those to stand out."""
    box = division.outline.ring.box
    scale = LONGEST_UNITS / max(box.right - box.left, box.top - box.bottom)
    lines = tuple(
        BarLine(bar.x1 * scale, bar.x2 * scale, -bar.y * scale, numbers[bar.key], bar.key in strong)
        for bar in division.bars
        if bar.key in numbers
    )
    left, top = box.left * scale - LABELS, -box.top * scale - MARGIN
    width = (box.right - box.left) * scale + LABELS + MARGIN
    height = (box.top - box.bottom) * scale + 2 * MARGIN
    return BarDrawing(
        view_box=f"{left:.1f} {top:.1f} {width:.1f} {height:.1f}",
        outline=division.outline.ring.path(scale=scale, flip=True),
        lights=tuple(light.ring.path(scale=scale, flip=True) for light in division.lights),
        bars=lines,
        labels=_labels(lines, box.left * scale - MARGIN),
    )


def _labels(lines: Sequence[BarLine], x: float) -> tuple[BarLabel, ...]:
    """One label a height; bars too near each other to be told apart share theirs."""
    groups: list[list[BarLine]] = []
    for line in sorted(lines, key=lambda each: (-each.y, each.number)):
        if groups and groups[-1][0].y - line.y < SAME_HEIGHT:
            groups[-1].append(line)
        else:
            groups.append([line])
    return tuple(
        BarLabel(
            x,
            group[0].y + LABEL_DROP,
            ", ".join(dict.fromkeys(str(line.number) for line in group)),
        )
        for group in groups
    )
