"""What is read from a photograph's header, and what its copies are like."""

import hashlib
import math
import struct
import threading
import warnings
from datetime import UTC, datetime, timedelta
from io import BytesIO

import pytest
from PIL import Image, ImageChops, ImageCms, ImageFile, ImageStat

from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused, RefusalCode
from sites.compute.photographs.exif import exif_of_block, parse_date_time, parse_offset
from sites.compute.photographs.intake import inspect_photograph, sha256_of
from sites.compute.photographs.limits import DEFAULT_LIMITS, Limits
from sites.compute.photographs.renditions import JPEG_QUALITY, fitted_size, make_renditions
from sites.compute.photographs.strict_pillow import strict_pillow
from tests.condition.pictures import (
    busy,
    display_p3_profile,
    exif_block,
    heic,
    jpeg,
    orientation_exif,
    quarters,
    rgb_png,
    rgb_tiff,
    saved,
    taken_exif,
)

POSITION = exif_block(
    (0x010F, 2, b"Lantern Works\x00"),
    (0x0110, 2, b"Field 2\x00"),
    (0x8825, 4, struct.pack("<I", 8)),
    sub=[(0x9003, 2, b"2026:05:04 16:20:11\x00"), (0x9011, 2, b"-05:00\x00")],
)


def inspected(data, limits=DEFAULT_LIMITS):
    return inspect_photograph(BytesIO(data), limits)


def detailed(size=(1000, 750)):
    """Return a picture with smooth shading and hard lines, so that a bad filter shows."""
    picture = Image.radial_gradient("L").resize(size, Image.Resampling.BICUBIC)
    lattice = Image.new("L", (20, 20), 255)
    lattice.paste(90, (0, 0, 20, 3))
    lattice.paste(90, (0, 0, 3, 20))
    tiled = Image.new("L", size)
    for left in range(0, size[0], 20):
        for top in range(0, size[1], 20):
            tiled.paste(lattice, (left, top))
    colours = Image.merge("RGB", (picture, ImageChops.invert(picture), picture))
    return ImageChops.multiply(colours, tiled.convert("RGB"))


def signal_to_noise_db(one, other):
    """Return the peak signal-to-noise ratio in decibels, 20 log10(255 / root mean square error)."""
    squares = ImageStat.Stat(ImageChops.difference(one, other)).sum2
    mean = sum(squares) / (3 * one.width * one.height)
    return 99.0 if mean == 0 else 10 * math.log10(255**2 / mean)


def opened(rendition):
    return Image.open(BytesIO(rendition.jpeg))


@pytest.mark.parametrize(
    ("make", "name"),
    [(jpeg, "JPEG"), (rgb_png, "PNG"), (heic, "HEIC"), (rgb_tiff, "TIFF")],
)
def test_format_size_and_bytes_are_told_from_the_content(make, name):
    data = make()
    found = inspected(data)
    assert found.photograph_format == name
    assert (found.width_px, found.height_px, found.byte_count) == (96, 64, len(data))
    assert (found.orientation, found.taken_at, found.taken_local) == (None, None, "")
    assert (found.camera, found.has_position) == ("", False)


def test_a_multi_picture_file_counts_as_a_jpeg():
    data = saved(quarters(), "MPO", save_all=True, append_images=[quarters()])
    assert inspected(data).photograph_format == "JPEG"


@pytest.mark.parametrize("make", [jpeg, heic])
def test_camera_time_and_position_are_read_but_not_where_it_was(make):
    found = inspected(make(exif=POSITION))
    assert found.camera == "Lantern Works Field 2"
    assert found.taken_local == "2026-05-04T16:20:11-05:00"
    assert found.taken_at == datetime(2026, 5, 4, 21, 20, 11, tzinfo=UTC)
    assert found.has_position
    assert "GPS" not in repr(found)


def test_a_tiffs_own_directory_is_its_exif():
    data = saved(quarters(), "TIFF", tiffinfo={0x010F: "Lantern Works", 0x0110: "Lantern Works 7"})
    assert inspected(data).camera == "Lantern Works 7"


