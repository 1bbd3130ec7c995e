"""Builds small photographs, byte by byte where image libraries do not write the form."""

import random
import struct
import zlib
from collections.abc import Sequence
from io import BytesIO

import pillow_heif
from PIL import Image, ImageDraw

Colour = tuple[int, ...]

RED, GREEN, BLUE, YELLOW = (220, 30, 30), (30, 170, 40), (30, 40, 210), (240, 220, 40)
WHITE, BLACK = (255, 255, 255), (0, 0, 0)
# Upright: top left, top right, bottom left, bottom right.
QUARTERS = (RED, GREEN, BLUE, YELLOW)
SIZE = (96, 64)


def quarters(
    colours: Sequence[Colour | int] = QUARTERS, mode: str = "RGB", size: tuple[int, int] = SIZE
) -> Image.Image:
    """Return a picture of four coloured quarters, so that any turn or mirror shows."""
    picture = Image.new(mode, size)
    draw = ImageDraw.Draw(picture)
    middle_x, middle_y = size[0] // 2, size[1] // 2
    for number, colour in enumerate(colours):
        left, top = number % 2 * middle_x, number // 2 * middle_y
        draw.rectangle((left, top, left + middle_x, top + middle_y), fill=colour)
    return picture


def busy(size: tuple[int, int] = (200, 150)) -> Image.Image:
    """Return a picture that packs badly, so that a cut or a spoilt stretch falls inside it."""
    return Image.frombytes("RGB", size, random.Random(7).randbytes(size[0] * size[1] * 3))


def saved(picture: Image.Image, kind: str, **options: object) -> bytes:
    buffer = BytesIO()
    picture.save(buffer, kind, **options)
    return buffer.getvalue()


def jpeg(picture: Image.Image | None = None, **options: object) -> bytes:
    return saved(picture or quarters(), "JPEG", **{"quality": 95, "subsampling": 0} | options)


def heic(picture: Image.Image | None = None, **options: object) -> bytes:
    """Return a HEIC; with `exif` given as bytes its orientation is written as a rotation too."""
    buffer = BytesIO()
    pillow_heif.from_pillow(picture or quarters()).save(buffer, quality=95, **options)
    return buffer.getvalue()


def exif_block(
    *entries: tuple[int, int, bytes], sub: Sequence[tuple[int, int, bytes]] = ()
) -> bytes:
    """Return a little-endian Exif block; an entry is its tag, its type and its packed value.

    Types: 2 text, 3 short, 4 long, 5 rational. `sub` becomes the Exif directory.
    """
    main = list(entries)
    if sub:
        main.append((0x8769, 4, struct.pack("<I", 8 + 6 + 12 * (len(main) + 1) + _spill(main))))
    body = _directory(main, 8)
    return b"Exif\x00\x00II*\x00\x08\x00\x00\x00" + body + _directory(sub, 8 + len(body))


def orientation_exif(orientation: int) -> bytes:
    return exif_block((0x0112, 3, struct.pack("<H", orientation)))


def taken_exif(date_time: bytes, offset: bytes = b"") -> bytes:
    sub = [(0x9003, 2, date_time + b"\x00")]
    if offset:
        sub.append((0x9011, 2, offset + b"\x00"))
    return exif_block(sub=sub)


def stored_for(orientation: int, upright: Image.Image) -> Image.Image:
    """Return the pixels a camera stores for `upright` under an Exif orientation.

    Exif 2.32, tag 0x0112, says for each value which visual side the stored row 0 and column 0 are.
    """
    sides = {1: "tl", 2: "tr", 3: "br", 4: "bl", 5: "lt", 6: "rt", 7: "rb", 8: "lb"}
    row_side, column_side = sides[orientation]
    width, height = upright.size
    stored = Image.new("RGB", (width, height) if row_side in "tb" else (height, width))
    for x in range(width):
        for y in range(height):
            distance = {"t": y, "b": height - 1 - y, "l": x, "r": width - 1 - x}
            stored.putpixel((distance[column_side], distance[row_side]), upright.getpixel((x, y)))
    return stored


def png_chunk(name: bytes, data: bytes) -> bytes:
    checksum = struct.pack(">I", zlib.crc32(name + data))
    return struct.pack(">I", len(data)) + name + data + checksum


