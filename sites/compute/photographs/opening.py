"""Opens a photograph within limits, as far as its header, and decodes it on demand."""

import struct
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from io import SEEK_END
from typing import BinaryIO

from PIL import Image
from PIL.JpegImagePlugin import JpegImageFile
from PIL.PngImagePlugin import PngImageFile
from PIL.TiffImagePlugin import TiffImageFile
from pillow_heif import HeifImageFile

from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused, RefusalCode
from sites.compute.photographs.exif import ExifFacts, exif_of_block, exif_of_tiff
from sites.compute.photographs.formats import (
    HEAD_BYTES,
    PhotographFormat,
    camera_raw_refusal,
    recognise,
)
from sites.compute.photographs.jpeg_structure import check_jpeg_structure
from sites.compute.photographs.limits import Limits, check_byte_count, check_pixel_size
from sites.compute.photographs.png_structure import read_png_exif
from sites.compute.photographs.tiff_tags import open_tags

# What the decoders are known to raise over damaged files.
_DECODER_ERRORS = (
    ArithmeticError,
    AssertionError,
    AttributeError,
    EOFError,
    LookupError,
    OSError,
    RuntimeError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
_BOMBS = (Image.DecompressionBombError, Image.DecompressionBombWarning)
# 32-bit whole and fractional numbers: measurements rather than a picture, with no known white.
_MEASURED_MODES = frozenset(("I", "F"))
_NEW_SUBFILE_TYPE, _DNG_VERSION = 0x00FE, 0xC612
_REDUCED_IMAGE = 1

# The plugin classes themselves, so that no other decoder of Pillow's is ever tried on an upload,
# and a multi-picture JPEG (MPO) is read as the JPEG of its first picture.
_PLUGINS: dict[PhotographFormat, Callable[[BinaryIO], Image.Image]] = {
    PhotographFormat.JPEG: JpegImageFile,
    PhotographFormat.PNG: PngImageFile,
    PhotographFormat.HEIC: HeifImageFile,
    PhotographFormat.TIFF: TiffImageFile,
}


@dataclass(frozen=True, slots=True)
class OpenedPhotograph:
    """A photograph whose header has been read and found within limits.

    image: not decoded yet; the first picture of several.
    turn: the Exif orientation still to be applied to the decoded pixels. libheif and Pillow's TIFF
        reader turn the picture themselves, so it is 1 for those.
    """

    photograph_format: PhotographFormat
    byte_count: int
    image: Image.Image
    exif: ExifFacts
    turn: int

    @property
    def upright_size(self) -> tuple[int, int]:
        """Width and height in pixels as the picture is looked at."""
        width, height = self.image.size
        return (height, width) if self.turn >= 5 else (width, height)


def open_photograph(file: BinaryIO, limits: Limits) -> OpenedPhotograph:
    """Return the photograph in `file`, read as far as its header. Call inside `strict_pillow`.

    Raises PhotographRefused for what is not taken in, PhotographDamaged when the header of a known
    format cannot be read.
    """
    file.seek(0, SEEK_END)
    byte_count = file.tell()
    check_byte_count(byte_count, limits)
    file.seek(0)
    photograph_format = recognise(file.read(HEAD_BYTES))
    exif = _exif_before_decoding(photograph_format, file, limits)
    file.seek(0)
    with _decoder_errors("its opening part cannot be read"):
        image = _PLUGINS[photograph_format](file)
    check_pixel_size(*image.size, limits)
    if image.mode in _MEASURED_MODES:
        raise PhotographRefused(
            RefusalCode.UNSUPPORTED_PIXELS,
            "This file holds 32-bit measured values rather than a picture. Save it with 8 or 16 "
            "bits a colour and send that.",
        )
    if exif is None:
        block = image.info.get("exif")
        exif = exif_of_block(block) if isinstance(block, bytes) else ExifFacts()
        # pillow-heif has rotated by itself, and keeps apart what the camera noted.
        exif = replace(exif, orientation=image.info.get("original_orientation") or exif.orientation)
    turns_itself = photograph_format in (PhotographFormat.HEIC, PhotographFormat.TIFF)
    turn = 1 if turns_itself else exif.orientation or 1
    return OpenedPhotograph(photograph_format, byte_count, image, exif, turn)


def decode(opened: OpenedPhotograph, limits: Limits) -> None:
    """Decode the pixels of `opened.image` in place. Call inside `strict_pillow`.

    Raises PhotographDamaged when they cannot all be had: no part is passed off as the whole.
    """
    with _decoder_errors("its picture data cannot be read"):
        opened.image.load()
    check_pixel_size(*opened.image.size, limits)


def _exif_before_decoding(
    photograph_format: PhotographFormat, file: BinaryIO, limits: Limits
) -> ExifFacts | None:
    """Check a file's structure without a decoder; return its Exif where that passes by it."""
    match photograph_format:
        case PhotographFormat.JPEG:
            check_jpeg_structure(file, limits)
        case PhotographFormat.PNG:
            return exif_of_block(read_png_exif(file))
        case PhotographFormat.TIFF:
            _refuse_camera_raw(file)
            return exif_of_tiff(file)
    return None


def _refuse_camera_raw(file: BinaryIO) -> None:
    """Refuse a TIFF whose first picture is only a thumbnail of raw data."""
    reader = open_tags(file)
    if reader is None:
        return
    tags = reader.directory(reader.first_directory, frozenset((_NEW_SUBFILE_TYPE, _DNG_VERSION)))
    subfile_type = reader.number(tags.get(_NEW_SUBFILE_TYPE)) or 0
    if _DNG_VERSION in tags or subfile_type & _REDUCED_IMAGE:
        raise camera_raw_refusal()


@contextmanager
def _decoder_errors(what: str) -> Iterator[None]:
    """Turn what Pillow and libheif raise into this package's refusals."""
    try:
        yield
    except _BOMBS as error:
        raise PhotographRefused(
            RefusalCode.TOO_MANY_PIXELS,
            "This photograph unfolds into more pixels than its header says or than are taken here. "
            "Open it in an image editor, save it anew and send that.",
        ) from error
    except MemoryError as error:
        raise PhotographDamaged(f"{what}, because it asks for more memory than there is") from error
    except _DECODER_ERRORS as error:
        if isinstance(error, OSError) and error.errno is not None:
            raise  # the disk failed, not the photograph
        message = str(error)
        if "Decompressed data too large" in message or "Too much memory used" in message:
            raise PhotographRefused(
                RefusalCode.UNPACKS_TOO_LARGE,
                "This PNG carries hidden text or a profile that unpacks to far more than a "
                "photograph needs. Open it in an image editor, save it anew and send that.",
            ) from error
        ends_early = "truncated" in message.lower() or isinstance(error, EOFError)
        why = "the file ends too early" if ends_early else "it is damaged or of an unknown kind"
        raise PhotographDamaged(f"{what}, because {why}") from error
