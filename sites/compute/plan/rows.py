"""A plan as it is typed: one row a wall, in the order they are walked; read, and written again."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import atan2, degrees, hypot
from typing import Final

from sites.compute.geometry.rings import Point
from sites.compute.lengths import BareUnit, Length, LengthError, format_mm, parse_length
from sites.compute.plan.directions import DirectionError, compass_degrees, compass_text
from sites.compute.plan.walls import Wall, bulge_of, walk

ORIGIN: Final = Point(0.0, 0.0)
# Two ends nearer than this are one corner.
CORNER_MM: Final = 1.0
DRIFT_MM: Final = 0.5
GREATEST_BULGE: Final = 10
CORNER_OF: Final = re.compile(r"(?:(?P<which>start|end) of )?(?:wall )?(?P<wall>.+)", re.IGNORECASE)
OPENING: Final = re.compile(r"(?P<number>.+?)(?: at (?P<along>.+))?")
# A comma inside a number, as 3,5 m, parts nothing.
BETWEEN: Final = re.compile(r"[,;]\s+|[,;](?!\d)|\n")
COLUMNS: Final = ("name", "start", "direction", "length", "rise", "openings")


@dataclass(frozen=True)
class Row:
    """One wall as it is typed.

    start: empty where the last wall ended, `wall 3`, `start of wall 3`, or `east; north` in
        lengths from the first corner.
    rise: how far the middle of a curved wall stands off the straight line; with a minus, inwards.
    openings: numbers in the order they are walked past, each perhaps with `at 3.2 m`.
    """

    name: str = ""
    start: str = ""
    direction: str = ""
    length: str = ""
    rise: str = ""
    openings: str = ""

    @property
    def is_blank(self) -> bool:
        return not any(getattr(self, column).strip() for column in COLUMNS)


@dataclass(frozen=True)
class RowError:
    """What is wrong in a row, from 0, and in which column."""

    row: int
    column: str
    message: str


@dataclass(frozen=True)
class SaidOpening:
    """An opening named in a row, and how far along the wall if that is said."""

    number: str
    along: Length | None = None


@dataclass(frozen=True)
class ReadWall:
    """A row that has been read; the wall's key is the row's place."""

    row: int
    wall: Wall
    length_typed: str
    openings: tuple[SaidOpening, ...]


class _WrongError(ValueError):
    """What is wrong with one column of a row."""

    def __init__(self, column: str, message: str) -> None:
        super().__init__(message)
        self.column = column


def read_rows(rows: Sequence[Row], bare_unit: BareUnit) -> tuple[list[ReadWall], list[RowError]]:
    """Return the walls that can be read, and what is wrong with the others, by name.

    Blank rows are passed over. A wall after one that cannot be read starts where the last one
    read ended, so that a drawing can be shown while the plan is typed.
    """
    done: list[ReadWall] = []
    errors: list[RowError] = []
    for place, row in enumerate(rows):
        if row.is_blank:
            continue
        name = f"Wall {place + 1}" + (f" “{row.name.strip()}”" if row.name.strip() else "")
        try:
            done.append(_read(place, row, done, bare_unit))
        except _WrongError as wrong:
            errors.append(RowError(place, wrong.column, f"{name}: {wrong}"))
    errors += _twice(done)
    return done, errors


def _read(place: int, row: Row, before: Sequence[ReadWall], bare_unit: BareUnit) -> ReadWall:
    start = _start(row.start.strip(), before, bare_unit)
    if not row.direction.strip():
        raise _WrongError(
            "direction", "the direction is missing. Write N, NE, E or compass degrees."
        )
    try:
        direction = compass_degrees(row.direction)
    except DirectionError as error:
        raise _WrongError("direction", str(error)) from error
    if not row.length.strip():
        raise _WrongError("length", "the length is missing.")
    length = _length("length", row.length, bare_unit)
    bulge = _bulge(row.rise.strip(), float(length.mm), bare_unit)
    end = walk(start, direction, float(length.mm))
    wall = Wall(str(place), row.name.strip(), start, end, bulge)
    openings = tuple(_openings(row.openings, wall, bare_unit))
    return ReadWall(place, wall, length.typed, openings)


def _length(column: str, text: str, bare_unit: BareUnit) -> Length:
    try:
        return parse_length(text, bare_unit)
    except LengthError as error:
        raise _WrongError(column, str(error)) from error


def _start(said: str, before: Sequence[ReadWall], bare_unit: BareUnit) -> Point:
    if not said:
        return before[-1].wall.end if before else ORIGIN
    if ";" in said:
        east, _, north = said.partition(";")
        return Point(_signed("start", east, bare_unit), _signed("start", north, bare_unit))
    match = CORNER_OF.fullmatch(said)
    wanted = match["wall"].strip().casefold() if match else ""
    for each in before:
        if wanted in (str(each.row + 1), each.wall.name.casefold()):
            at_start = match is not None and (match["which"] or "").casefold() == "start"
            return each.wall.start if at_start else each.wall.end
    raise _WrongError(
        "start",
        f"no wall above this one is called “{said}”. Write “wall 3” for where wall 3 ends, “start "
        "of wall 3”, or how far east and north of the first corner: 3.6 m; 2.7 m.",
    )


def _signed(column: str, text: str, bare_unit: BareUnit) -> float:
    said = text.strip().replace("−", "-")
    if said in ("0", "-0"):
        return 0.0
    below = said.startswith("-")
    mm = float(_length(column, said.removeprefix("-"), bare_unit).mm)
    return -mm if below else mm


def _bulge(said: str, chord: float, bare_unit: BareUnit) -> float:
    if not said:
        return 0.0
    bulge = bulge_of(chord, _signed("rise", said, bare_unit))
    if abs(bulge) > GREATEST_BULGE:
        raise _WrongError("rise", f"the rise is at most {GREATEST_BULGE // 2} times the length.")
    return round(bulge, 6)


def _openings(text: str, wall: Wall, bare_unit: BareUnit) -> Iterator[SaidOpening]:
    for said in filter(None, (part.strip() for part in BETWEEN.split(text))):
        match = OPENING.fullmatch(said)
        if match is None or match["along"] is None:
            yield SaidOpening(said)
            continue
        along = _length("openings", match["along"], bare_unit)
        if float(along.mm) > wall.length:
            raise _WrongError(
                "openings", f"{match['number']} at {along.typed} lies beyond the end of the wall."
            )
        yield SaidOpening(match["number"].strip(), along)


def _twice(walls: Sequence[ReadWall]) -> Iterator[RowError]:
    seen: set[str] = set()
    for each in walls:
        for opening in each.openings:
            if opening.number in seen:
                yield RowError(
                    each.row,
                    "openings",
                    f"Wall {each.row + 1}: opening {opening.number} is on the plan twice.",
                )
            seen.add(opening.number)


def unknown_openings(walls: Sequence[ReadWall], known: Mapping[str, object]) -> list[RowError]:
    """Return an error for each opening named that the building does not have."""
    return [
        RowError(
            each.row,
            "openings",
            f"Wall {each.row + 1}: no opening here is numbered {opening.number}. Add it first, or "
            "mend the number.",
        )
        for each in walls
        for opening in each.openings
        if opening.number not in known
    ]


def write_rows(
    walls: Sequence[Wall], lengths: Sequence[str], openings: Sequence[Sequence[SaidOpening]]
) -> list[Row]:
    """Return walls as rows that read back to them within half a millimetre.

    lengths, openings: of each wall; a typed length that no longer says what is drawn is passed
    over by the caller giving "".
    """
    rows = []
    end: Point = ORIGIN
    for place, (wall, length, named) in enumerate(zip(walls, lengths, openings, strict=True)):
        rows.append(
            Row(
                name=wall.name,
                start=_start_text(wall.start, end, walls[:place]),
                direction=_direction_text(wall),
                length=length or _mm(wall.chord),
                rise=_mm(wall.rise) if wall.bulge else "",
                openings=", ".join(
                    f"{each.number} at {each.along.typed}" if each.along else each.number
                    for each in named
                ),
            )
        )
        end = wall.end
    return rows


def _start_text(start: Point, end: Point, before: Sequence[Wall]) -> str:
    if _near(start, end):
        return ""
    for place, wall in enumerate(before):
        if _near(start, wall.end):
            return f"wall {place + 1}"
        if _near(start, wall.start):
            return f"start of wall {place + 1}"
    return f"{_mm(start.x)}; {_mm(start.y)}"


def _direction_text(wall: Wall) -> str:
    """With no more decimals than the wall's end needs."""
    turned = degrees(atan2(wall.end.x - wall.start.x, wall.end.y - wall.start.y))
    for places in (0, 1, 2, 3):
        end = walk(wall.start, round(turned, places), wall.chord)
        if hypot(end.x - wall.end.x, end.y - wall.end.y) <= DRIFT_MM:
            return compass_text(turned, places)
    return compass_text(turned)


def _near(one: Point, other: Point) -> bool:
    return hypot(one.x - other.x, one.y - other.y) <= CORNER_MM


def _mm(value: float) -> str:
    if round(abs(value), 1) == 0:
        return "0"
    return ("-" if value < 0 else "") + format_mm(Decimal(str(round(abs(value), 1))))
