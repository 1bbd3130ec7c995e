"""Fonts for inscriptions, from an installed font package."""

import io
from functools import lru_cache
from typing import Final

import pymupdf_fonts

FACES: Final = {"regular": "figo", "bold": "figbo", "italic": "figit"}


@lru_cache(maxsize=4)
def _bytes(face: str) -> bytes:
    return bytes(pymupdf_fonts.myfont(FACES[face]))


def font(face: str) -> io.BytesIO:
    """Return a font file to read: regular, bold or italic."""
    return io.BytesIO(_bytes(face))
