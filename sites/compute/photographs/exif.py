"""The few facts wanted from a photograph's Exif: when, with what camera, and which way up."""

import re
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta, timezone
from io import BytesIO
from typing import BinaryIO

from sites.compute.photographs.names import plain_text
from sites.compute.photographs.tiff_tags import TagReader, open_tags

# Tag numbers and formats: Exif 2.32 (CIPA DC-008-2019), sections 4.6.3 to 4.6.5.
MAKE, MODEL, ORIENTATION, EXIF_DIRECTORY, GPS_DIRECTORY = 0x010F, 0x0110, 0x0112, 0x8769, 0x8825
DATE_TIME_ORIGINAL, OFFSET_TIME_ORIGINAL = 0x9003, 0x9011
_MAIN_TAGS = frozenset((MAKE, MODEL, ORIENTATION, EXIF_DIRECTORY, GPS_DIRECTORY))
_TIME_TAGS = frozenset((DATE_TIME_ORIGINAL, OFFSET_TIME_ORIGINAL))
_DATE_TIME = re.compile(r"(\d{4}):(\d\d):(\d\d) (\d\d):(\d\d):(\d\d)", re.ASCII)
_OFFSET = re.compile(r"([+-])(\d\d):(\d\d)", re.ASCII)
# The widest offset in use is +14:00.
_WIDEST_OFFSET = timedelta(hours=14)
_EXIF_PREFIX = b"Exif\x00\x00"
MAX_CAMERA_CHARACTERS = 60


@dataclass(frozen=True, slots=True)
class ExifFacts:
    """What a camera noted beside the picture; empty or None where it noted nothing usable.

    orientation: 1 to 8, as in the Exif table of orientations.
    taken_local: the camera's clock when the photograph was taken, without a zone.
    utc_offset: how far that clock was from UTC, where the camera said.
    has_position: a GPS directory is there; the position itself is not read.
    """

    orientation: int | None = None
    taken_local: datetime | None = None
    utc_offset: timedelta | None = None
    make: str = ""
    model: str = ""
    has_position: bool = False

    @property
    def taken_local_text(self) -> str:
        """The camera's clock as ISO 8601, with the offset where known; "" without a clock."""
        if self.taken_local is None:
            return ""
        zone = None if self.utc_offset is None else timezone(self.utc_offset)
        return self.taken_local.replace(tzinfo=zone).isoformat()

    @property
    def taken_at(self) -> datetime | None:
        """The moment the photograph was taken, in UTC; None where no offset was noted."""
        if self.taken_local is None or self.utc_offset is None:
            return None
        try:
            return self.taken_local.replace(tzinfo=timezone(self.utc_offset)).astimezone(UTC)
        except OverflowError:
            return None


def exif_of_block(block: bytes) -> ExifFacts:
    """Return the facts in an Exif block as JPEG, PNG and HEIC carry it; none for a broken one."""
    return exif_of_tiff(BytesIO(block.removeprefix(_EXIF_PREFIX)))


def exif_of_tiff(file: BinaryIO) -> ExifFacts:
    """Return the facts in a TIFF structure's first directory; never raises over its contents."""
    reader = open_tags(file)
    if reader is None:
        return ExifFacts()
    main = reader.directory(reader.first_directory, _MAIN_TAGS)
    orientation = reader.number(main.get(ORIENTATION))
    taken_local, utc_offset = _taken(reader, reader.number(main.get(EXIF_DIRECTORY)))
    return ExifFacts(
        orientation=orientation if orientation in range(1, 9) else None,
        taken_local=taken_local,
        utc_offset=utc_offset,
        make=plain_text(reader.text(main.get(MAKE)), MAX_CAMERA_CHARACTERS),
        model=plain_text(reader.text(main.get(MODEL)), MAX_CAMERA_CHARACTERS),
        has_position=GPS_DIRECTORY in main,
    )


def parse_date_time(text: str) -> datetime | None:
    """Return an Exif time "YYYY:MM:DD HH:MM:SS", or None where it is blank or no such date."""
    found = _DATE_TIME.fullmatch(text)
    if found is None:
        return None
    year, month, day, hour, minute, second = map(int, found.groups())
    try:
        return datetime(year, month, day, hour, minute, second)
    except ValueError:
        return None


def parse_offset(text: str) -> timedelta | None:
    """Return an Exif offset "+HH:MM" or "-HH:MM", or None where it is blank or impossible."""
    found = _OFFSET.fullmatch(text)
    if found is None:
        return None
    sign, hours, minutes = found[1], int(found[2]), int(found[3])
    offset = timedelta(hours=hours, minutes=minutes)
    if minutes > 59 or offset > _WIDEST_OFFSET:
        return None
    return -offset if sign == "-" else offset


def _taken(reader: TagReader, directory: int | None) -> tuple[datetime | None, timedelta | None]:
    if directory is None:
        return None, None
    entries = reader.directory(directory, _TIME_TAGS)
    return (
        parse_date_time(reader.text(entries.get(DATE_TIME_ORIGINAL))),
        parse_offset(reader.text(entries.get(OFFSET_TIME_ORIGINAL))),
    )
