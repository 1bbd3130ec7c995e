"""An item's plate from its record: laid out in the real typeface, with what is to be said of it."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Final

from sites.compute.figures import Figures
from sites.compute.inscription.face import Face, read_face
from sites.compute.inscription.layout import (
    Alignment,
    Layout,
    PlateSpec,
    drawn,
    face_of,
    lay_out,
    lines_of,
)
from sites.compute.inscription.legibility import Limits, Remark, remarks_of, say_mm
from sites.compute.inscription.proof_content import Content, content
from sites.compute.lengths import format_inches
from sites.fonts import FACES, FALLBACKS, font_bytes
from sites.models import AttachedItem
from sites.models.choices import Alignment as AlignmentChoice
from sites.models.choices import Lettering, Units

FACE_NAMES: Final = {
    Lettering.UPRIGHT: "firago-regular",
    Lettering.ITALIC: "firago-italic",
    Lettering.BOLD: "firago-bold",
}
PLAIN_FALLBACK: Final = "noto-regular"
BOLD_FALLBACK: Final = "noto-bold"
SIGNS: Final = ("noto-symbols", "noto-signs")
# Stands on the plate for a letter that no typeface has.
NO_LETTER: Final = "\N{WHITE SQUARE}"

SayLength = Callable[[float | Decimal], str]


@dataclass(frozen=True)
class Plate:
    """A plate laid out, with everything to be looked at before it is made."""

    layout: Layout
    remarks: tuple[Remark, ...]
    faces: tuple[Face, ...]

    def shown(self, letters: str) -> str:
        """The letters of a line as they can be drawn, as many as there are places."""
        return "".join(letter if face_of(letter, self.faces) else NO_LETTER for letter in letters)


def can_be_laid_out(item: AttachedItem) -> bool:
    """Whether the record says enough for a layout: words, both sizes, and a letter height."""
    measured = (item.width_mm, item.height_mm, item.letter_height_mm)
    return bool(item.inscription.strip()) and None not in measured


def plate_of(item: AttachedItem, figures: Figures) -> Plate:
    """Return the item's plate. Raises ValueError unless `can_be_laid_out`."""
    if item.width_mm is None or item.height_mm is None or item.letter_height_mm is None:
        raise ValueError("a plate has two sides and a letter height")
    size_mm = float(item.width_mm), float(item.height_mm)
    layout, faces = _laid_out(item, figures, size_mm, float(item.letter_height_mm))
    remarks = remarks_of(
        layout,
        faces,
        limits_of(figures),
        reading_distance_mm=_number(item.reading_distance_mm),
        material=item.material,
        say=length_sayer(item.opening.building.units),
    )
    return Plate(layout, remarks, faces)


def greatest_letter_mm(item: AttachedItem, figures: Figures) -> Decimal | None:
    """Return the greatest height of a capital that fits, in mm; None where none does, or where
    the words or the sizes of the plate are not recorded."""
    if item.width_mm is None or item.height_mm is None or not item.inscription.strip():
        return None
    # What fits depends on the words alone, not on the letters they have now.
    size_mm = float(item.width_mm), float(item.height_mm)
    layout, _faces = _laid_out(item, figures, size_mm, float(item.letter_height_mm or 1))
    return layout.greatest_letter_mm or None


def _laid_out(
    item: AttachedItem, figures: Figures, size_mm: tuple[float, float], letter_mm: float
) -> tuple[Layout, tuple[Face, ...]]:
    lines = lines_of(item.inscription)
    faces = faces_for(item.lettering, "\n".join(map(drawn, lines)))
    alignment: Alignment = "left" if item.alignment == AlignmentChoice.LEFT else "centred"
    spec = PlateSpec(
        width_mm=size_mm[0],
        height_mm=size_mm[1],
        letter_mm=letter_mm,
        lines=lines,
        pitch=figures.number("inscription.line_pitch"),
        margin_mm=_number(item.margin_mm),
        margin_letters=figures.number("inscription.margin_letters"),
        alignment=alignment,
    )
    return lay_out(spec, faces), faces


def content_of(item: AttachedItem, figures: Figures) -> Content:
    """Return what a proof of the item, as it stands now, is a proof of."""
    margin = item.margin_mm
    if margin is None and item.letter_height_mm is not None:
        margin = item.letter_height_mm * figures.value("inscription.margin_letters")
    lengths = {
        "width": item.width_mm,
        "height": item.height_mm,
        "thickness": item.thickness_mm,
        "letter": item.letter_height_mm,
        "margin": margin,
    }
    return content(
        lines=lines_of(item.inscription),
        lengths_mm={name: mm for name, mm in lengths.items() if mm is not None},
        words={
            "material": item.material,
            "lettering": item.lettering,
            "alignment": item.alignment,
            "memorial_of": item.memorial_of,
            "donors": item.donors,
        },
        pitch=figures.value("inscription.line_pitch"),
    )


def limits_of(figures: Figures) -> Limits:
    return Limits(
        reading_ratio=figures.value("inscription.reading_ratio"),
        least_letter_mm=figures.value("inscription.least_letter"),
        least_cast_letter_mm=figures.value("inscription.least_cast_letter"),
    )


@lru_cache(maxsize=64)
def faces_for(lettering: str, text: str) -> tuple[Face, ...]:
    """Return the typeface of the lettering, and those that stand in where it lacks a letter."""
    own = FACE_NAMES[Lettering(lettering)]
    first = read_face(font_bytes(FACES[own]), text)
    if all(first.has(letter) for letter in text if letter != "\n"):
        return (first,)
    plain = BOLD_FALLBACK if lettering == Lettering.BOLD else PLAIN_FALLBACK
    others = (read_face(font_bytes(FALLBACKS[name]), text) for name in (plain, *SIGNS))
    return first, *others


def length_sayer(units: str) -> SayLength:
    """Return how a length is said to readers of `units`: in mm, and in inches beside it."""
    if units != Units.INCH:
        return say_mm
    return lambda mm: f"{say_mm(mm)} ({format_inches(Decimal(str(mm)), 32)})"


def _number(mm: Decimal | None) -> float | None:
    return None if mm is None else float(mm)
