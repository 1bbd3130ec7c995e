"""Makes hostile uploads, each by its name: wrong types, bombs, cut files, two files in one."""

import re
import struct
import zipfile
import zlib
from collections.abc import Callable
from functools import partial
from io import BytesIO

from PIL import Image

from tests.condition.pictures import (
    RED,
    SIZE,
    busy,
    heic,
    jpeg,
    png,
    png_chunk,
    quarters,
    rgb_png,
    rgb_tiff,
    rows_of,
    saved,
    tiff,
)

SCRIPT = b"<html><script>alert('from a photograph')</script></html>"


def _zip() -> bytes:
    buffer = BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr("script.html", SCRIPT)
    return buffer.getvalue()


def _animated(kind: str) -> bytes:
    other = quarters().transpose(Image.Transpose.ROTATE_180)
    return saved(quarters(), kind, save_all=True, append_images=[other])


def _with_frame(bits: int | None = None, size: tuple[int, int] | None = None) -> bytes:
    """Return a JPEG whose frame header claims another precision, or another width and height."""
    data = jpeg()
    found = re.search(rb"\xff[\xc0\xc2]\x00.(.)(....)", data, re.DOTALL)
    assert found is not None
    precision = found[1] if bits is None else bytes((bits,))
    sides = found[2] if size is None else struct.pack(">HH", *size[::-1])
    return data[: found.start(1)] + precision + sides + data[found.end(2) :]


def _heic_bomb() -> bytes:
    data, claimed = heic(), struct.pack(">II", *SIZE)
    assert claimed in data
    return data.replace(claimed, struct.pack(">II", 60_000, 60_000))


def _unpacks_to(byte_count: int, name: bytes, keyword: bytes) -> bytes:
    return png_chunk(name, keyword + b"\x00\x00" + zlib.compress(bytes(byte_count)))


def _endless_scans() -> bytes:
    data = jpeg(progressive=True)
    last = data.rindex(b"\xff\xda")
    return data[:last] + data[last:-2] * 1000 + data[-2:]


def _behind_jfif(between: bytes) -> bytes:
    data = jpeg()
    end = 4 + int.from_bytes(data[4:6], "big")
    return data[:end] + between + data[end:]


def _picture_unpacks_to_more() -> bytes:
    rows = rows_of(quarters().tobytes(), SIZE[1])
    return png(SIZE, 8, 2, rows + bytes(30_000_000))


def _motion_photograph() -> bytes:
    """Return a progressive JPEG with a video behind it that holds what look like scan markers."""
    return jpeg(progressive=True) + b"\x00\x00\x00\x18ftypmp42" + b"\xff\xda\x00\x02" * 5000


def _spoilt_png() -> bytes:
    data = rgb_png(picture=busy())
    start = data.index(b"IDAT") + 2004
    return data[:start] + bytes(100) + data[start + 100 :]


def _spoilt_heic() -> bytes:
    data = heic(busy())
    start = data.index(b"mdat") + 8
    return data[:start] + b"\xff" * (len(data) - start)


def _cut(make: Callable[[], bytes], share: float) -> bytes:
    data = make()
    return data[: int(len(data) * share)]


def _still(major: bytes, *brands: bytes) -> bytes:
    """Return the first box of an ISO base media file and some of the rest."""
    box = b"ftyp" + major + bytes(4) + b"".join(brands)
    return struct.pack(">I", 4 + len(box)) + box + bytes(100)


WRONG_TYPES: dict[str, Callable[[], bytes]] = {
    "empty": lambda: b"",
    "one byte": lambda: b"\xff",
    "text.jpg": lambda: b"Dear all, the photographs follow by post.\n" * 20,
    "svg.jpg": lambda: b"<?xml version='1.0'?>\n<svg xmlns='http://www.w3.org/2000/svg'/>",
    "html.jpg": lambda: b"\xef\xbb\xbf\n<!DOCTYPE html>" + SCRIPT,
    "pdf.jpg": lambda: b"%PDF-1.7\n1 0 obj <<>> endobj\n%%EOF",
    "exe.jpg": lambda: b"MZ\x90\x00\x03" + bytes(200),
    "elf.jpg": lambda: b"\x7fELF\x02\x01\x01" + bytes(200),
    "shell.jpg": lambda: b"#!/bin/sh\nexit 1\n",
    "video.jpg": lambda: _still(b"mp42", b"mp42", b"isom"),
    "sound.jpg": lambda: b"RIFF\x24\x00\x00\x00WAVEfmt ",
    "avif.jpg": lambda: _still(b"avif", b"avif", b"mif1", b"miaf"),
    "avif behind mif1.heic": lambda: _still(b"mif1", b"mif1", b"avif"),
    "jpeg 2000.jpg": lambda: b"\x00\x00\x00\x0cjP  \r\n\x87\n" + bytes(100),
    "jpeg xl.jpg": lambda: b"\xff\x0a" + bytes(100),
    "photoshop.jpg": lambda: b"8BPS\x00\x01" + bytes(100),
    "big tiff.tif": lambda: b"II+\x00\x08\x00\x00\x00" + bytes(100),
    "bmp.jpg": lambda: saved(quarters(), "BMP"),
    "ico.jpg": lambda: saved(quarters(), "ICO"),
    "gif.jpg": lambda: saved(quarters(), "GIF"),
    "webp.jpg": lambda: saved(quarters(), "WEBP"),
    "animated gif": lambda: _animated("GIF"),
    "animated webp": lambda: _animated("WEBP"),
    "gif and script": lambda: b"GIF89a/*" + bytes(20) + b"*/=1;alert(1)",
    "pdf then jpeg": lambda: b"%PDF-1.4\n1 0 obj <</Length 900>> stream\n" + jpeg(),
    "zip then png": lambda: _zip() + rgb_png(),
}

