"""Pictures of the invented church: repeatable, alike from near and far, true to their plans."""

from pathlib import Path
from random import Random

import pytest
from PIL import Image, ImageChops, ImageOps, ImageStat

from restoration.demo.photographs import (
    DATE_TIME_ORIGINAL,
    EXIF_IFD,
    OFFSET_TIME_ORIGINAL,
    ORIENTATION,
    millimetres,
    picture_of,
    save_photograph,
)
from restoration.demo.pictures.closeview import Subject
from restoration.demo.pictures.geometry import (
    cells,
    head_outline,
    inset,
    perspective,
    scattered,
)
from restoration.demo.pictures.leadwork import ring_area
from restoration.demo.pictures.subjects import SUBJECTS
from restoration.demo.pictures.window import WindowShape
from restoration.demo.scenario import PhotographPlan, Scenario


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return Scenario()


def plan_named(scenario: Scenario, ending: str) -> PhotographPlan:
    return next(plan for plan in scenario.photographs if plan.file.endswith(ending))


def subject(scenario: Scenario, number: str) -> Subject:
    row = scenario.openings[number]
    shape = WindowShape(
        millimetres(row["width"]),
        millimetres(row["height"]),
        row["head"],
        int(row["lights"]),
        int(row["rows"]),
    )
    return Subject(number, shape, SUBJECTS[number])


def same(one: Image.Image, other: Image.Image) -> bool:
    return one.size == other.size and ImageChops.difference(one, other).getbbox() is None


def test_same_finding_gives_the_same_pixels_and_another_gives_others(scenario: Scenario) -> None:
    plan = plan_named(scenario, "IMG_0494.jpg")
    first, second = picture_of(plan, scenario), picture_of(plan, Scenario())
    assert same(first, second)
    joint = plan_named(scenario, "IMG_0463.jpg")
    assert not same(first, picture_of(joint, scenario))


def test_same_window_has_the_same_glass_from_near_and_from_far(scenario: Scenario) -> None:
    ferry = subject(scenario, "sIII")
    far = ferry.near((300, 400), 0.14, (865, 1350))
    near = ferry.near((400, 400), 2.0, ferry.panel_centre("3b"))
    assert len(far.pieces) == len(near.pieces)
    assert far.pieces == near.pieces
    assert far.tints == near.tints


@pytest.mark.parametrize("number", ["nIV", "sVI", "wII", "NII"])
def test_windows_glow_on_a_dark_wall(scenario: Scenario, number: str) -> None:
    plan = next(p for p in scenario.photographs if p.opening == number and p.picture == "overall")
    picture = picture_of(plan, scenario)
    assert picture.width >= 1600
    middle = picture.crop((picture.width // 3, picture.height // 3, *(_two_thirds(picture))))
    corner = picture.crop((0, 0, 120, 120))
    assert sum(ImageStat.Stat(middle).mean) > 1.4 * sum(ImageStat.Stat(corner).mean)
    assert max(ImageStat.Stat(middle).stddev) > 25


def _two_thirds(picture: Image.Image) -> tuple[int, int]:
    return picture.width * 2 // 3, picture.height * 2 // 3


def test_saved_photograph_says_when_it_was_taken_and_how_the_camera_was_held(
    scenario: Scenario, tmp_path: Path
) -> None:
    plan = plan_named(scenario, "IMG_0441.jpg")
    with Image.open(save_photograph(plan, scenario, tmp_path)) as stored:
        exif = stored.getexif()
        assert exif[ORIENTATION] == plan.orientation == 8
        details = exif.get_ifd(EXIF_IFD)
        assert details[DATE_TIME_ORIGINAL] == plan.taken.strftime("%Y:%m:%d %H:%M:%S")
        assert details[OFFSET_TIME_ORIGINAL] == "-04:00"
        upright = ImageOps.exif_transpose(stored)
        assert (upright.width, upright.height) == (stored.height, stored.width)
        truth = picture_of(plan, scenario)
        difference = ImageStat.Stat(ImageChops.difference(upright.convert("RGB"), truth))
        assert max(difference.mean) < 8


def test_saved_heic_opens_upright_with_its_moment(scenario: Scenario, tmp_path: Path) -> None:
    plan = plan_named(scenario, "2026-006 b.heic")
    path = save_photograph(plan, scenario, tmp_path)
    with Image.open(path) as stored:
        assert stored.format == "HEIF"
        moment = stored.getexif().get_ifd(EXIF_IFD)[DATE_TIME_ORIGINAL]
        assert moment.startswith("2026:05:12")
        assert stored.width >= 1600
    assert path.stat().st_size < 1_500_000


# ---- drawing helpers against geometry -------------------------------------------------------


@pytest.mark.published("Euclid, Elements XII.2: circles are as the squares on their diameters")
def test_roundel_outline_has_the_area_of_its_circle() -> None:
    ring = head_outline("roundel", 600, 600, 0, 0)
    assert ring_area(ring) == pytest.approx(3.14159265 * 300**2, rel=0.002)


@pytest.mark.published("area of a semicircular head, span 1.2 m: π·1.2²/8 = 0.565487 m²")
def test_semicircular_head_adds_half_a_circle() -> None:
    whole = ring_area(head_outline("semicircular", 1200, 2000, 0, 0))
    assert whole - 1200 * 1400 == pytest.approx(565_487, rel=0.003)


def test_inset_of_a_rectangle_is_smaller_by_the_border_on_each_side() -> None:
    ring = inset(head_outline("rectangle", 100, 200, 0, 0), 10)
    assert ring_area(ring) == pytest.approx(80 * 180)


def test_pieces_of_a_broken_ground_fill_its_box_without_gap_or_overlap() -> None:
    box = (0.0, 0.0, 900.0, 600.0)
    seeds = [p for p in scattered(Random("ground"), box, 120) if 0 < p[0] < 900 and 0 < p[1] < 600]
    rings = cells(box, seeds)
    assert sum(ring_area(ring) for ring in rings if len(ring) > 2) == pytest.approx(900 * 600)


def test_perspective_of_the_picture_itself_changes_nothing() -> None:
    corners = [(0.0, 0.0), (300.0, 0.0), (300.0, 200.0), (0.0, 200.0)]
    assert perspective(corners, (300, 200)) == pytest.approx([1, 0, 0, 0, 1, 0, 0, 0], abs=1e-9)
