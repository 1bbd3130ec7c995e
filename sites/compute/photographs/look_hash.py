"""How a photograph looks, in 64 bits: near copies of one picture differ in a few of them.

A difference hash: the picture in grey, shrunk to 9 by 8 pixels; each bit says whether a pixel is
darker than its right neighbour. Common practice for finding near copies, no published standard.
It tells that two pictures look alike, never that they are of the same thing.
"""

from collections.abc import Hashable, Mapping
from io import BytesIO
from itertools import combinations
from typing import Final, TypeVar

from PIL import Image

Key = TypeVar("Key", bound=Hashable)

COLUMNS: Final = 8
ROWS: Final = 8
BITS: Final = COLUMNS * ROWS
DIGITS: Final = BITS // 4
# A picture of one tone, or a dark one, has hardly a difference to go by: it is like nothing.
LEAST_TOLD_BITS: Final = 4


def look_hash(picture: Image.Image) -> str:
    """Return the 64 bits of how a picture looks, as 16 hexadecimal digits, row by row from the top.

    picture: upright, of any size and colour mode.
    """
    grey = picture.convert("L").resize((COLUMNS + 1, ROWS), Image.Resampling.BOX)
    pixels = grey.tobytes()
    bits = 0
    for row in range(ROWS):
        start = row * (COLUMNS + 1)
        for place in range(start, start + COLUMNS):
            bits = bits << 1 | (pixels[place] < pixels[place + 1])
    return f"{bits:0{DIGITS}x}"


def look_hash_of(jpeg: bytes) -> str:
    """Return the look of a copy that was made here: an upright JPEG."""
    with Image.open(BytesIO(jpeg)) as picture:
        return look_hash(picture)


def bits_apart(one: str, other: str) -> int:
    """Return in how many of 64 bits two looks differ. Raises ValueError for what is no look."""
    return (_bits(one) ^ _bits(other)).bit_count()


def tells_something(look: str) -> bool:
    """Whether a look has differences enough to be compared by; "" has none."""
    if not look:
        return False
    told = _bits(look).bit_count()
    return LEAST_TOLD_BITS <= told <= BITS - LEAST_TOLD_BITS


def near_pairs(looks: Mapping[Key, str], within: int) -> list[tuple[Key, Key]]:
    """Return the pairs whose looks differ in at most `within` bits, in the order given."""
    bits = {key: _bits(look) for key, look in looks.items() if tells_something(look)}
    return [
        (one, other)
        for one, other in combinations(bits, 2)
        if (bits[one] ^ bits[other]).bit_count() <= within
    ]


def _bits(look: str) -> int:
    if len(look) != DIGITS:
        raise ValueError(f"{look!r} is not a look of {DIGITS} hexadecimal digits")
    return int(look, 16)
