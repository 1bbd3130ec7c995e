"""Places on a drawing as they are typed, one to a line, and as they are written back."""

import re
from collections.abc import Callable, Iterable
from decimal import Decimal
from itertools import pairwise
from typing import Final

from condition.compute.strokes import StrokeError
from sites.compute.geometry.rings import Point
from sites.compute.lengths import BareUnit, LengthError, format_inches, parse_length
from sites.compute.plain_numbers import plain_number
from sites.compute.typed_numbers import NumberError, number_for_box, read_number
from sites.compute.typed_text import plain_text

MM_PER_INCH: Final = 25.4
LONGEST_LINE: Final = 80


def read_places(text: str, read: Callable[[str], float]) -> tuple[Point, ...]:
    """Return the places of a text, `120, 340` to a line or between semicolons.

    read: turns one of the two into a number, raising StrokeError. The same place twice on end, as
    by a double tap, is one. Raises StrokeError, naming the line.
    """
    lines = [line.strip() for line in re.split(r"[;\n\r]+", text) if line.strip()]
    points: list[Point] = []
    for n, line in enumerate(lines, start=1):
        try:
            point = Point(*(read(part) for part in _two(line)))
        except StrokeError as error:
            raise StrokeError(f"Place {n}: {error}") from None
        if not points or points[-1] != point:
            points.append(point)
    return tuple(points)


def read_mm(bare_unit: BareUnit) -> Callable[[str], float]:
    """Return a reader of distances from the corner, in millimetres; nought and less are allowed."""

    def read(text: str) -> float:
        plain = plain_text(text)
        sign = -1.0 if plain.startswith("-") else 1.0
        plain = plain.removeprefix("-").strip()
        if re.fullmatch(r"0+(?:[.,]0+)? ?(?:mm|cm|m|in|ft|\"|')?", plain):
            return 0.0
        try:
            return sign * float(parse_length(plain, bare_unit).mm)
        except LengthError as error:
            raise StrokeError(str(error)) from None

    return read


def read_share(text: str) -> float:
    """Return a share of a photograph's width or height in per cent, from 0 to 100."""
    plain = plain_text(text).removesuffix("%").strip()
    try:
        share = read_number(plain)
    except NumberError as error:
        raise StrokeError(str(error)) from None
    if not 0 <= share <= 100:
        raise StrokeError(f"{plain} is beside the photograph: places on it run from 0 to 100 %.")
    return float(share)


def written_places(points: Iterable[Point], write: Callable[[float], str]) -> str:
    """Return places as `read_places` reads them, one to a line."""
    return "\n".join(f"{write(point.x)}, {write(point.y)}" for point in points)


def write_mm(mm: float, bare_unit: BareUnit) -> str:
    """Return a distance as its user types it: to a tenth of a millimetre, or a 32nd of an inch."""
    if bare_unit == "mm":
        return plain_number(Decimal(str(round(mm, 1))))
    marks = round(abs(mm) / MM_PER_INCH * 32)
    if not marks:
        return "0"
    shown = format_inches(Decimal(marks) / 32 * Decimal("25.4"), 32)
    return f"{'-' if mm < 0 else ''}{shown.removeprefix('about ')}"


def write_share(share: float) -> str:
    """Return a share in per cent, to a thousandth."""
    return number_for_box(Decimal(f"{share:.3f}"))


def without_repeats(points: Iterable[Point]) -> tuple[Point, ...]:
    """Return an outline without its first place told again at its end."""
    found = tuple(points)
    kept = tuple(a for a, b in pairwise(found) if a != b) + found[-1:]
    return kept[:-1] if len(kept) > 1 and kept[0] == kept[-1] else kept


def _two(line: str) -> tuple[str, str]:
    """The two halves of a line: parted by a comma and a space, one comma, or one space."""
    if len(line) > LONGEST_LINE:
        raise StrokeError("That is too long for a place.")
    for parts in (re.split(r",\s+", line), line.split(), line.split(",")):
        if len(parts) == 2 and all(part.strip() for part in parts):
            return parts[0].strip().rstrip(","), parts[1].strip()
    raise StrokeError(
        f"“{line[:30]}” is not a place. Write how far across and how far up, with a comma "
        "between, like 120, 340."
    )
