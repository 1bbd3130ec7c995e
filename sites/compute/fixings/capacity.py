"""What one fixing of a kind can carry, and whether a line of fixings counts at all."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from sites.compute.figures import Figures
from sites.compute.fixings import FAILED, SOUND
from sites.compute.working import Input

TAB: Final = "soldered tab"
STRAP: Final = "strap"
BEAD: Final = "silicone bead"
SCREW: Final = "screw"
WIRE: Final = "wire"
CURING: Final = "new and curing"
UNKNOWN: Final = "unknown"

# Newtons of one square millimetre under one of the unit that a figure is given in.
NEWTONS: Final[Mapping[str, float]] = {"MPa": 1.0, "kPa": 1e-3}

# What a lap or a bead is called for each of its two sizes.
SIZED: Final[Mapping[str, tuple[str, str]]] = {
    TAB: ("width of the soldered tab", "length of the lap of the soldered tab"),
    BEAD: ("bite (width) of the silicone bead", "length of the silicone bead"),
}
# Figures by kind: lasting, and for a moment.
STRESSES: Final[Mapping[str, tuple[str, str]]] = {
    TAB: ("fixing.solder_shear", "fixing.solder_shear_short"),
    BEAD: ("fixing.bead_dead_load", "fixing.bead_short"),
}
COUNTED_KINDS: Final[Mapping[str, str]] = {
    STRAP: "fixing.strap",
    SCREW: "fixing.screw",
    WIRE: "fixing.wire",
}
HOST_WORDS: Final[Mapping[str, str]] = {
    "weak": "what it holds on to is weak",
    "failed": "what it holds on to has failed",
    "not seen": "what it holds on to was not seen",
}


@dataclass(frozen=True)
class FixingLine:
    """Fixings of one kind in one state: how many, their size in mm, and what holds them."""

    kind: str
    count: int
    state: str
    host: str
    host_state: str
    width_mm: float | None = None
    length_mm: float | None = None
    cures_on: date | None = None
    product: str = ""


@dataclass(frozen=True)
class Capacity:
    """What one fixing carries, in N: lasting, and for a moment."""

    lasting_n: float
    moment_n: float


def is_uncured(line: FixingLine, today: date) -> bool:
    """Return whether a line that has not failed is still to cure, or nobody said until when."""
    if line.state not in (SOUND, CURING):
        return False
    if line.cures_on is not None:
        return today < line.cures_on
    return line.state == CURING


def why_nothing(line: FixingLine, today: date) -> str:
    """Return why a line counts as nothing, in words; empty where it counts.

    Source: common practice, no source. What nobody has seen is not counted on to hold.
    """
    if line.state == FAILED:
        return "failed"
    if is_uncured(line, today):
        return "not cured until " + day_words(line.cures_on) if line.cures_on else "still curing"
    if line.state not in (SOUND, CURING):
        return "not seen"
    if line.host == UNKNOWN:
        return "what it holds on to is not known"
    return "" if line.host_state == SOUND else HOST_WORDS.get(line.host_state, "not seen")


def missing_sizes(line: FixingLine) -> tuple[str, ...]:
    """Return which sizes of a line are not recorded and must be, in words."""
    names = SIZED.get(line.kind)
    if names is None:
        return ()
    sizes = (line.width_mm, line.length_mm)
    return tuple(name for name, mm in zip(names, sizes, strict=True) if mm is None)


def capacity_of(line: FixingLine, figures: Figures) -> Capacity | None:
    """Return what one fixing of the line carries; None without its sizes, or a figure for its kind.

    Source: a lap or a bead, area × allowable stress (solder: τ = F/(b·L), handbooks; silicone:
    ASTM C1401 practice); others, a setting each. Every allowable is a figure with its own source.
    """
    if line.kind in COUNTED_KINDS:
        each = figures.number(COUNTED_KINDS[line.kind])
        return Capacity(each, each)
    if line.kind not in STRESSES or line.width_mm is None or line.length_mm is None:
        return None
    lasting, moment = (
        figures.number(key) * NEWTONS[figures[key].unit] for key in STRESSES[line.kind]
    )
    area_mm2 = line.width_mm * line.length_mm
    return Capacity(area_mm2 * lasting, area_mm2 * moment)


def figure_inputs(kind: str, figures: Figures) -> tuple[Input, ...]:
    """Return the figures that a kind is reckoned with, as inputs of a working."""
    keys = STRESSES.get(kind) or ((COUNTED_KINDS[kind],) if kind in COUNTED_KINDS else ())
    return tuple(figures.input(key) for key in keys)


def day_words(day: date) -> str:
    """Return a day as it is written out: 3 December 2026."""
    return f"{day.day} {day:%B} {day.year}"