RAW: dict[str, Callable[[], bytes]] = {
    "raw by its letters": lambda: b"II*\x00\x10\x00\x00\x00CR\x02\x00" + bytes(100),
    "raw in a movie box": lambda: _still(b"crx ", b"crx ", b"isom"),
    "digital negative": lambda: rgb_tiff([(0xC612, 1, b"\x01\x04\x00\x00")]),
    "raw with a thumbnail first": lambda: rgb_tiff([(0x00FE, 4, struct.pack("<I", 1))]),
}

BOMBS: dict[str, Callable[[], bytes]] = {
    "png bomb by header": lambda: png((50_000, 50_000), 8, 2, bytes(1000)),
    "jpeg bomb by header": lambda: _with_frame(size=(65_000, 65_000)),
    "tiff bomb by header": lambda: tiff((200_000, 200_000), (8, 8, 8), 2, bytes(12)),
    "heic bomb by header": _heic_bomb,
    "strip too long": lambda: png((1, 50_000), 8, 0, bytes(2 * 50_000)),
    "png text bomb": lambda: rgb_png(_unpacks_to(50_000_000, b"zTXt", b"Comment")),
    "png text bomb behind the picture": lambda: rgb_png(
        after=_unpacks_to(50_000_000, b"zTXt", b"Comment")
    ),
    "png profile bomb": lambda: rgb_png(_unpacks_to(50_000_000, b"iCCP", b"sRGB")),
    "png in countless pieces": lambda: rgb_png(png_chunk(b"teXt", b"") * 100_001),
    "jpeg with endless scans": _endless_scans,
    "jpeg with countless segments": lambda: _behind_jfif(b"\xff\xef\x00\x02" * 6000),
    "jpeg with junk before its picture": lambda: _behind_jfif(bytes(200_000)),
    "tiff of 32-bit fractions": lambda: saved(Image.new("F", SIZE, 0.5), "TIFF"),
}

UNREADABLE: dict[str, Callable[[], bytes]] = {
    "only the signature of a jpeg": lambda: b"\xff\xd8\xff",
    "jpeg cut in its header": lambda: jpeg()[:300],
    "png cut in its header": lambda: rgb_png()[:25],
    "tiff cut in its header": lambda: rgb_tiff()[:-120],
    "heic cut in its header": lambda: heic()[:200],
    "jpeg of 12 bits": lambda: _with_frame(bits=12),
    "jpeg without height": lambda: _with_frame(size=(96, 0)),
    "png without width": lambda: png((0, 64), 8, 2, bytes(64)),
    # Its directory stands behind the picture, as most writers of packed TIFF have it.
    "packed tiff cut": lambda: _cut(lambda: saved(busy(), "TIFF", compression="tiff_lzw"), 0.9),
}

_CUTTABLE: dict[str, Callable[[], bytes]] = {
    "jpeg": lambda: jpeg(busy()),
    "progressive jpeg": lambda: jpeg(busy(), progressive=True),
    "png": lambda: rgb_png(picture=busy()),
    "heic": lambda: heic(busy()),
    "tiff": lambda: saved(busy(), "TIFF"),
}
DAMAGED: dict[str, Callable[[], bytes]] = {
    **{
        f"{kind} cut at {share:.0%}": partial(_cut, make, share)
        for kind, make in _CUTTABLE.items()
        for share in (0.5, 0.75, 0.95)
    },
    "jpeg without its end marker": lambda: jpeg(busy())[:-2],
    "png with spoilt picture data": _spoilt_png,
    "heic with spoilt picture data": _spoilt_heic,
}

TWO_IN_ONE: dict[str, Callable[[], bytes]] = {
    "jpeg then html": lambda: jpeg() + SCRIPT,
    "jpeg with a script as its comment": lambda: jpeg(comment=SCRIPT),
    "jpeg then zip": lambda: jpeg() + _zip(),
    "png then zip": lambda: rgb_png() + _zip(),
    "png with a script as text": lambda: rgb_png(png_chunk(b"tEXt", b"Comment\x00" + SCRIPT)),
    "progressive jpeg then video": _motion_photograph,
    "png whose picture unpacks to more": _picture_unpacks_to_more,
}

ODD_SIZES: dict[str, Callable[[], bytes]] = {
    "one pixel": lambda: jpeg(Image.new("RGB", (1, 1), RED)),
    "strip of 1 by 20000": lambda: jpeg(Image.new("RGB", (1, 20_000), RED)),
    "strip of 20000 by 1": lambda: rgb_png(picture=Image.new("RGB", (20_000, 1), RED)),
}
