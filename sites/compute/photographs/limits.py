"""The largest photograph taken in, and the refusals that name it."""

from dataclasses import dataclass, fields

from sites.compute.photographs.errors import PhotographRefused, RefusalCode


@dataclass(frozen=True, slots=True)
class Limits:
    """Limits that are checked before any pixel is decoded.

    max_pixels: width times height. The default takes the 50-megapixel files of ordinary phones
        and stitched elevations; decoding then needs up to 500 MB of memory, and 900 MB for a
        picture with transparency. A JPEG, which is shrunk while it is decoded, needs far less.
    max_bytes: length of the file.
    max_side: the longer side, in pixels.
    max_scans: passes over the picture in a progressive JPEG. Encoders write about ten; each pass
        goes over every pixel, so that a small file with thousands would keep a processor busy
        for hours.
    """

    max_pixels: int = 100_000_000
    max_bytes: int = 120_000_000
    max_side: int = 40_000
    max_scans: int = 100

    def __post_init__(self) -> None:
        for field in fields(self):
            if getattr(self, field.name) < 1:
                raise ValueError(f"{field.name} must be 1 or more, got {getattr(self, field.name)}")


DEFAULT_LIMITS = Limits()


def check_byte_count(byte_count: int, limits: Limits) -> None:
    """Raise PhotographRefused when a file of `byte_count` bytes is empty or over the limit."""
    if byte_count == 0:
        raise PhotographRefused(
            RefusalCode.EMPTY,
            "This file is empty: nothing of the photograph arrived. Send it again from the camera.",
        )
    if byte_count > limits.max_bytes:
        raise PhotographRefused(
            RefusalCode.TOO_MANY_BYTES,
            f"This file is {_megabytes(byte_count)}; the largest taken here is "
            f"{_megabytes(limits.max_bytes)}. Save the photograph as a JPEG or at a smaller size "
            "and send that.",
        )


def check_pixel_size(width_px: int, height_px: int, limits: Limits) -> None:
    """Raise PhotographRefused when a picture of this size in pixels is over a limit."""
    if width_px * height_px > limits.max_pixels:
        raise PhotographRefused(
            RefusalCode.TOO_MANY_PIXELS,
            f"This photograph is {width_px} x {height_px} pixels "
            f"({_megapixels(width_px * height_px)}); the largest taken here is "
            f"{_megapixels(limits.max_pixels)}. Set the camera to a smaller size, or send a "
            "smaller copy.",
        )
    if max(width_px, height_px) > limits.max_side:
        raise PhotographRefused(
            RefusalCode.SIDE_TOO_LONG,
            f"This photograph is {width_px} x {height_px} pixels; neither side may be longer than "
            f"{limits.max_side} pixels. Send it in parts, or send a smaller copy.",
        )


def _megabytes(byte_count: int) -> str:
    return f"{byte_count / 1_000_000:.1f} MB"


def _megapixels(pixel_count: int) -> str:
    return f"{pixel_count / 1_000_000:.1f} million pixels"