def png(
    size: tuple[int, int],
    bits: int,
    colour_type: int,
    rows: bytes,
    *before: bytes,
    after: bytes = b"",
) -> bytes:
    """Return a PNG of unfiltered `rows`, each behind a 0; chunks may stand around the picture."""
    header = struct.pack(">IIBBBBB", *size, bits, colour_type, 0, 0, 0)
    picture = png_chunk(b"IDAT", zlib.compress(rows))
    chunks = (png_chunk(b"IHDR", header), *before, picture, after, png_chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(chunks)


def rows_of(data: bytes, row_count: int) -> bytes:
    """Return picture data as the unfiltered rows of a PNG, each behind a 0."""
    length = len(data) // row_count
    rows = (data[row * length : (row + 1) * length] for row in range(row_count))
    return b"".join(b"\x00" + row for row in rows)


def rgb_png(*before: bytes, after: bytes = b"", picture: Image.Image | None = None) -> bytes:
    picture = picture or quarters()
    rows = rows_of(picture.tobytes(), picture.height)
    return png(picture.size, 8, 2, rows, *before, after=after)


def tiff(
    size: tuple[int, int],
    bits: Sequence[int],
    photometric: int,
    data: bytes,
    order: str = "<",
    extra: Sequence[tuple[int, int, bytes]] = (),
) -> bytes:
    """Return an unpacked TIFF of one strip, with `bits` for each sample, in either byte order."""
    short, long = f"{order}H", f"{order}I"
    entries = [
        (256, 4, struct.pack(long, size[0])),
        (257, 4, struct.pack(long, size[1])),
        (258, 3, b"".join(struct.pack(short, sample) for sample in bits)),
        (259, 3, struct.pack(short, 1)),
        (262, 3, struct.pack(short, photometric)),
        (273, 4, struct.pack(long, 8)),
        (277, 3, struct.pack(short, len(bits))),
        (278, 4, struct.pack(long, size[1])),
        (279, 4, struct.pack(long, len(data))),
        *extra,
    ]
    data += b"\x00" * (len(data) % 2)
    signature = b"II*\x00" if order == "<" else b"MM\x00*"
    start = 8 + len(data)
    return signature + struct.pack(long, start) + data + _directory(sorted(entries), start, order)


def rgb_tiff(extra: Sequence[tuple[int, int, bytes]] = ()) -> bytes:
    return tiff(SIZE, (8, 8, 8), 2, quarters().tobytes(), extra=extra)


def without_segment(data: bytes, marker: int) -> bytes:
    """Return a JPEG without its first segment of this marker."""
    start = data.index(bytes((0xFF, marker)))
    return data[:start] + data[start + 2 + int.from_bytes(data[start + 2 : start + 4], "big") :]


def with_segment(data: bytes, marker: int, contents: bytes) -> bytes:
    """Return a JPEG with a segment put directly after its start."""
    head = bytes((0xFF, marker)) + struct.pack(">H", len(contents) + 2)
    return data[:2] + head + contents + data[2:]


def display_p3_profile() -> bytes:
    """Return a matrix profile of Display P3.

    Colorants are the DCI-P3 primaries (SMPTE RP 431-2) on a D65 white, adapted to D50 by the
    Bradford matrix; the curve is that of sRGB (IEC 61966-2-1).
    """
    curve = b"para" + bytes(4) + struct.pack(">HH", 3, 0)
    curve += _fixed(2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)
    columns = {
        b"rXYZ": (0.51512, 0.24120, -0.00105),
        b"gXYZ": (0.29198, 0.69225, 0.04189),
        b"bXYZ": (0.15710, 0.06657, 0.78407),
        b"wtpt": (0.96420, 1.0, 0.82491),
    }
    tags = {name: b"XYZ " + bytes(4) + _fixed(*column) for name, column in columns.items()}
    return _profile(
        b"mntr", b"RGB ", b"XYZ ", tags | dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    )


def odd_press_profile() -> bytes:
    """Return a CMYK profile of a press that never was: cyan is red, magenta green, yellow blue.

    No formula without the profile could come to these colours. Lab values of the sRGB primaries
    relative to D50 are from memory; the test allows for eight-bit steps.
    """
    red, green, blue = (54.3, 80.8, 69.9), (87.8, -79.3, 81.0), (29.6, 68.3, -112.0)
    inks = {(0, 0, 0, 0): (100, 0, 0), (1, 0, 0, 0): red, (0, 1, 0, 0): green, (0, 0, 1, 0): blue}
    grid = b"".join(
        bytes((round(lab[0] * 2.55), round(lab[1]) + 128, round(lab[2]) + 128))
        for index in range(16)
        for lab in (inks.get(tuple(index >> bit & 1 for bit in (3, 2, 1, 0)), (0, 0, 0)),)
    )
    even = bytes(range(256))
    head = b"mft1" + bytes(4) + bytes((4, 3, 2, 0)) + _fixed(1, 0, 0, 0, 1, 0, 0, 0, 1)
    perceptual = head + even * 4 + grid + even * 3
    colorimetric = head + even * 4 + bytes((128,)) * len(grid) + even * 3  # grey whatever the inks
    tags = {b"A2B0": perceptual, b"A2B1": colorimetric}
    return _profile(b"prtr", b"CMYK", b"Lab ", tags)


def _profile(kind: bytes, space: bytes, connection: bytes, tags: dict[bytes, bytes]) -> bytes:
    """Return an ICC profile (ICC.1, clause 7): header of 128 bytes, tag table, tags."""
    table, body = struct.pack(">I", len(tags)), b""
    start = 128 + 4 + 12 * len(tags)
    for name, data in tags.items():
        padded = data + bytes(-len(data) % 4)
        table += name + struct.pack(">II", start + len(body), len(data))
        body += padded
    head = struct.pack(">I4sI", start + len(body), bytes(4), 0x02400000) + kind + space + connection
    head += bytes(12) + b"acsp" + bytes(28) + _fixed(0.9642, 1.0, 0.8249)
    return head.ljust(128, b"\x00") + table + body


def _fixed(*numbers: float) -> bytes:
    return b"".join(struct.pack(">i", round(number * 65536)) for number in numbers)


def _spill(entries: Sequence[tuple[int, int, bytes]]) -> int:
    return sum(len(value) for _, _, value in entries if len(value) > 4)


def _directory(entries: Sequence[tuple[int, int, bytes]], start: int, order: str = "<") -> bytes:
    """Return a TIFF directory that will stand at `start`, with its longer values behind it."""
    widths = {1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 7: 1}
    table, spilled = struct.pack(f"{order}H", len(entries)), b""
    behind = start + 2 + 12 * len(entries) + 4
    for tag, kind, value in entries:
        table += struct.pack(f"{order}HHI", tag, kind, len(value) // widths[kind])
        if len(value) <= 4:
            table += value.ljust(4, b"\x00")
        else:
            table += struct.pack(f"{order}I", behind + len(spilled))
            spilled += value
    return table + bytes(4) + spilled
