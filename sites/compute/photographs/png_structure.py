"""Walks the chunks of a PNG without unpacking any, and finds its Exif wherever it stands."""

import struct
from typing import BinaryIO

from sites.compute.photographs.errors import PhotographRefused, RefusalCode

_SIGNATURE_BYTES = 8
_CHECKSUM_BYTES = 4
# Encoders that write the smallest chunks, of 8 kB, need 15,000 for the largest file taken in.
MAX_CHUNKS = 100_000
MAX_EXIF_BYTES = 1 << 20


def read_png_exif(file: BinaryIO) -> bytes:
    """Return the contents of a PNG's first eXIf chunk, b"" if it has none.

    The chunk may stand before or after the picture data (PNG, third edition, 5.6). Raises
    PhotographRefused for more chunks than any encoder writes: a decoder takes them one by one.
    """
    exif = b""
    position = _SIGNATURE_BYTES
    for _ in range(MAX_CHUNKS):
        file.seek(position)
        head = file.read(8)
        if len(head) < 8:
            return exif
        length, name = struct.unpack(">I4s", head)
        if name == b"IEND":
            return exif
        if name == b"eXIf" and not exif and length <= MAX_EXIF_BYTES:
            exif = file.read(length)
        position += 8 + length + _CHECKSUM_BYTES
    raise PhotographRefused(
        RefusalCode.UNPACKS_TOO_LARGE,
        f"This PNG is in more than {MAX_CHUNKS} pieces, where a photograph needs a few thousand. "
        "Open it in an image editor, save it anew and send that.",
    )
