"""An outline to draw whatever is recorded: what cannot be believed is left out, and said."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from sites.compute.geometry.outlines import (
    HEADS,
    SHAPES,
    Outline,
    OutlineError,
    OutlineSpec,
    outline_of,
)

# Sizes to draw by where none is recorded: studio defaults for a drawing not to scale.
NOMINAL_WIDTH_MM: Final = 600.0
NOMINAL_HEIGHT_MM: Final = 1800.0
NOMINAL_FOILS: Final = 4
NOT_TO_SCALE: Final = "Not to scale: the {field} is not recorded, {taken:.0f} mm is taken."
SIMPLER: Final = "Drawn more simply than it is recorded: {why}"
NOMINAL: Final[Mapping[str, float]] = {"width": NOMINAL_WIDTH_MM, "height": NOMINAL_HEIGHT_MM}


def honest_outline(spec: OutlineSpec) -> Outline:
    """Return an outline for any record at all; `guessed` says what was assumed or left out."""
    return outline_and_spec(spec)[0]


def outline_and_spec(spec: OutlineSpec) -> tuple[Outline, OutlineSpec]:
    """Return an outline for any record at all, and the measurements it was drawn by."""
    told: list[str] = []
    while True:
        try:
            outline = outline_of(spec)
        except OutlineError as error:
            spec, why = simpler_outline(spec, error)
            told.append(why)
        else:
            return replace(outline, guessed=(*told, *outline.guessed)), spec


def simpler_outline(spec: OutlineSpec, error: OutlineError) -> tuple[OutlineSpec, str]:
    """Return the measurements without the one that was refused, and what to say of it.

    Doing it again and again ends with a rectangle that can be drawn.
    """
    why = SIMPLER.format(why=error)
    field = error.field
    if field in NOMINAL and getattr(spec, field) is None:
        taken = NOMINAL[field]
        return _sized(spec, field), NOT_TO_SCALE.format(field=field, taken=taken)
    if field == "foils" and spec.foils is None:
        return replace(spec, foils=NOMINAL_FOILS), (
            "The number of foils is not recorded: drawn with four."
        )
    if field in ("springing", "small_radius", "foils") and getattr(spec, field) is not None:
        return _without(spec, field), why
    if spec.shape in HEADS or spec.shape in SHAPES or spec.shape == "points":
        return _square(spec, field), why
    return _sized(spec, field), why


def _sized(spec: OutlineSpec, field: str) -> OutlineSpec:
    if field == "width":
        return replace(spec, width=NOMINAL_WIDTH_MM)
    return replace(spec, height=NOMINAL_HEIGHT_MM)


def _without(spec: OutlineSpec, field: str) -> OutlineSpec:
    if field == "springing":
        return replace(spec, springing=None)
    if field == "small_radius":
        return replace(spec, small_radius=None)
    return replace(spec, foils=None)


def _square(spec: OutlineSpec, field: str) -> OutlineSpec:
    """A size that was refused is replaced; else the shape gives way to a rectangle."""
    try:
        outline_of(OutlineSpec("rectangle", spec.width, spec.height))
    except OutlineError as error:
        if error.field == field and getattr(spec, field) is not None:
            return _sized(spec, field)
    return replace(spec, shape="rectangle", points=())
