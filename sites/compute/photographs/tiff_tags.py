"""Reads single entries of a TIFF directory, which Exif shares; never trusts a length."""

import struct
from dataclasses import dataclass
from typing import BinaryIO

# TIFF 6.0, section 2: byte order, the number 42, offset of the first directory.
_BYTE_ORDERS = {b"II*\x00": "<", b"MM\x00*": ">"}
_ENTRY_BYTES = 12
_ASCII, _SHORT, _LONG, _IFD = 2, 3, 4, 13
_UNSIGNED = {_SHORT: "H", _LONG: "I", _IFD: "I"}
MAX_TEXT_BYTES = 256


@dataclass(frozen=True, slots=True)
class TagEntry:
    """One directory entry: the type and count it claims, and its four bytes of value or offset."""

    kind: int
    count: int
    value: bytes


@dataclass(frozen=True, slots=True)
class TagReader:
    """Reads a TIFF structure that fills `file` from its start."""

    file: BinaryIO
    byte_order: str
    first_directory: int

    def directory(self, offset: int, wanted: frozenset[int]) -> dict[int, TagEntry]:
        """Return the wanted entries of the directory at `offset`, as far as the file goes.

        Of a tag that stands twice the first counts.
        """
        entries: dict[int, TagEntry] = {}
        count_bytes = self._read(offset, 2)
        if len(count_bytes) < 2:
            return entries
        (count,) = struct.unpack(f"{self.byte_order}H", count_bytes)
        table = self._read(offset + 2, count * _ENTRY_BYTES)
        whole = len(table) - len(table) % _ENTRY_BYTES
        for tag, kind, length, value in struct.iter_unpack(
            f"{self.byte_order}HHI4s", table[:whole]
        ):
            if tag in wanted:
                entries.setdefault(tag, TagEntry(kind, length, value))
        return entries

    def number(self, entry: TagEntry | None) -> int | None:
        """Return the single unsigned number an entry holds, or None for anything else."""
        if entry is None or entry.count != 1 or entry.kind not in _UNSIGNED:
            return None
        code = f"{self.byte_order}{_UNSIGNED[entry.kind]}"
        (number,) = struct.unpack_from(code, entry.value)
        return int(number)

    def text(self, entry: TagEntry | None) -> str:
        """Return an entry's text up to its NUL, 256 bytes of it at most, or "" for anything else.

        Exif says ASCII; cameras write UTF-8 as well, so that is what is read.
        """
        if entry is None or entry.kind != _ASCII:
            return ""
        if entry.count <= len(entry.value):
            raw = entry.value[: entry.count]
        else:
            (offset,) = struct.unpack(f"{self.byte_order}I", entry.value)
            raw = self._read(offset, min(entry.count, MAX_TEXT_BYTES))
        return raw.split(b"\x00", 1)[0].decode("utf-8", "replace")

    def _read(self, offset: int, byte_count: int) -> bytes:
        self.file.seek(offset)
        return self.file.read(byte_count)


def open_tags(file: BinaryIO) -> TagReader | None:
    """Return a reader of the TIFF structure at the start of `file`, None if there is none."""
    file.seek(0)
    head = file.read(8)
    byte_order = _BYTE_ORDERS.get(head[:4])
    if byte_order is None or len(head) < 8:
        return None
    (first_directory,) = struct.unpack(f"{byte_order}I", head[4:])
    return TagReader(file, byte_order, first_directory)
