"""Which format a file really has, told from its first bytes and never from its name."""

from enum import StrEnum

from sites.compute.photographs.errors import PhotographRefused, RefusalCode

HEAD_BYTES = 512

TAKEN_HERE = "Photographs are taken as JPEG, HEIC, PNG or TIFF."


class PhotographFormat(StrEnum):
    """The formats in which an original is taken in and kept."""

    JPEG = "JPEG"
    PNG = "PNG"
    HEIC = "HEIC"
    TIFF = "TIFF"


_SIGNATURES = (
    (b"\xff\xd8\xff", PhotographFormat.JPEG),
    (b"\x89PNG\r\n\x1a\n", PhotographFormat.PNG),
    (b"II*\x00", PhotographFormat.TIFF),
    (b"MM\x00*", PhotographFormat.TIFF),
)

# Brands of ISO/IEC 23008-12 whose pictures are coded with HEVC; `mif1` and `msf1` alone say only
# "a still picture" and are decided by the compatible brands.
_HEVC_BRANDS = frozenset((b"heic", b"heix", b"heim", b"heis", b"hevc", b"hevx", b"hevm", b"hevs"))
_STILL_BRANDS = frozenset((b"mif1", b"mif2", b"msf1"))

_LIKENESSES = (
    (b"%PDF", "a PDF document"),
    (b"GIF8", "a GIF picture"),
    (b"BM", "a Windows bitmap (BMP)"),
    (b"\x00\x00\x01\x00", "an icon"),
    (b"PK\x03\x04", "a ZIP archive or an office document"),
    (b"MZ", "a Windows program"),
    (b"\x7fELF", "a program"),
    (b"#!", "a script"),
    (b"8BPS", "a Photoshop document"),
    (b"\x00\x00\x00\x0cjP  ", "a JPEG 2000 picture"),
    (b"\xff\x0a", "a JPEG XL picture"),
    (b"II+\x00", "a BigTIFF picture"),
    (b"MM\x00+", "a BigTIFF picture"),
)
_MARKUP = ((b"<svg", "an SVG drawing"), (b"<html", "a web page"), (b"<!doctype html", "a web page"))
_RAW_PREFIXES = (b"FUJIFILMCCD-RAW", b"IIRO", b"IIU\x00", b"\x00MRM")
_CANON_RAW = (b"II*\x00", b"CR")


def recognise(head: bytes) -> PhotographFormat:
    """Return the format of a file from `head`, its first HEAD_BYTES bytes or all of a shorter one.

    Raises PhotographRefused for anything but JPEG, PNG, HEIC and TIFF, naming what the file
    looks like.
    """
    if _is_camera_raw(head):
        raise camera_raw_refusal()
    for signature, photograph_format in _SIGNATURES:
        if head.startswith(signature):
            return photograph_format
    if _is_heic(head):
        return PhotographFormat.HEIC
    likeness = _likeness(head)
    looks = f"This looks like {likeness}" if likeness else "This is not a photograph"
    raise PhotographRefused(
        RefusalCode.NOT_A_PHOTOGRAPH, f"{looks}, whatever its name says. {TAKEN_HERE}"
    )


def camera_raw_refusal() -> PhotographRefused:
    """Return the refusal of a camera raw file, in which only a thumbnail could be shown."""
    return PhotographRefused(
        RefusalCode.CAMERA_RAW,
        "This is a camera raw file, which has to be developed before it can be looked at. Send the "
        "JPEG the camera made beside it, or export one.",
    )


def _brands(head: bytes) -> tuple[bytes, frozenset[bytes]]:
    """Return the major brand and all brands of an ISO base media file, or empty ones."""
    if head[4:8] != b"ftyp":
        return b"", frozenset()
    end = min(int.from_bytes(head[:4], "big"), len(head))
    compatible = frozenset(head[start : start + 4] for start in range(16, end - 3, 4))
    return head[8:12], compatible | {head[8:12]}


def _is_heic(head: bytes) -> bool:
    major, brands = _brands(head)
    return major in _HEVC_BRANDS or (major in _STILL_BRANDS and bool(brands & _HEVC_BRANDS))


def _is_camera_raw(head: bytes) -> bool:
    is_canon = head.startswith(_CANON_RAW[0]) and head[8:10] == _CANON_RAW[1]
    return is_canon or head.startswith(_RAW_PREFIXES) or _brands(head)[0] == b"crx "


def _likeness(head: bytes) -> str:
    for prefix, words in _LIKENESSES:
        if head.startswith(prefix):
            return words
    if head.startswith(b"RIFF"):
        return "a WebP picture" if head[8:12] == b"WEBP" else "a sound or video file"
    major, brands = _brands(head)
    if major:
        return "an AVIF picture" if b"avif" in brands else "a video"
    text = head.removeprefix(b"\xef\xbb\xbf").lstrip().lower()
    if text.startswith(b"<"):
        return next((words for tag, words in _MARKUP if tag in text), "an XML or web document")
    return ""
