"""Every hostile or odd upload ends in a clear refusal, a clear damage, or the right picture."""

import itertools
import random
from collections.abc import Sequence
from io import BytesIO

import pytest
from PIL import Image

from sites.compute.photographs.errors import (
    PhotographDamaged,
    PhotographError,
    PhotographRefused,
    RefusalCode,
)
from sites.compute.photographs.intake import inspect_photograph
from sites.compute.photographs.limits import DEFAULT_LIMITS, Limits
from sites.compute.photographs.names import MAX_NAME_CHARACTERS, safe_display_name
from sites.compute.photographs.renditions import Rendition, make_renditions
from tests.condition.hostile import (
    BOMBS,
    DAMAGED,
    ODD_SIZES,
    RAW,
    SCRIPT,
    TWO_IN_ONE,
    UNREADABLE,
    WRONG_TYPES,
)
from tests.condition.odd_photographs import GREYS, KINDS_OF_PIXEL, METADATA, TURNED
from tests.condition.pictures import (
    BLACK,
    BLUE,
    GREEN,
    QUARTERS,
    RED,
    SIZE,
    WHITE,
    YELLOW,
    Colour,
    jpeg,
)

LIKENESSES = {
    "empty": "empty",
    "svg.jpg": "an SVG drawing",
    "html.jpg": "a web page",
    "pdf.jpg": "a PDF document",
    "exe.jpg": "a Windows program",
    "elf.jpg": "a program",
    "shell.jpg": "a script",
    "video.jpg": "a video",
    "sound.jpg": "a sound or video",
    "avif.jpg": "an AVIF picture",
    "avif behind mif1.heic": "an AVIF picture",
    "jpeg 2000.jpg": "a JPEG 2000 picture",
    "jpeg xl.jpg": "a JPEG XL picture",
    "photoshop.jpg": "a Photoshop document",
    "big tiff.tif": "a BigTIFF picture",
    "bmp.jpg": "a Windows bitmap",
    "ico.jpg": "an icon",
    "gif.jpg": "a GIF picture",
    "webp.jpg": "a WebP picture",
    "animated gif": "a GIF picture",
    "animated webp": "a WebP picture",
    "gif and script": "a GIF picture",
    "pdf then jpeg": "a PDF document",
    "zip then png": "a ZIP archive",
}
BOMB_CODES = {
    "strip too long": RefusalCode.SIDE_TOO_LONG,
    "png text bomb": RefusalCode.UNPACKS_TOO_LARGE,
    "png text bomb behind the picture": RefusalCode.UNPACKS_TOO_LARGE,
    "png profile bomb": RefusalCode.UNPACKS_TOO_LARGE,
    "png in countless pieces": RefusalCode.UNPACKS_TOO_LARGE,
    "jpeg with endless scans": RefusalCode.TOO_MANY_SCANS,
    "jpeg with countless segments": RefusalCode.UNREADABLE,
    "jpeg with junk before its picture": RefusalCode.UNREADABLE,
    "tiff of 32-bit fractions": RefusalCode.UNSUPPORTED_PIXELS,
}
PURE = ((255, 0, 0), (0, 255, 0), (0, 0, 255))
GREY_CORNERS = tuple((grey,) * 3 for grey in GREYS)
CLEAR_CORNER = (WHITE, GREEN, BLUE, YELLOW)
# The quarters when their values are those of Display P3, and odd_photographs.LAB_COLOURS, worked
# out by hand from the published matrices: CIE 15 (Lab), SMPTE RP 431-2, IEC 61966-2-1.
P3_CORNERS = ((240, 0, 0), (0, 173, 0), (27, 40, 219), (244, 219, 0))
LAB_CORNERS = ((187, 88, 70), (74, 162, 88), (76, 91, 160), (185, 185, 185))
CORNERS = {
    "grey jpeg": GREY_CORNERS,
    "16-bit grey png": GREY_CORNERS,
    "16-bit grey tiff, small end first": GREY_CORNERS,
    "16-bit grey tiff, big end first": GREY_CORNERS,
    "grey and alpha png": (WHITE, *GREY_CORNERS[1:]),
    "heic with transparency": CLEAR_CORNER,
    "palette png with transparency": CLEAR_CORNER,
    "colour and alpha png": CLEAR_CORNER,
    "png with one colour clear": CLEAR_CORNER,
    "1-bit tiff": (WHITE, BLACK, BLACK, WHITE),
    "1-bit png": (WHITE, BLACK, BLACK, WHITE),
    "cmyk jpeg": (*PURE, (255, 255, 0)),
    "cmyk jpeg without the Adobe marker": (*PURE, (255, 255, 0)),
    "cmyk jpeg with a broken profile": (*PURE, (255, 255, 0)),
    "cmyk jpeg with a profile": (*PURE, WHITE),
    "cmyk tiff with a profile": (*PURE, WHITE),
    "lab tiff": LAB_CORNERS,
    "display p3 jpeg": P3_CORNERS,
    "display p3 png": P3_CORNERS,
    "display p3 heic": P3_CORNERS,
}
SHOWN = KINDS_OF_PIXEL | METADATA | TURNED | TWO_IN_ONE


