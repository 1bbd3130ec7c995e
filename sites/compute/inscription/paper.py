"""Where a plate fits on the building's paper: at true size if it can, else at a told scale."""

from dataclasses import dataclass
from typing import Final

# Width and height upright. A4: ISO 216; Letter: 8 1/2 by 11 inches (ANSI/ASME Y14.1, size A).
PAPERS_MM: Final[dict[str, tuple[float, float]]] = {
    "A4": (210.0, 297.0),
    "Letter": (215.9, 279.4),
}
# Kept free of the plate: the page's own margins with its running lines, and, above and below
# the plate, its heading, the sentences about scale, and the line to measure.
SIDES_MM: Final = 28.0
ABOVE_AND_BELOW_MM: Final = 100.0
SCALES: Final[dict[int, str]] = {
    1: "true size",
    2: "half size",
    5: "one fifth of true size",
    10: "one tenth of true size",
    20: "one twentieth of true size",
}


class PaperError(ValueError):
    """A plate that no sheet can show at any of the scales."""


@dataclass(frozen=True)
class Sheet:
    """How the plate is printed: `scale` mm of it are one mm on the paper."""

    paper: str
    landscape: bool
    scale: int

    @property
    def words(self) -> str:
        return SCALES[self.scale]

    @property
    def true_size(self) -> bool:
        return self.scale == 1


def sheet_for(width_mm: float, height_mm: float, paper: str) -> Sheet:
    """Return the sheet on which the plate is largest; the paper upright where that does.

    paper: "A4" or "Letter".

    Raises PaperError, in the user's words, for a plate too large for the smallest scale.
    """
    short, long = PAPERS_MM[paper]
    for scale in SCALES:
        for landscape, wide, high in ((False, short, long), (True, long, short)):
            room_mm = wide - SIDES_MM, high - ABOVE_AND_BELOW_MM
            if width_mm <= room_mm[0] * scale and height_mm <= room_mm[1] * scale:
                return Sheet(paper, landscape, scale)
    raise PaperError(
        f"A plate of {width_mm:g} by {height_mm:g} mm is too large to be shown on {paper} paper "
        f"even at 1:{max(SCALES)}. Check its width and its height."
    )
