"""Characters no typeface of ours has: printed by their codes instead of as an empty box.

PDF/UA forbids the box (the `.notdef` glyph), and a reader cannot tell what stood there.
"""

import unicodedata
from functools import lru_cache
from pathlib import Path
from typing import Any

from django.conf import settings
from fontTools.ttLib import TTFont

from sites.fonts import print_fonts

# Never drawn, and harmless: joiners, variation selectors, the byte-order mark.
INVISIBLE = frozenset(
    {0xAD, 0x34F, 0x61C, 0xFEFF, *range(0x200B, 0x2010), *range(0x2060, 0x2065)}
    | {*range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0)}
)
# These reorder the letters around them: what is printed would not be what was written.
REORDERING = frozenset({*range(0x202A, 0x202F), *range(0x2066, 0x206A)})
# Typefaces have them, but text layout treats them as orders and finds nothing to draw.
ORDERS = frozenset({0x2028, 0x2029, 0xFFF9, 0xFFFA, 0xFFFB})
LINE_ENDS = frozenset({0x09, 0x0A})


def covered_by_our_fonts() -> frozenset[int]:
    """Return the code points that print as they stand."""
    return _covered(tuple(print_fonts(settings.BUILD_DIR / "fonts")))


@lru_cache(maxsize=4)
def _covered(fonts: tuple[Path, ...]) -> frozenset[int]:
    drawn: set[int] = set()
    for file in fonts:
        with TTFont(file, lazy=True) as font:
            drawn.update(font.getBestCmap())
    control = {code for code in drawn if unicodedata.category(chr(code)) == "Cc"}
    return frozenset(drawn - control - REORDERING - ORDERS) | INVISIBLE | LINE_ENDS


def printable(data: Any, covered: frozenset[int]) -> tuple[Any, list[str]]:
    """Return a copy of plain data that prints in full, and a line for each character replaced.

    A character outside `covered` becomes its code, `[U+1F600]`; its line in the list gives its
    Unicode name, `U+1F600 GRINNING FACE`. Keys of dicts are left alone.
    """
    replaced: set[str] = set()
    copy = _copy(data, covered, replaced)
    return copy, [_named(character) for character in sorted(replaced)]


def _copy(data: Any, covered: frozenset[int], replaced: set[str]) -> Any:
    if isinstance(data, str):
        return _text(data, covered, replaced)
    if isinstance(data, dict):
        return {key: _copy(value, covered, replaced) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [_copy(value, covered, replaced) for value in data]
    return data


def _text(text: str, covered: frozenset[int], replaced: set[str]) -> str:
    text = text.replace("\r\n", "\n")
    missing = {character for character in text if ord(character) not in covered}
    replaced |= missing
    for character in missing:
        text = text.replace(character, _code(character))
    return text


def _code(character: str) -> str:
    return f"[U+{ord(character):04X}]"


def _named(character: str) -> str:
    return f"U+{ord(character):04X} {unicodedata.name(character, 'without a name')}"
