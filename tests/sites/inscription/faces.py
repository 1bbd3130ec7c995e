"""The typefaces of proofs, for tests of what is measured from them."""

from sites.compute.inscription.face import Face, read_face
from sites.compute.inscription.layout import PlateSpec, drawn, lines_of
from sites.fonts import FACES, FALLBACKS, font_bytes


def faces(text: str, own: str = "firago-regular") -> tuple[Face, ...]:
    """The typeface `own`, and those that stand in, as far as `text` needs them."""
    letters = "\n".join(map(drawn, lines_of(text)))
    files = [
        FACES[own],
        *(FALLBACKS[name] for name in ("noto-regular", "noto-symbols", "noto-signs")),
    ]
    return tuple(read_face(font_bytes(code), letters) for code in files)


def spec(text: str, **changed) -> PlateSpec:
    """A plate of 200 by 100 mm, letters of 8 mm, 1.75 of them from line to line, margin 10 mm."""
    return PlateSpec(
        **{
            "width_mm": 200.0,
            "height_mm": 100.0,
            "letter_mm": 8.0,
            "lines": lines_of(text),
            "pitch": 1.75,
            "margin_mm": 10.0,
            **changed,
        }
    )
