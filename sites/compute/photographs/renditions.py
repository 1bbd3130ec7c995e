"""Makes the smaller copies of a photograph that screens and reports show."""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import BinaryIO

from PIL import Image

from sites.compute.photographs.colour import continuous, eight_bit, to_srgb, upright_cmyk
from sites.compute.photographs.formats import PhotographFormat
from sites.compute.photographs.limits import DEFAULT_LIMITS, Limits
from sites.compute.photographs.opening import OpenedPhotograph, decode, open_photograph
from sites.compute.photographs.strict_pillow import strict_pillow

RENDITION_SIZES_PX = (1600, 800, 400)
JPEG_QUALITY = 82

# Exif 2.32, tag 0x0112: where the stored row 0 and column 0 belong in the upright picture.
_TURNS = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}


@dataclass(frozen=True, slots=True)
class Rendition:
    """A smaller copy: a baseline JPEG in sRGB with no metadata.

    max_side_px: the longer side that was asked for; a smaller photograph is not enlarged to it.
    """

    max_side_px: int
    width_px: int
    height_px: int
    jpeg: bytes


@dataclass(frozen=True, slots=True)
class Renditions:
    """The copies made from one photograph, largest first, one for each size asked for."""

    all: tuple[Rendition, ...]

    def at(self, max_side_px: int) -> Rendition:
        """Return the copy that was asked for at this longer side. Raises KeyError for another."""
        for rendition in self.all:
            if rendition.max_side_px == max_side_px:
                return rendition
        raise KeyError(max_side_px)


def make_renditions(
    source: Path | BinaryIO,
    sizes: Sequence[int] = RENDITION_SIZES_PX,
    limits: Limits = DEFAULT_LIMITS,
) -> Renditions:
    """Return copies of a photograph fitted to each longer side in `sizes`, in pixels.

    The same bytes in give the same bytes out. A file object is read from its start and left open.

    Raises PhotographRefused for what `inspect_photograph` refuses, PhotographDamaged when the
    picture is not whole or cannot be decoded, and ValueError for no sizes or a size below 1.
    """
    wanted = sorted(set(sizes), reverse=True)
    if not wanted or wanted[-1] < 1:
        raise ValueError(f"sizes must be 1 or more pixels, got {tuple(sizes)}")
    with _binary(source) as file, strict_pillow(limits.max_pixels):
        opened = open_photograph(file, limits)
        full_size = opened.upright_size
        picture = _largest(opened, fitted_size(full_size, wanted[0]), limits)
    made: list[Rendition] = []
    for max_side_px in wanted:
        smaller = _shrink(picture, fitted_size(full_size, max_side_px))
        is_same = made and smaller is picture
        jpeg = made[-1].jpeg if is_same else _baseline_jpeg(smaller)
        made.append(Rendition(max_side_px, *smaller.size, jpeg))
        picture = smaller
    return Renditions(tuple(made))


def fitted_size(size: tuple[int, int], max_side_px: int) -> tuple[int, int]:
    """Return `size`, in pixels, with its longer side brought down to `max_side_px`; never 0."""
    longer = max(size)
    if longer <= max_side_px:
        return size
    width, height = (max(1, round(side * max_side_px / longer)) for side in size)
    return width, height


@contextmanager
def _binary(source: Path | BinaryIO) -> Iterator[BinaryIO]:
    if isinstance(source, Path):
        with source.open("rb") as file:
            yield file
    else:
        yield source


def _largest(opened: OpenedPhotograph, size: tuple[int, int], limits: Limits) -> Image.Image:
    """Decode once and return the largest copy: upright, RGB, sRGB.

    Shrinking comes before turning and colour conversion, which then have far fewer pixels to do.
    """
    image = opened.image
    stored_size = size[::-1] if opened.turn >= 5 else size
    box = None
    if opened.photograph_format is PhotographFormat.JPEG:
        # libjpeg then scales by 1/2, 1/4 or 1/8 while it decodes, never below the size asked for.
        drafted = image.draft(None, stored_size)
        box = drafted[1] if drafted else None
    icc_profile = image.info.get("icc_profile")
    decode(opened, limits)
    if opened.photograph_format is PhotographFormat.JPEG:
        image = upright_cmyk(image)
    small = eight_bit(_shrink(continuous(image), stored_size, box))
    colours = to_srgb(small, icc_profile if isinstance(icc_profile, bytes) else None)
    turn = _TURNS.get(opened.turn)
    return colours if turn is None else colours.transpose(turn)


def _shrink(
    image: Image.Image, size: tuple[int, int], box: tuple[float, float, float, float] | None = None
) -> Image.Image:
    """Return `image` at `size`, itself if it has that size already.

    Exact halves are means of four pixels, which is fast; the rest is bicubic.
    """
    if image.size == size:
        return image
    is_half = size == tuple((side + 1) // 2 for side in image.size)
    if box is None and is_half and image.mode == "RGB":
        return image.reduce(2)
    return image.resize(size, Image.Resampling.BICUBIC, box=box)


def _baseline_jpeg(image: Image.Image) -> bytes:
    # Pillow would carry a comment of the original over into the copy.
    image.info = {}
    buffer = BytesIO()
    image.save(buffer, "JPEG", quality=JPEG_QUALITY, subsampling="4:2:0", progressive=False)
    return buffer.getvalue()
