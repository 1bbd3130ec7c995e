"""Keys that sort by the time they were made: UUID version 7 (RFC 9562, section 5.7)."""

import hashlib
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


def uuid7_from(page_key: uuid.UUID, content: bytes) -> uuid.UUID:
    """Return a UUIDv7 with the time of another key, its other bits drawn from key and content.

    The same key and content always give the same UUID. RFC 9562, section 5.7, leaves open how the
    bits after the time are made unlike any other's; here they are 74 bits of SHA-256.
    """
    random = int.from_bytes(hashlib.sha256(page_key.bytes + content).digest()[:10], "big")
    value = page_key.int >> 80 << 80 | 0x7 << 76 | (random >> 68 & 0xFFF) << 64
    value |= 0b10 << 62 | random & ((1 << 62) - 1)
    return uuid.UUID(int=value)
