"""A plaque drawn from its size, with its inscription set in it line by line."""

from dataclasses import dataclass
from typing import Final

from sites.compute.inscription.layout import Layout

WIDEST: Final = 400.0
HIGHEST: Final = 320.0
NOMINAL_MM: Final = (240.0, 96.0)
LEADING: Final = 1.32
MARGIN: Final = 0.07
RIM: Final = 6.0
TALLEST_LETTER: Final = 0.3
# Widths of a humanist sans in ems, on the generous side so that a line never runs over the edge.
CAPITAL: Final = 0.70
SMALL: Final = 0.58
SPACE: Final = 0.28


@dataclass(frozen=True)
class PlacedLine:
    """A line of the inscription with its baseline, centred on the plaque.

    places: where each letter stands, for a plaque drawn with its real lettering.
    """

    text: str
    x: float
    y: float
    places: tuple[float, ...] = ()


@dataclass(frozen=True)
class PlaqueDrawing:
    """A plaque `width` × `height` units; letters of `letter` units; to scale where known.

    margin: how far in the words begin, where that and the height of the letters are known.
    overruns: the words do not fit inside the margins.
    """

    width: float
    height: float
    letter: float
    lines: tuple[PlacedLine, ...]
    mm_per_unit: float | None
    margin: float | None = None
    overruns: bool = False

    @property
    def to_scale(self) -> bool:
        return self.mm_per_unit is not None


def draw_plaque(width_mm: float | None, height_mm: float | None, inscription: str) -> PlaqueDrawing:
    """Return the plaque with the inscription as large as its lines let it be.

    The size of the letters is the drawing's own: this is for a plaque whose letters are not
    measured; see `draw_lettered` for one whose are. Without both sizes a common shape is drawn,
    and it is not to scale.
    """
    to_scale = bool(width_mm and height_mm)
    wide, high = (width_mm, height_mm) if width_mm and height_mm else NOMINAL_MM
    scale = min(WIDEST / wide, HIGHEST / high)
    width, height = wide * scale, high * scale
    lines = [line.strip() for line in inscription.strip().splitlines()]
    letter = _letter(lines, width, height)
    block = letter * LEADING * len(lines)
    first = (height - block) / 2 + letter * (LEADING / 2 + 0.35)
    placed = tuple(
        PlacedLine(line, round(width / 2, 1), round(first + letter * LEADING * n, 1))
        for n, line in enumerate(lines)
        if line
    )
    return PlaqueDrawing(
        round(width, 1), round(height, 1), round(letter, 2), placed, 1 / scale if to_scale else None
    )


def draw_lettered(layout: Layout) -> PlaqueDrawing:
    """Return the plaque with its letters where and as large as the layout has them."""
    spec = layout.spec
    scale = min(WIDEST / spec.width_mm, HIGHEST / spec.height_mm)
    lines = tuple(
        PlacedLine(
            line.letters,
            round(spec.width_mm / 2 * scale, 1),
            round(line.baseline_mm * scale, 2),
            tuple(round(place * scale, 2) for place in line.places_mm),
        )
        for line in layout.lines
        if line.text.strip()
    )
    return PlaqueDrawing(
        round(spec.width_mm * scale, 1),
        round(spec.height_mm * scale, 1),
        round(layout.font_mm * scale, 2),
        lines,
        1 / scale,
        round(spec.margin_used_mm * scale, 2),
        not layout.fits,
    )


def line_width_em(line: str) -> float:
    """Return about how wide a line is set, in ems."""
    return sum(
        SPACE if letter.isspace() else CAPITAL if letter.isupper() else SMALL for letter in line
    )


def _letter(lines: list[str], width: float, height: float) -> float:
    if not lines:
        return 0.0
    # Beside the edge the plate's own rim is drawn; a very flat plate has less room for it.
    least = min(width, height)
    margin = min(MARGIN * least + RIM, least / 5)
    across = (width - 2 * margin) / max(line_width_em(line) for line in lines)
    down = (height - 2 * margin) / (LEADING * len(lines))
    return min(across, down, height * TALLEST_LETTER)
