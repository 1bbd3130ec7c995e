"""Keys that sort by the time they were made: UUID version 7 (RFC 9562, section 5.7)."""

import os
import time
import uuid


def uuid7() -> uuid.UUID:
    """Return a new UUIDv7: 48 bits of Unix time in milliseconds, then random bits.

    Source: RFC 9562, section 5.7. Python has none before 3.14.
    """
    milliseconds = time.time_ns() // 1_000_000
    random = int.from_bytes(os.urandom(10), "big")
    value = milliseconds << 80 | 0x7 << 76 | (random >> 68 & 0xFFF) << 64
    value |= 0b10 << 62 | random & ((1 << 62) - 1)
    return uuid.UUID(int=value)