def refusal_of(data: bytes) -> PhotographRefused:
    with pytest.raises(PhotographRefused) as caught:
        inspect_photograph(BytesIO(data), DEFAULT_LIMITS)
    return caught.value


def corners_of(rendition: Rendition) -> list[Colour]:
    """Return the colours in the middle of the four quarters."""
    with Image.open(BytesIO(rendition.jpeg)) as picture:
        assert (picture.format, picture.mode) == ("JPEG", "RGB")
        assert picture.size == (rendition.width_px, rendition.height_px)
        across = (picture.width // 4, picture.width * 3 // 4)
        down = (picture.height // 4, picture.height * 3 // 4)
        return [picture.getpixel((x, y)) for y in down for x in across]


def assert_close(found: Sequence[Colour], expected: Sequence[Colour], steps: int) -> None:
    off = max(
        abs(a - b) for pair in zip(found, expected, strict=True) for a, b in zip(*pair, strict=True)
    )
    assert off <= steps, f"{found} should be {expected}"


@pytest.mark.parametrize("name", WRONG_TYPES)
def test_a_file_of_another_type_is_refused_by_what_it_looks_like(name):
    refusal = refusal_of(WRONG_TYPES[name]())
    expected = RefusalCode.EMPTY if name == "empty" else RefusalCode.NOT_A_PHOTOGRAPH
    assert refusal.code == expected
    assert LIKENESSES.get(name, "not a photograph") in str(refusal)
    assert "JPEG, HEIC, PNG or TIFF" in str(refusal) or name == "empty"


@pytest.mark.parametrize("name", RAW)
def test_a_camera_raw_file_is_refused_with_advice(name):
    refusal = refusal_of(RAW[name]())
    assert refusal.code == RefusalCode.CAMERA_RAW
    assert "Send the JPEG" in str(refusal)


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_and_never_rendered(name):
    data = BOMBS[name]()
    with pytest.raises(PhotographError):
        make_renditions(BytesIO(data))
    if name == "png text bomb behind the picture":
        # The header is sound; only reading on finds it.
        assert inspect_photograph(BytesIO(data), DEFAULT_LIMITS).photograph_format == "PNG"
    else:
        assert refusal_of(data).code == BOMB_CODES.get(name, RefusalCode.TOO_MANY_PIXELS)


@pytest.mark.parametrize("name", UNREADABLE)
def test_a_photograph_without_a_readable_header_is_refused(name):
    data = UNREADABLE[name]()
    refusal = refusal_of(data)
    assert refusal.code == RefusalCode.UNREADABLE
    assert "begins like a photograph" in str(refusal)
    with pytest.raises(PhotographDamaged):
        make_renditions(BytesIO(data))


@pytest.mark.parametrize("name", DAMAGED)
def test_a_damaged_photograph_is_recognised_but_never_half_shown(name):
    data = DAMAGED[name]()
    inspected = inspect_photograph(BytesIO(data), DEFAULT_LIMITS)
    assert (inspected.width_px, inspected.height_px) == (200, 150)
    with pytest.raises(PhotographDamaged, match="kept as it was received") as caught:
        make_renditions(BytesIO(data))
    assert "its picture data cannot be read" in caught.value.reason
    assert len(str(caught.value)) <= 240


@pytest.mark.parametrize("name", SHOWN)
def test_an_odd_photograph_is_shown_upright_and_in_its_colours(name):
    data = SHOWN[name]()
    inspected = inspect_photograph(BytesIO(data), DEFAULT_LIMITS)
    assert (inspected.width_px, inspected.height_px) == SIZE
    made = make_renditions(BytesIO(data), sizes=(1600, 48, 30))
    assert [(each.width_px, each.height_px) for each in made.all] == [SIZE, (48, 32), (30, 20)]
    expected = CORNERS.get(name, QUARTERS)
    assert_close(corners_of(made.at(1600)), expected, steps=12)
    assert_close(corners_of(made.at(48)), expected, steps=16)
    straight_to_half = make_renditions(BytesIO(data), sizes=(48,))
    assert_close(corners_of(straight_to_half.at(48)), expected, steps=16)
    assert_close(corners_of(made.at(30)), expected, steps=40)  # chroma of neighbours bleeds in


@pytest.mark.parametrize("name", TWO_IN_ONE)
def test_nothing_that_rode_along_reaches_the_copies(name):
    for rendition in make_renditions(BytesIO(TWO_IN_ONE[name]())).all:
        assert SCRIPT not in rendition.jpeg
        assert b"PK\x03\x04" not in rendition.jpeg
        assert rendition.jpeg.index(b"\xff\xd9") == len(rendition.jpeg) - 2


@pytest.mark.parametrize(
    ("name", "size", "copy"),
    [
        ("one pixel", (1, 1), (1, 1)),
        ("strip of 1 by 20000", (1, 20_000), (1, 1600)),
        ("strip of 20000 by 1", (20_000, 1), (1600, 1)),
    ],
)
def test_the_thinnest_photographs_keep_at_least_a_pixel(name, size, copy):
    data = ODD_SIZES[name]()
    inspected = inspect_photograph(BytesIO(data), DEFAULT_LIMITS)
    assert (inspected.width_px, inspected.height_px) == size
    largest = make_renditions(BytesIO(data)).at(1600)
    assert (largest.width_px, largest.height_px) == copy
    assert_close(corners_of(largest), [RED] * 4, steps=6)


def test_there_are_enough_hostile_uploads():
    groups = (WRONG_TYPES, RAW, BOMBS, UNREADABLE, DAMAGED, TWO_IN_ONE, ODD_SIZES)
    names = list(itertools.chain(*groups))
    assert len(names) == len(set(names)) >= 40


@pytest.mark.parametrize("kind", ["jpeg", "progressive jpeg", "png", "heic", "tiff", "lab tiff"])
def test_spoilt_bytes_anywhere_end_in_one_of_our_errors_or_in_a_picture(kind):
    rng = random.Random(f"spoilt {kind}")
    sound = KINDS_OF_PIXEL[kind]()
    limits = Limits(max_pixels=1_000_000)
    shown = 0
    for _ in range(60):
        spoilt = bytearray(sound)
        for _ in range(rng.choice((1, 2, 8))):
            spoilt[rng.randrange(min(len(spoilt), rng.choice((64, 512, 10**6))))] = rng.randrange(
                256
            )
        try:
            inspect_photograph(BytesIO(spoilt), limits)
            made = make_renditions(BytesIO(spoilt), limits=limits)
        except PhotographError:
            continue
        shown += len(corners_of(made.at(400))) == 4
    assert 0 < shown < 60


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("../../x.jpg", "x.jpg"),
        ("/etc/passwd", "passwd"),
        ("C:\\fakepath\\IMG_0001.JPG", "IMG_0001.JPG"),
        ("..", "unnamed photograph"),
        ("", "unnamed photograph"),
        (" . ", "unnamed photograph"),
        ("\u200d\u202e", "unnamed photograph"),
        ("north\x00.php.jpg", "north.php.jpg"),
        ("plaque\r\nSet-Cookie: a=b.jpg", "plaque Set-Cookie: a=b.jpg"),
        ("tower\u202egpj.exe", "towergpj.exe"),
        ("\u2066aisle\u2069.jpg", "aisle.jpg"),
        ("half \ud800 pair.jpg", "half pair.jpg"),
        ("Ho\u0308he.jpg", "H\u00f6he.jpg"),
        ("نافذة.jpg", "نافذة.jpg"),
        ("<b>&'\".jpg", "<b>&'\".jpg"),
        ("  n II   3b .jpg ", "n II 3b .jpg"),
    ],
)
def test_the_surveyors_own_name_is_kept_as_one_line_of_text(name, shown):
    assert safe_display_name(name) == shown


@pytest.mark.parametrize("name", ["a" * 5000 + ".jpg", "a" * 5000, "b." + "c" * 5000, "ü" * 400])
def test_a_long_name_is_shortened_but_keeps_its_beginning_and_ending(name):
    shown = safe_display_name(name)
    assert len(shown) == MAX_NAME_CHARACTERS
    assert shown[0] == name[0]
    assert "…" in shown
    assert shown.endswith(".jpg") or not name.endswith(".jpg")


def test_no_name_is_consulted_for_the_format():
    named = BytesIO(jpeg())
    named.name = "drawing.svg"
    assert inspect_photograph(named, DEFAULT_LIMITS).photograph_format == "JPEG"
