"""Turns a copy of a picture by quarters."""

from io import BytesIO
from typing import Final

from PIL import Image

from sites.compute.photographs.renditions import JPEG_QUALITY, Rendition

_LEFT: Final = {
    1: Image.Transpose.ROTATE_90,
    2: Image.Transpose.ROTATE_180,
    3: Image.Transpose.ROTATE_270,
}


def turned(copy: Rendition, quarters_left: int) -> Rendition:
    """Return a copy made here, turned to the left by so many quarters; itself for none."""
    turn = _LEFT.get(quarters_left % 4)
    if turn is None:
        return copy
    buffer = BytesIO()
    with Image.open(BytesIO(copy.jpeg)) as image:
        upright = image.transpose(turn)
    upright.save(buffer, "JPEG", quality=JPEG_QUALITY, progressive=False)
    return Rendition(copy.max_side_px, *upright.size, buffer.getvalue())
