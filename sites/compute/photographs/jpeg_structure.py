"""Walks the segments of a JPEG without decoding, so that a hostile one is refused cheaply."""

import re
from typing import BinaryIO

from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused, RefusalCode
from sites.compute.photographs.limits import Limits

# Marker codes: ITU-T T.81, table B.1. Within coded data FF is followed by 00 or a restart marker
# (B.1.1.5), and any number of FF may fill the space before a marker (B.1.1.2).
_MARKER = re.compile(rb"\xff([\x01-\xcf\xd8-\xfe])")
_PROGRESSIVE_FRAMES = frozenset((0xC2, 0xC6, 0xCA, 0xCE))
_END_OF_IMAGE, _START_OF_SCAN = 0xD9, 0xDA
_WITH_LENGTH = frozenset((*range(0xC0, 0xD0), *range(0xDA, 0xF0), 0xFE))

# Depth maps and extended metadata of phones come in a few hundred segments; a decoder takes each of
# these, and each stray byte between them, one at a time.
MAX_HEADER_SEGMENTS = 5_000
MAX_STRAY_BYTES = 65_536
_BLOCK_BYTES = 1 << 16


def check_jpeg_structure(file: BinaryIO, limits: Limits) -> None:
    """Raise if a JPEG's header never comes to a picture, or the picture has endless scans.

    PhotographDamaged for the former; PhotographRefused when a progressive JPEG has more than
    `limits.max_scans` scans. What trails after the picture (other views, a video) is not looked at.
    """
    position, is_progressive = _walk_header(file)
    if not is_progressive:
        return
    scan_count = 1
    while (found := _next_marker(file, position)) is not None:
        marker, position = found
        if marker == _END_OF_IMAGE:
            return
        scan_count += marker == _START_OF_SCAN
        position = _after_segment(file, marker, position)
        if scan_count > limits.max_scans:
            raise PhotographRefused(
                RefusalCode.TOO_MANY_SCANS,
                f"This JPEG goes over its picture more than {limits.max_scans} times, where "
                "cameras and editors write about ten passes. Open it in an image editor, save it "
                "anew and send that.",
            )


def _walk_header(file: BinaryIO) -> tuple[int, bool]:
    """Return where the first scan's data begins, and whether the picture is progressive."""
    position, stray_bytes, is_progressive = 2, 0, False
    for _ in range(MAX_HEADER_SEGMENTS):
        found = _next_marker(file, position, MAX_STRAY_BYTES)
        if found is None:
            break
        marker, after_marker = found
        stray_bytes += after_marker - position - 2
        if stray_bytes > MAX_STRAY_BYTES:
            break
        is_progressive = is_progressive or marker in _PROGRESSIVE_FRAMES
        position = _after_segment(file, marker, after_marker)
        if marker == _START_OF_SCAN:
            return position, is_progressive
    raise PhotographDamaged("no picture data can be found after its opening part")


def _next_marker(
    file: BinaryIO, position: int, within_bytes: int | None = None
) -> tuple[int, int] | None:
    """Return the next marker's code and where it ends, or None if there is none in reach."""
    file.seek(position)
    kept = b""
    while block := file.read(_BLOCK_BYTES):
        searched = kept + block
        if found := _MARKER.search(searched):
            return found[1][0], position + found.end()
        position += len(searched) - 1
        kept = searched[-1:]
        if within_bytes is not None and file.tell() > position + within_bytes:
            return None
    return None


def _after_segment(file: BinaryIO, marker: int, position: int) -> int:
    """Return the end of the segment whose marker ends at `position`."""
    if marker not in _WITH_LENGTH:
        return position
    file.seek(position)
    # The length counts its own two bytes.
    return position + max(2, int.from_bytes(file.read(2), "big"))
