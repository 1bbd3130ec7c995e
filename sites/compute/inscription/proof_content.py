"""What a proof is a proof of: the content an approval stands for, and what has changed since."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import zip_longest
from typing import Final

from sites.compute.plain_numbers import plain_number

Content = dict[str, str | list[str]]

# How each part of the content is called where a change of it is told.
NAMES: Final = {
    "inscription": "inscription",
    "width_mm": "width",
    "height_mm": "height",
    "thickness_mm": "thickness",
    "material": "material",
    "letter_mm": "letter height",
    "margin_mm": "margin",
    "pitch": "distance of lines, in letter heights",
    "lettering": "lettering",
    "alignment": "lines",
    "memorial_of": "in memory of",
    "donors": "given by",
}
NOTHING: Final = "nothing"


@dataclass(frozen=True)
class Change:
    """One difference between an approved content and the present one, in words."""

    name: str
    before: str
    after: str

    @property
    def words(self) -> str:
        """`letter height: 8 mm → 7 mm`."""
        return f"{self.name}: {self.before} → {self.after}"


def content(
    *,
    lines: Sequence[str],
    lengths_mm: Mapping[str, Decimal],
    words: Mapping[str, str],
    pitch: Decimal,
) -> Content:
    """Return what is proved, as plain texts of which a digest can be made.

    lines: the inscription line by line, as written.
    lengths_mm: width, height, thickness, letter and margin; one that is not recorded is left out.
    words: material, lettering, alignment, memorial_of and donors.

    What holds the plate, and from where it is read, is no part of it: neither is engraved.
    """
    lengths = {
        f"{name}_mm": plain_number(lengths_mm[name]) if name in lengths_mm else ""
        for name in ("width", "height", "thickness", "letter", "margin")
    }
    texts = {
        name: words[name].strip()
        for name in ("material", "lettering", "alignment", "memorial_of", "donors")
    }
    return {"inscription": list(lines), **lengths, **texts, "pitch": plain_number(pitch)}


def changes(before: Content, after: Content) -> tuple[Change, ...]:
    """Return every difference between two contents, the inscription's line by line."""
    return tuple(_changes(before, after))


def _changes(before: Content, after: Content) -> Iterator[Change]:
    yield from line_changes(_lines(before), _lines(after))
    # A part that is not named here (one that a later or an earlier program kept) counts too.
    for key in dict.fromkeys([*NAMES, *before, *after]):
        old, new = before.get(key, ""), after.get(key, "")
        if key != "inscription" and old != new:
            yield Change(NAMES.get(key, key), _said(key, str(old)), _said(key, str(new)))


def line_changes(before: Sequence[str], after: Sequence[str]) -> Iterator[Change]:
    """Yield each line that differs, by its number from 1."""
    both = zip_longest(before, after)
    for number, (old, new) in enumerate(both, start=1):
        if old != new:
            yield Change(f"line {number}", _quoted(old), _quoted(new))


def _lines(of: Content) -> list[str]:
    lines = of.get("inscription", [])
    return lines if isinstance(lines, list) else [lines]


def _quoted(line: str | None) -> str:
    return NOTHING if line is None else f"“{line}”" if line else "an empty line"


def _said(key: str, value: str) -> str:
    if not value:
        return NOTHING
    return f"{value} mm" if key.endswith("_mm") else value
