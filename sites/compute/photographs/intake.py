"""The first look at a photograph as it arrives: real format, size, Exif and digest."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO

from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused, RefusalCode
from sites.compute.photographs.formats import TAKEN_HERE, PhotographFormat
from sites.compute.photographs.limits import Limits
from sites.compute.photographs.opening import open_photograph
from sites.compute.photographs.strict_pillow import strict_pillow

_BLOCK_BYTES = 1 << 20


@dataclass(frozen=True, slots=True)
class Inspected:
    """What is known of a photograph from its header alone.

    width_px, height_px: as it is looked at, upright.
    orientation: 1 to 8 as the camera noted it, None where it noted none that means anything.
    taken_local: the camera's clock as ISO 8601 text, with its offset from UTC where the camera
        noted one; "" where it noted no usable date.
    taken_at: the moment in UTC, None unless both date and offset are known.
    make, model: the camera, "" where unknown.
    has_position: the file says where it was taken. The position is not read.
    """

    photograph_format: PhotographFormat
    width_px: int
    height_px: int
    byte_count: int
    orientation: int | None
    taken_local: str
    taken_at: datetime | None
    make: str
    model: str
    has_position: bool

    @property
    def camera(self) -> str:
        """Make and model as one text; a model that already begins with the make stands alone."""
        if self.model.casefold().startswith(self.make.casefold()):
            return self.model
        return f"{self.make} {self.model}".strip()


def inspect_photograph(file: BinaryIO, limits: Limits) -> Inspected:
    """Return what the header of a photograph says, without decoding its pixels.

    file: seekable; read from its start whatever its position, and left at its start.

    Raises PhotographRefused for an empty file, one over the limits, and anything that is not a
    readable JPEG, PNG, HEIC or TIFF by its content. Whether the picture itself is whole is found
    out by `make_renditions`.

    Source of the fields: Exif 2.32 (CIPA DC-008-2019), tags 0x0112, 0x9003 and 0x9011.
    """
    try:
        with strict_pillow(limits.max_pixels):
            opened = open_photograph(file, limits)
    except PhotographDamaged as error:
        raise PhotographRefused(
            RefusalCode.UNREADABLE,
            f"This file begins like a photograph, but {error.reason}. Send it again from the "
            f"camera. {TAKEN_HERE}",
        ) from error
    finally:
        file.seek(0)
    width_px, height_px = opened.upright_size
    exif = opened.exif
    return Inspected(
        photograph_format=opened.photograph_format,
        width_px=width_px,
        height_px=height_px,
        byte_count=opened.byte_count,
        orientation=exif.orientation,
        taken_local=exif.taken_local_text,
        taken_at=exif.taken_at,
        make=exif.make,
        model=exif.model,
        has_position=exif.has_position,
    )


def sha256_of(file: BinaryIO) -> str:
    """Return the SHA-256 of a file's bytes (FIPS 180-4) as 64 lower-case hexadecimal digits.

    file: seekable; read from its start whatever its position, and left at its start. Only one block
        of it is held in memory.
    """
    digest = hashlib.sha256()
    file.seek(0)
    while block := file.read(_BLOCK_BYTES):
        digest.update(block)
    file.seek(0)
    return digest.hexdigest()
