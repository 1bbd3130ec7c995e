"""Chooses the picture for a finding by its kind, or for an opening as a whole."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from PIL import Image

from restoration.demo.pictures import (
    faults_glass,
    faults_lead,
    faults_panel,
    faults_plaque,
    metalwork,
    stonework,
)
from restoration.demo.pictures.closeview import Subject
from restoration.demo.pictures.faults_plaque import Corner, PlaqueView
from restoration.demo.pictures.geometry import Point
from restoration.demo.pictures.plates import Plate
from restoration.demo.pictures.textures import Size
from restoration.demo.pictures.window import window_picture

PORTRAIT: Final[Size] = (1600, 1960)
LANDSCAPE: Final[Size] = (1960, 1600)
CLOSE: Final[Size] = (1680, 1260)
TALL: Final[Size] = (1600, 1960)
DULL_DAY: Final = 0.92


@dataclass(frozen=True)
class Sight:
    """What is before the camera: the window, the place on it, and the finding, if any."""

    subject: Subject
    panel: str
    kind: str
    amount: float
    seed: str
    plate: Plate | None = None
    material: str = ""
    position: str = ""
    wide: bool = False

    def plaque(self) -> PlaqueView:
        if self.plate is None:
            raise ValueError(f"{self.seed}: a picture of a plaque needs the plaque")
        share = 0.3 if self.wide else 0.56
        return PlaqueView(self.subject, self.panel, self.plate, CLOSE, self.seed, share)


Scene = Callable[[Sight], Image.Image]


def whole_window(sight: Sight) -> Image.Image:
    shape = sight.subject.shape
    size = PORTRAIT if shape.height > shape.width * 1.12 else LANDSCAPE
    return window_picture(
        shape, sight.subject.compose, size, sight.subject.number, sight.seed, DULL_DAY
    )


def close_view(sight: Sight) -> Image.Image:
    """Return the picture of a finding. Raises KeyError for a kind that no scene shows."""
    return SCENES[sight.kind](sight)


def _loose_plaque(sight: Sight) -> Image.Image:
    view = sight.plaque()
    if sight.material == "aluminium":
        return faults_plaque.on_one_screw(view)
    if sight.material == "magnesium":
        return faults_plaque.resting_on_sill(view)
    return faults_plaque.hanging(view, 24.0 if sight.wide else 19.0)


def _torn(sight: Sight) -> tuple[Corner, ...]:
    """Return the corners that the finding's words say have let go."""
    words = sight.position
    rows = (-1,) if "upper" in words else (1,) if "lower" in words else (-1, 1)
    sides = (-1,) if "left" in words else (1,) if "right" in words else (-1, 1)
    return tuple((side, row) for side in sides for row in rows)


def _plaque_in(wear: str) -> Scene:
    return lambda sight: faults_plaque.held(sight.plaque(), faults_plaque.WEAR.get(wear))


def _paint(flaking: bool, scale: float) -> Scene:
    def scene(sight: Sight) -> Image.Image:
        place = PAINTED_PLACES.get(sight.subject.number + sight.panel)
        if place is None:
            place = sight.subject.panel_centre(sight.panel)
        return faults_glass.paint_loss(sight.subject, place, CLOSE, sight.seed, scale, flaking)

    return scene


# Where the painted detail that the findings speak of lies, in millimetres from the upper left.
PAINTED_PLACES: Final[dict[str, Point]] = {"I4b": (1490, 800), "I2c": (2235, 2960)}

SCENES: Final[dict[str, Scene]] = {
    "failed-solder-joint": lambda s: faults_lead.cracked_joint(s.subject, s.panel, CLOSE, s.seed),
    "fractured-came": lambda s: faults_lead.broken_came(s.subject, s.panel, CLOSE, s.seed),
    "fatigued-came": lambda s: faults_lead.tired_came(s.subject, s.panel, CLOSE, s.seed),
    "perished-cement": lambda s: faults_lead.perished_cement(s.subject, s.panel, CLOSE, s.seed),
    "broken-tie": lambda s: faults_lead.broken_ties(s.subject, s.panel, CLOSE, s.seed),
    "cracked-glass": lambda s: faults_glass.cracked_pieces(
        s.subject, s.panel, CLOSE, s.seed, round(s.amount)
    ),
    "missing-glass": lambda s: faults_glass.missing_piece(s.subject, s.panel, CLOSE, s.seed),
    "slipped-glass": lambda s: faults_glass.slipped_piece(s.subject, s.panel, CLOSE, s.seed),
    "loose-glass": lambda s: faults_glass.loose_pieces(
        s.subject, s.panel, CLOSE, s.seed, round(s.amount)
    ),
    "impact-or-shot-hole": lambda s: faults_glass.shot_hole(s.subject, s.panel, CLOSE, s.seed),
    "paint-loss": _paint(False, 10.0),
    "unstable-paint": _paint(True, 8.0),
    "bowed-panel": lambda s: faults_panel.bowed(s.subject, s.panel, TALL, s.seed, s.amount),
    "condensation-protective-glazing": lambda s: faults_panel.misted(
        s.subject, s.panel or "1a", CLOSE, s.seed, min(0.9, 0.2 + s.amount / 80)
    ),
    "surface-deposit": lambda s: faults_panel.overgrown(s.subject, s.panel, CLOSE, s.seed),
    "loose-item": _loose_plaque,
    "item-fixing-failed": lambda s: faults_plaque.partly_held(s.plaque(), _torn(s)),
    "bent-item": lambda s: faults_plaque.bent_end(s.plaque()),
    "corroded-item": _plaque_in("corroded-item"),
    "illegible-inscription": _plaque_in("illegible-inscription"),
    "wrong-inscription": _plaque_in("wrong-inscription"),
    "corroded-bar": lambda s: stonework.bar_in_jamb(s.subject, CLOSE, s.seed, True),
    "corroded-bar-with-stone-damage": lambda s: stonework.bar_in_jamb(s.subject, CLOSE, s.seed),
    "cracked-stone": lambda s: stonework.hairline(CLOSE, s.seed, "9 vi 15"),
    "perished-pointing": lambda s: stonework.lost_pointing(s.subject, CLOSE, s.seed),
    "decayed-timber": lambda s: stonework.rotten_sill(CLOSE, s.seed),
    "guard-staining-stone": lambda s: stonework.rust_run(CLOSE, s.seed),
    "seized-ventilator": lambda s: metalwork.seized_ventilator(s.subject, s.panel, CLOSE, s.seed),
    "loose-guard": lambda s: metalwork.loose_guard(s.subject, CLOSE, s.seed),
    "sealant-attacking-lead": lambda s: metalwork.attacked_lead(s.subject, CLOSE, s.seed),
}
