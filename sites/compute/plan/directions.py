"""Compass directions as people write them: N, NNE, north-east, 102, 102.5°."""

import re
from decimal import Decimal
from typing import Final

from sites.compute.typed_numbers import NumberError, TwoReadingsError, number_for_box, read_number

POINTS: Final = (
    "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
    "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW",
)  # fmt: skip
WORDS: Final = {"north": "N", "east": "E", "south": "S", "west": "W"}
DEGREES: Final = re.compile(r"([0-9.,]{1,12}) ?(?:°|deg|degrees)?")
STEP: Final = 360 / len(POINTS)


class DirectionError(ValueError):
    """What was written is no direction; the message says what is possible."""


def compass_degrees(text: str) -> float:
    """Return compass degrees, from 0 (north) to below 360, clockwise.

    Raises DirectionError, in the user's words, for anything else.
    """
    said = text.strip()
    letters = re.sub("|".join(WORDS), lambda word: WORDS[word[0]], said.casefold())
    letters = re.sub(r"[ -]", "", letters).upper()
    if letters in POINTS:
        return POINTS.index(letters) * STEP
    match = DEGREES.fullmatch(said.casefold())
    degrees = _number(match[1]) if match else None
    if degrees is None or degrees > 360:
        raise DirectionError(
            f"“{said}” is no direction. Write N, NE, E and so on, or compass degrees from 0 to 360."
        )
    return degrees % 360


def compass_text(degrees: float, places: int = 4) -> str:
    """Return a direction as a box shows it, a point of the compass where it is one."""
    turned = round(degrees % 360, places) % 360
    point, off = divmod(turned, STEP)
    if off == 0:
        return POINTS[int(point)]
    return number_for_box(Decimal(f"{turned:.{places}f}"))


def _number(text: str) -> float | None:
    try:
        return float(read_number(text))
    except TwoReadingsError as error:
        raise DirectionError(str(error)) from error
    except NumberError:
        return None