def test_a_clock_without_an_offset_is_kept_but_is_no_moment():
    found = inspected(jpeg(exif=taken_exif(b"2026:05:04 10:11:12")))
    assert found.taken_local == "2026-05-04T10:11:12"
    assert found.taken_at is None
    assert not found.has_position


@pytest.mark.published("Exif 2.32 (CIPA DC-008-2019), 4.6.5, DateTimeOriginal: YYYY:MM:DD HH:MM:SS")
@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("2026:05:04 16:20:11", datetime(2026, 5, 4, 16, 20, 11)),
        ("2024:02:29 23:59:59", datetime(2024, 2, 29, 23, 59, 59)),
        ("    :  :     :  :  ", None),  # the standard's own "unknown"
        ("0000:00:00 00:00:00", None),
        ("2026:02:30 10:00:00", None),
        ("2026:05:04 24:00:00", None),
        ("2026-05-04 16:20:11", None),
        ("2026:05:04T16:20:11", None),
        ("2026:05:04", None),
        ("2026:05:04 16:20:11Z", None),
        ("٢٠٢٦:05:04 16:20:11", None),
        ("yesterday", None),
        ("", None),
    ],
)
def test_exif_dates(text, moment):
    assert parse_date_time(text) == moment


@pytest.mark.published("Exif 2.32 (CIPA DC-008-2019), 4.6.5, OffsetTimeOriginal: +HH:MM or -HH:MM")
@pytest.mark.parametrize(
    ("text", "offset"),
    [
        ("+00:00", timedelta(0)),
        ("-08:00", timedelta(hours=-8)),
        ("+05:45", timedelta(hours=5, minutes=45)),
        ("+14:00", timedelta(hours=14)),
        ("+14:30", None),
        ("+05:75", None),
        ("   :  ", None),
        ("Z", None),
        ("0500", None),
    ],
)
def test_exif_offsets(text, offset):
    assert parse_offset(text) == offset


def test_a_moment_before_the_first_year_is_no_moment():
    facts = exif_of_block(taken_exif(b"0001:01:01 00:00:00", b"+14:00"))
    assert facts.taken_local is not None
    assert facts.taken_at is None


@pytest.mark.parametrize("cut", range(0, 150, 7))
def test_exif_cut_anywhere_is_read_as_far_as_it_goes(cut):
    whole, partial = exif_of_block(POSITION), exif_of_block(POSITION[:cut])
    for field in ("make", "model", "taken_local", "utc_offset", "orientation"):
        value, complete = getattr(partial, field), getattr(whole, field)
        assert not value or value == complete or complete.startswith(value)


def test_hidden_characters_in_a_cameras_name_are_dropped():
    exif = exif_block((0x010F, 2, "Lan\u202etern\r\n\x07 Works".encode() + b"\x00"))
    assert inspected(jpeg(exif=exif)).make == "Lantern Works"


@pytest.mark.published("Exif 2.32 (CIPA DC-008-2019), 4.6.4, Orientation: 5 to 8 swap the sides")
@pytest.mark.parametrize("make", [jpeg, heic])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_the_size_is_that_of_the_upright_picture(make, orientation):
    found = inspected(make(exif=orientation_exif(orientation)))
    assert found.orientation == orientation
    assert (found.width_px, found.height_px) == ((96, 64) if orientation < 5 else (64, 96))


@pytest.mark.published("FIPS 180-4, SHA-256 example: the message 'abc'")
def test_the_digest_of_abc():
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256_of(BytesIO(b"abc")) == expected


@pytest.mark.published("FIPS 180-4, SHA-256 example: a million times 'a'")
def test_the_digest_of_a_million_letters():
    file = BytesIO(b"a" * 1_000_000)
    file.seek(17)
    expected = "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"
    assert sha256_of(file) == expected
    assert file.tell() == 0


