"""Makes the photographs of a visit folder, each repeatable from its finding's key."""

from pathlib import Path
from typing import Final

import pillow_heif
from PIL import Image

from restoration.demo.pictures.closeview import Subject
from restoration.demo.pictures.light import balanced
from restoration.demo.pictures.plates import Plate
from restoration.demo.pictures.scenes import Sight, close_view, whole_window
from restoration.demo.pictures.subjects import SUBJECTS
from restoration.demo.pictures.window import WindowShape
from restoration.demo.scenario import PhotographPlan, Row, Scenario
from sites.compute.lengths import parse_length

pillow_heif.register_heif_opener()

JPEG_QUALITY: Final = 84
HEIC_QUALITY: Final = 70

EXIF_IFD: Final = 0x8769
ORIENTATION: Final = 0x0112
DATE_TIME: Final = 0x0132
DATE_TIME_ORIGINAL: Final = 0x9003
OFFSET_TIME_ORIGINAL: Final = 0x9011
# The older camera of the first survey saw everything a little warmer and dimmer.
BALANCE: Final = {"2015": (0.97, 0.92, 0.82)}
# How an upright picture lies in the file of a camera that was held on its side.
STORED: Final = {6: Image.Transpose.ROTATE_90, 8: Image.Transpose.ROTATE_270}


def millimetres(typed: str) -> float:
    return float(parse_length(typed).mm)


def picture_of(plan: PhotographPlan, scenario: Scenario) -> Image.Image:
    """Return the upright picture that a plan asks for."""
    sight = _sight(plan, scenario)
    picture = whole_window(sight) if plan.picture == "overall" else close_view(sight)
    return balanced(picture, *BALANCE.get(plan.survey, (1.0, 1.0, 1.0)))


def save_photograph(plan: PhotographPlan, scenario: Scenario, folder: Path) -> Path:
    """Make one photograph and write it below `folder`; return its path."""
    path = folder / plan.file
    path.parent.mkdir(parents=True, exist_ok=True)
    picture = picture_of(plan, scenario)
    if plan.orientation in STORED:
        picture = picture.transpose(STORED[plan.orientation])
    if path.suffix == ".heic":
        picture.save(
            path,
            "HEIF",
            quality=HEIC_QUALITY,
            exif=exif_of(plan),
            enc_params={"preset": "ultrafast"},
        )
    else:
        picture.save(path, "JPEG", quality=JPEG_QUALITY, exif=exif_of(plan))
    return path


def exif_of(plan: PhotographPlan) -> Image.Exif:
    """Return when the photograph was taken and how the camera was held."""
    exif = Image.Exif()
    moment = plan.taken.strftime("%Y:%m:%d %H:%M:%S")
    exif[ORIENTATION] = plan.orientation
    exif[DATE_TIME] = moment
    details = exif.get_ifd(EXIF_IFD)
    details[DATE_TIME_ORIGINAL] = moment
    if plan.offset:
        details[OFFSET_TIME_ORIGINAL] = plan.offset
    return exif


def _sight(plan: PhotographPlan, scenario: Scenario) -> Sight:
    subject = _subject(scenario.openings[plan.opening])
    finding = plan.finding
    if finding is None:
        return Sight(subject, "", "", 0.0, plan.key)
    item = scenario.items.get((plan.opening, finding["item"]))
    plaque = item if item and item["kind"] == "plaque" else None
    return Sight(
        subject=subject,
        panel=finding["panel"] or "1a",
        kind=finding["kind"],
        amount=float(finding["amount"] or 0),
        seed=plan.key if plan.picture == "close" else f"{plan.key} {plan.picture}",
        plate=_plate(plaque) if plaque else None,
        material=plaque["material"] if plaque else "",
        position=finding["position"],
        wide=plan.picture == "wide",
    )


def _subject(opening: Row) -> Subject:
    shape = WindowShape(
        width=millimetres(opening["width"]),
        height=millimetres(opening["height"]),
        head=opening["head"],
        lights=int(opening["lights"]),
        rows=int(opening["rows"]),
    )
    return Subject(opening["number"], shape, SUBJECTS[opening["number"]])


def _plate(item: Row) -> Plate:
    return Plate(
        item["material"],
        millimetres(item["width"]),
        millimetres(item["height"]),
        item["inscription"],
    )
