"""Makes photographs that are sound but unusual: pixels, profiles, Exif and turns of every kind."""

import struct
from collections.abc import Callable
from functools import partial

from PIL import Image, ImageChops

from tests.condition.pictures import (
    BLUE,
    GREEN,
    QUARTERS,
    RED,
    SIZE,
    YELLOW,
    display_p3_profile,
    exif_block,
    heic,
    jpeg,
    odd_press_profile,
    orientation_exif,
    png,
    png_chunk,
    quarters,
    rgb_png,
    rgb_tiff,
    rows_of,
    saved,
    stored_for,
    tiff,
    with_segment,
    without_segment,
)

GREYS = (40, 100, 160, 220)
# Inks of the usual colours; of the odd press; and four colours in Lab (D50).
PLAIN_INKS = ((0, 255, 255, 0), (255, 0, 255, 0), (255, 255, 0, 0), (0, 0, 255, 0))
ODD_INKS = ((255, 0, 0, 0), (0, 255, 0, 0), (0, 0, 255, 0), (0, 0, 0, 0))
LAB_COLOURS = ((50, 40, 30), (60, -40, 30), (40, 10, -40), (75, 0, 0))
BLACK_ON_WHITE = (1, 0, 0, 1)


def _another_view() -> Image.Image:
    return quarters((YELLOW, BLUE, GREEN, RED))


def _with_clear_corner() -> Image.Image:
    return quarters([(*RED, 0), *((*colour, 255) for colour in QUARTERS[1:])], "RGBA")


def _grey_with_clear_corner() -> Image.Image:
    return quarters([(40, 0), *((grey, 255) for grey in GREYS[1:])], "LA")


def _palette_with_clear_corner() -> bytes:
    picture = quarters((0, 1, 2, 3), "P")
    picture.putpalette([value for colour in QUARTERS for value in colour])
    return saved(picture, "PNG", transparency=0)


def _one_colour_clear() -> bytes:
    return rgb_png(png_chunk(b"tRNS", b"".join(struct.pack(">H", value) for value in RED)))


def _lab_tiff() -> bytes:
    colours = [(round(lab[0] * 2.55), lab[1] & 255, lab[2] & 255) for lab in LAB_COLOURS]
    return tiff(SIZE, (8, 8, 8), 8, quarters(colours).tobytes())


def _plain_cmyk_without_marker() -> bytes:
    # Pillow writes inks the Adobe way round; turned beforehand and unmarked, they stand plainly.
    return without_segment(jpeg(ImageChops.invert(quarters(PLAIN_INKS, "CMYK"))), 0xEE)


def _sixteen_bits(picture: Image.Image, order: str) -> bytes:
    """Return 8-bit samples as 16-bit ones, with a lower byte that must not come through."""
    return b"".join(struct.pack(f"{order}H", sample << 8 | 0x55) for sample in picture.tobytes())


def _sixteen_bit_png(picture: Image.Image, colour_type: int) -> bytes:
    return png(SIZE, 16, colour_type, rows_of(_sixteen_bits(picture, ">"), SIZE[1]))


def _sixteen_bit_tiff(picture: Image.Image, order: str) -> bytes:
    samples = len(picture.getbands())
    photometric = 1 if samples == 1 else 2
    return tiff(SIZE, (16,) * samples, photometric, _sixteen_bits(picture, order), order)


def _tagged(icc_profile: bytes) -> Image.Image:
    picture = quarters()
    picture.info["icc_profile"] = icc_profile
    return picture


def _cmyk(kind: str, inks: tuple[tuple[int, ...], ...], icc_profile: bytes | None) -> bytes:
    return saved(quarters(inks, "CMYK"), kind, icc_profile=icc_profile)


def _turned(kind: str, orientation: int) -> bytes:
    """Return the quarters stored under an orientation, so that heeding it makes them upright."""
    stored, exif = stored_for(orientation, quarters()), orientation_exif(orientation)
    match kind:
        case "jpeg":
            return jpeg(stored, exif=exif)
        case "png":
            return rgb_png(png_chunk(b"eXIf", exif[6:]), picture=stored)
        case "heic":
            return heic(stored, exif=exif)
        case _:
            return saved(stored, "TIFF", tiffinfo={0x0112: orientation})