@pytest.mark.parametrize("byte_count", [0, 1 << 20, (1 << 20) + 1, 3_500_000])
def test_the_digest_is_of_all_blocks(byte_count):
    data = bytes(range(250)) * (byte_count // 250 + 1)
    assert sha256_of(BytesIO(data[:byte_count])) == hashlib.sha256(data[:byte_count]).hexdigest()


def test_the_file_is_left_at_its_start_whatever_becomes_of_it():
    for data in (jpeg(), b"%PDF-1.7"):
        file = BytesIO(data)
        file.seek(3)
        try:
            inspect_photograph(file, DEFAULT_LIMITS)
        except PhotographRefused:
            assert data.startswith(b"%PDF")
        assert file.tell() == 0


@pytest.mark.parametrize(
    ("limits", "code", "words"),
    [
        (Limits(max_pixels=6143), RefusalCode.TOO_MANY_PIXELS, "96 x 64 pixels"),
        (Limits(max_side=95), RefusalCode.SIDE_TOO_LONG, "longer than 95 pixels"),
        (Limits(max_bytes=100), RefusalCode.TOO_MANY_BYTES, "the largest taken here is 0.0 MB"),
    ],
)
@pytest.mark.parametrize("make", [jpeg, rgb_png, heic, rgb_tiff])
def test_a_photograph_over_a_limit_is_refused_with_the_limit_named(make, limits, code, words):
    data = make()
    for refused in (
        lambda: inspected(data, limits),
        lambda: make_renditions(BytesIO(data), limits=limits),
    ):
        with pytest.raises(PhotographRefused, match=words) as caught:
            refused()
        assert caught.value.code == code


def test_a_photograph_at_the_limits_is_taken():
    data = jpeg()
    limits = Limits(max_pixels=96 * 64, max_side=96, max_bytes=len(data))
    assert inspected(data, limits).width_px == 96


def test_pillows_own_limit_does_not_stand_in_the_way(monkeypatch):
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 1000)
    for make in (jpeg, rgb_png, heic, rgb_tiff):
        assert inspected(make()).width_px == 96
        assert make_renditions(BytesIO(make())).at(1600).width_px == 96
    assert Image.MAX_IMAGE_PIXELS == 1000


@pytest.mark.parametrize("field", ["max_pixels", "max_bytes", "max_side", "max_scans"])
def test_a_limit_of_nothing_is_a_mistake(field):
    with pytest.raises(ValueError, match=field):
        Limits(**{field: 0})


def test_sizes_fit_the_longer_side_and_are_never_enlarged():
    made = make_renditions(BytesIO(jpeg(detailed((1000, 750)))))
    sizes = [(each.max_side_px, each.width_px, each.height_px) for each in made.all]
    assert sizes == [(1600, 1000, 750), (800, 800, 600), (400, 400, 300)]
    for each in made.all:
        assert opened(each).size == (each.width_px, each.height_px)


def test_a_small_photograph_gives_the_same_copy_at_each_larger_size():
    made = make_renditions(BytesIO(jpeg()))
    assert len({each.jpeg for each in made.all}) == 1
    assert [each.max_side_px for each in made.all] == [1600, 800, 400]


def test_sizes_asked_for_in_any_order_come_largest_first_and_once():
    made = make_renditions(BytesIO(jpeg()), sizes=(8, 64, 8))
    assert [each.max_side_px for each in made.all] == [64, 8]
    with pytest.raises(KeyError):
        made.at(400)


@pytest.mark.parametrize("sizes", [(), (0,), (400, -1)])
def test_sizes_of_nothing_are_a_mistake(sizes):
    with pytest.raises(ValueError, match="1 or more pixels"):
        make_renditions(BytesIO(jpeg()), sizes=sizes)


@pytest.mark.parametrize(
    ("size", "longer_side", "fitted"),
    [
        ((4032, 3024), 1600, (1600, 1200)),
        ((3024, 4032), 800, (600, 800)),
        ((1600, 1067), 800, (800, 534)),
        ((800, 600), 1600, (800, 600)),
        ((20_000, 1), 400, (400, 1)),
    ],
)
def test_fitted_sizes(size, longer_side, fitted):
    assert fitted_size(size, longer_side) == fitted


