"""Times the intake of a photograph against one libvips thumbnail of the same file."""

import os
import random
import shutil
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from pathlib import Path
from typing import TypedDict

import pyvips
from PIL import Image, ImageChops, ImageDraw

from sites.compute.photographs.intake import inspect_photograph, sha256_of
from sites.compute.photographs.limits import DEFAULT_LIMITS
from sites.compute.photographs.renditions import JPEG_QUALITY, make_renditions
from tests.condition.pictures import display_p3_profile

TWELVE_MEGAPIXELS = (4032, 3024)
TARGET_RATIO = 1.6
ROUNDS = 9
CAMERA_QUALITY = 93

Work = tuple[str, Callable[[], None], Callable[[], None]]


class BenchRow(TypedDict):
    """One line of the table: medians in seconds, and the median of the paired ratios."""

    name: str
    seconds: float
    yardstick_seconds: float
    ratio: float
    target: float


def rows(rounds: int = ROUNDS) -> list[BenchRow]:
    """Return two rows for each kind of photograph: on one core, and on all there are.

    The work is what arrival costs: the original written, its SHA-256, its header and Exif, and the
    1600, 800 and 400 pixel copies. The yardstick writes one 1600 pixel JPEG with libvips.
    """
    pyvips.cache_set_max(0)  # libvips would otherwise remember the answer of the round before
    table = []
    with tempfile.TemporaryDirectory() as folder:
        for name, work, yardstick in _works(Path(folder)):
            with _one_core():
                table.append(_row(f"{name}, one core", work, yardstick, rounds))
            table.append(_row(f"{name}, all cores", work, yardstick, rounds))
    return table


def take_in(photograph: Path, kept: Path) -> None:
    """Do all that is done to a photograph when it arrives, but for the database."""
    shutil.copyfile(photograph, kept)
    with kept.open("rb") as file:
        inspect_photograph(file, DEFAULT_LIMITS)
        sha256_of(file)
        make_renditions(file)


def thumbnail(photograph: Path, **options: str) -> None:
    """Make one 1600 pixel JPEG with libvips."""
    picture = pyvips.Image.thumbnail(str(photograph), 1600, **options)
    picture.jpegsave_buffer(Q=JPEG_QUALITY, keep="none")


def window_photograph(size: tuple[int, int], seed: int = 1871) -> Image.Image:
    """Return a picture as busy as a photograph of leaded glass: quarries, leads, streaks, grain."""
    rng = random.Random(seed)
    picture = _glass(size, rng)
    draw = ImageDraw.Draw(picture)
    step = max(24, size[0] // 24)
    for offset in range(-size[1], size[0] + size[1], step):
        for slope in (1, -1):
            start = offset if slope == 1 else offset + step // 3
            draw.line((start, 0, start + slope * size[1], size[1]), (30, 28, 26), step // 12)
    grain = Image.effect_noise(size, 4)
    return ImageChops.add(picture, Image.merge("RGB", (grain,) * 3), 1, -128)


def _glass(size: tuple[int, int], rng: random.Random) -> Image.Image:
    """Return noise summed over octaves: colour in the coarse ones, light and shade in the fine."""
    picture = Image.new("RGB", size, (128, 128, 128))
    octaves = (
        (6, 0.9, "RGB"),
        (24, 0.5, "RGB"),
        (96, 0.3, "L"),
        (384, 0.2, "L"),
        (1536, 0.08, "L"),
    )
    for cells, strength, mode in octaves:
        across, down = min(cells, size[0]), min(cells, size[1])
        data = rng.randbytes(across * down * len(mode))
        noise = Image.frombytes(mode, (across, down), data).resize(size, Image.Resampling.BICUBIC)
        picture = Image.blend(picture, noise.convert("RGB"), strength)
    return picture


def _works(folder: Path) -> Iterator[Work]:
    picture = window_photograph(TWELVE_MEGAPIXELS)
    kinds = (
        ("12 MP landscape", 1, None),
        ("12 MP portrait by Exif", 6, None),
        ("12 MP Display P3 against a converting thumbnail", 1, display_p3_profile()),
    )
    for number, (title, orientation, icc_profile) in enumerate(kinds):
        exif = Image.Exif()
        exif[0x0112], exif[0x0110] = orientation, "Bench camera"
        path = folder / f"{number}.jpg"
        picture.save(
            path,
            quality=CAMERA_QUALITY,
            subsampling="4:2:0",
            exif=exif,
            icc_profile=icc_profile,
        )
        name = f"photograph intake, {title}, {path.stat().st_size / 1e6:.1f} MB"
        kept = path.with_suffix(".kept")
        to_profile = {"export_profile": "srgb"} if icc_profile else {}
        yield name, partial(take_in, path, kept), partial(thumbnail, path, **to_profile)


def _row(
    name: str, work: Callable[[], None], yardstick: Callable[[], None], rounds: int
) -> BenchRow:
    """Run the two in turn, so that whatever else the machine does falls on both."""
    work()
    yardstick()
    pairs = [(_seconds(work), _seconds(yardstick)) for _ in range(rounds)]
    return BenchRow(
        name=name,
        seconds=statistics.median(ours for ours, _ in pairs),
        yardstick_seconds=statistics.median(theirs for _, theirs in pairs),
        ratio=statistics.median(ours / theirs for ours, theirs in pairs),
        target=TARGET_RATIO,
    )


def _seconds(work: Callable[[], None]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


@contextmanager
def _one_core() -> Iterator[None]:
    """Keep this thread, and the workers libvips starts from it, on a single core."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    cores = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {min(cores)})
    try:
        yield
    finally:
        os.sched_setaffinity(0, cores)