KINDS_OF_PIXEL: dict[str, Callable[[], bytes]] = {
    "jpeg": jpeg,
    "progressive jpeg": lambda: jpeg(progressive=True),
    "grey jpeg": lambda: jpeg(quarters(GREYS, "L")),
    "heic": heic,
    "heic with transparency": lambda: heic(_with_clear_corner()),
    "png": rgb_png,
    "tiff": rgb_tiff,
    "tiff packed as jpeg": lambda: saved(quarters(), "TIFF", compression="jpeg", quality=95),
    "multi-page tiff": lambda: saved(
        quarters(), "TIFF", save_all=True, append_images=[_another_view()]
    ),
    "multi-picture jpeg": lambda: saved(
        quarters(), "MPO", save_all=True, append_images=[_another_view()], quality=95
    ),
    "multi-picture jpeg with a broken index": lambda: with_segment(
        jpeg(), 0xE2, b"MPF\x00II*\x00\x08\x00\x00\x00\xff\xff" + bytes(40)
    ),
    "animated png": lambda: saved(
        quarters(), "PNG", save_all=True, append_images=[_another_view()]
    ),
    "animated png with broken frames": lambda: rgb_png(png_chunk(b"acTL", bytes(8))),
    "cmyk jpeg": lambda: _cmyk("JPEG", PLAIN_INKS, None),
    "cmyk jpeg without the Adobe marker": _plain_cmyk_without_marker,
    "cmyk jpeg with a broken profile": lambda: _cmyk("JPEG", PLAIN_INKS, b"not a profile"),
    "cmyk jpeg with a profile": lambda: _cmyk("JPEG", ODD_INKS, odd_press_profile()),
    "cmyk tiff with a profile": lambda: _cmyk("TIFF", ODD_INKS, odd_press_profile()),
    "lab tiff": _lab_tiff,
    "1-bit tiff": lambda: saved(quarters(BLACK_ON_WHITE, "1"), "TIFF", compression="group4"),
    "1-bit png": lambda: saved(quarters(BLACK_ON_WHITE, "1"), "PNG"),
    "palette png with transparency": _palette_with_clear_corner,
    "grey and alpha png": lambda: saved(_grey_with_clear_corner(), "PNG"),
    "colour and alpha png": lambda: saved(_with_clear_corner(), "PNG"),
    "png with one colour clear": _one_colour_clear,
    "16-bit grey png": lambda: _sixteen_bit_png(quarters(GREYS, "L"), 0),
    "16-bit colour png": lambda: _sixteen_bit_png(quarters(), 2),
    "16-bit grey tiff, small end first": lambda: _sixteen_bit_tiff(quarters(GREYS, "L"), "<"),
    "16-bit grey tiff, big end first": lambda: _sixteen_bit_tiff(quarters(GREYS, "L"), ">"),
    "16-bit colour tiff, small end first": lambda: _sixteen_bit_tiff(quarters(), "<"),
    "16-bit colour tiff, big end first": lambda: _sixteen_bit_tiff(quarters(), ">"),
}

METADATA: dict[str, Callable[[], bytes]] = {
    "display p3 jpeg": lambda: jpeg(icc_profile=display_p3_profile()),
    "display p3 png": lambda: saved(quarters(), "PNG", icc_profile=display_p3_profile()),
    "display p3 heic": lambda: heic(_tagged(display_p3_profile())),
    "broken profile": lambda: jpeg(icc_profile=display_p3_profile()[:200]),
    "press profile on rgb": lambda: jpeg(icc_profile=odd_press_profile()),
    "orientation 0": lambda: jpeg(exif=orientation_exif(0)),
    "orientation 9": lambda: jpeg(exif=orientation_exif(9)),
    "orientation as text": lambda: jpeg(exif=exif_block((0x0112, 2, b"6\x00"))),
    "orientation twice over": lambda: jpeg(exif=exif_block((0x0112, 3, b"\x06\x00\x06\x00"))),
    "tiff orientation as text": lambda: rgb_tiff([(0x0112, 2, b"6\x00")]),
    "truncated exif": lambda: jpeg(exif=orientation_exif(6)[:20]),
    "exif pointing outside": lambda: jpeg(exif=exif_block((0x8769, 4, b"\xff\xff\xff\x7f"))),
    "exif pointing to itself": lambda: jpeg(exif=exif_block((0x8769, 4, b"\x08\x00\x00\x00"))),
    "exif of nothing": lambda: with_segment(jpeg(), 0xE1, b"Exif\x00\x00"),
    "png turned, told behind its picture": lambda: rgb_png(
        after=png_chunk(b"eXIf", orientation_exif(6)[6:]), picture=stored_for(6, quarters())
    ),
}

TURNED: dict[str, Callable[[], bytes]] = {
    f"{kind} turned {orientation}": partial(_turned, kind, orientation)
    for kind in ("jpeg", "png", "heic", "tiff")
    for orientation in range(1, 9)
}