def test_a_copy_is_a_baseline_jpeg_without_anything_beside_the_picture():
    data = jpeg(
        exif=POSITION,
        comment=b"for the committee",
        icc_profile=display_p3_profile(),
        progressive=True,
        dpi=(300, 300),
    )
    for each in make_renditions(BytesIO(data)).all:
        segments = set()
        position = 2
        while (marker := each.jpeg[position + 1]) != 0xDA:
            segments.add(marker)
            position += 2 + int.from_bytes(each.jpeg[position + 2 : position + 4], "big")
        # JFIF, tables, a baseline frame: no Exif (E1), profile (E2), comment (FE), scans (C2).
        assert segments == {0xE0, 0xDB, 0xC0, 0xC4}


def test_the_same_photograph_gives_the_same_bytes(tmp_path):
    for make in (jpeg, rgb_png, heic, rgb_tiff):
        path = tmp_path / "photograph"
        path.write_bytes(make())
        assert make_renditions(path) == make_renditions(BytesIO(make()))


@pytest.mark.parametrize("size", [(3200, 2400), (4032, 3024), (2999, 2001), (1650, 1230)])
def test_the_fast_way_loses_hardly_more_than_jpeg_itself_does(size):
    data = jpeg(detailed(size))
    made = make_renditions(BytesIO(data))
    with Image.open(BytesIO(data)) as whole:
        whole.load()
        for each in made.all[:2]:
            slow = whole.resize((each.width_px, each.height_px), Image.Resampling.LANCZOS)
            best = Image.open(BytesIO(jpeg(slow, quality=JPEG_QUALITY, subsampling="4:2:0")))
            loss_db = signal_to_noise_db(best, slow) - signal_to_noise_db(opened(each), slow)
            assert loss_db < 2


def test_a_profile_that_is_srgb_under_another_name_changes_no_pixel():
    with_profile = saved(quarters(), "PNG", icc_profile=_srgb_profile())
    assert make_renditions(BytesIO(with_profile)) == make_renditions(BytesIO(rgb_png()))


def _srgb_profile():
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()


@pytest.mark.parametrize("make", [jpeg, rgb_png])
def test_half_a_photograph_is_damaged_even_where_another_library_lets_it_load(make, monkeypatch):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    data = make(busy()) if make is jpeg else make(picture=busy())
    with pytest.raises(PhotographDamaged, match="ends too early"):
        make_renditions(BytesIO(data[: len(data) // 2]))
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True


def test_the_switches_are_put_back_by_the_last_reader_not_the_first(monkeypatch):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 12345)
    inside, leave = threading.Event(), threading.Event()

    def read_slowly():
        with strict_pillow(1_000_000):
            inside.set()
            leave.wait(5)

    other = threading.Thread(target=read_slowly)
    other.start()
    assert inside.wait(5)
    with strict_pillow(500):
        assert Image.MAX_IMAGE_PIXELS == 1_000_000
    with strict_pillow(2_000_000):
        assert Image.MAX_IMAGE_PIXELS == 2_000_000
    assert ImageFile.LOAD_TRUNCATED_IMAGES is False
    leave.set()
    other.join()
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True
    assert Image.MAX_IMAGE_PIXELS == 12345


def test_the_switches_are_put_back_after_a_refusal(monkeypatch):
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    filters = list(warnings.filters)
    with pytest.raises(PhotographRefused):
        inspected(b"not a photograph")
    assert ImageFile.LOAD_TRUNCATED_IMAGES is True
    assert warnings.filters == filters


def test_a_failing_disk_is_not_called_a_damaged_photograph():
    class FailingDisk(BytesIO):
        def read(self, size=-1):
            if self.tell() > 20_000:
                raise OSError(5, "Input/output error")
            return super().read(size)

    data = jpeg(busy((400, 300)))
    assert len(data) > 100_000
    with pytest.raises(OSError, match="Input/output error"):
        make_renditions(FailingDisk(data))
