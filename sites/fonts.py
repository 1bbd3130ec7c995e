"""The text face: FiraGO, from the `pymupdf-fonts` package (SIL Open Font Licence 1.1).

A humanist sans with all Latin accents, Greek and Cyrillic, and tabular figures; the same face
on screen (subset, WOFF2) and on paper (whole, so that Hebrew or Arabic inscriptions print too).
Noto Sans and its symbols, from the same package, stand in on paper for what FiraGO lacks.
"""

import os
from io import BytesIO
from pathlib import Path
from typing import Final

import pymupdf_fonts
from fontTools import subset

FACES: Final = {
    "firago-regular": "figo",
    "firago-italic": "figit",
    "firago-bold": "figbo",
    "firago-bolditalic": "figbi",
}
# The crosses of inscriptions are in the second of the two symbol faces.
FALLBACKS: Final = {
    "noto-regular": "notos",
    "noto-bold": "notosbo",
    "noto-symbols": "symbol2",
    "noto-signs": "symbol1",
}

# Latin with all its extensions, combining accents, Greek (polytonic too), Cyrillic, punctuation,
# arrows, number forms and the mathematical signs in use.
WEB_CHARACTERS: Final = [
    *range(0x20, 0x250),
    *range(0x300, 0x530),
    *range(0x1E00, 0x2000),
    *range(0x2000, 0x2270),
]
FEATURES: Final = ["kern", "liga", "mark", "mkmk", "ccmp", "locl", "tnum", "lnum", "frac", "case"]


def web_fonts(folder: Path) -> list[Path]:
    """Return the screen's font files in `folder`, making those not yet there."""
    files = [folder / f"{name}.woff2" for name in FACES]
    for file in files:
        if not file.exists():
            _write(file, _subset(font_bytes(FACES[file.stem])))
    return files


def print_fonts(folder: Path) -> list[Path]:
    """Return the printer's font files in `folder`, making those not yet there."""
    faces = FACES | FALLBACKS
    files = [folder / f"{name}.ttf" for name in faces]
    for file in files:
        if not file.exists():
            _write(file, font_bytes(faces[file.stem]))
    return files


def font_bytes(code: str) -> bytes:
    """Return a face of the package. Raises KeyError for a code it does not have."""
    data: bytes = pymupdf_fonts.fontbuffers[code]()
    return data


def _subset(data: bytes) -> bytes:
    options = subset.Options()
    options.flavor = "woff2"
    options.layout_features = FEATURES
    font = subset.load_font(BytesIO(data), options)
    subsetter = subset.Subsetter(options)
    subsetter.populate(unicodes=WEB_CHARACTERS)
    subsetter.subset(font)
    made = BytesIO()
    subset.save_font(font, made, options)
    return made.getvalue()


def _write(file: Path, data: bytes) -> None:
    """Write whole or not at all: two processes may make the same font at once."""
    file.parent.mkdir(parents=True, exist_ok=True)
    part = file.with_suffix(f".{os.getpid()}.part")
    part.write_bytes(data)
    part.replace(file)
