"""What a folder brings for the drawings: walls, springing, bars, places; and what it refuses."""

from decimal import Decimal

import pytest

from restoration.services.studios import open_studio
from sites.models import AttachedItem, Bar, Building, Fixing, Opening, Panel, PlanWall
from tests.restoration.visit_folders import (
    SMALL_REGISTER,
    changed,
    problems_in,
    problems_of,
    quietly,
    small_folder,
)

DRAWN = {
    **SMALL_REGISTER,
    "Building": [
        ["name", "place", "currency", "time zone", "ritual east"],
        ["St Wenfric", "Marlow Fen", "USD", "America/New_York", 101.5],
    ],
    "Walls": [
        ["name", "x1", "y1", "x2", "y2", "bulge"],
        ["North wall", 0, 9000, 18000, 9000, ""],
        ["Apse", 18000, 9000, 18000, 0, -1],
    ],
    "Openings": [
        ["number", "width", "height", "head", "springing", "lights", "light widths", "mullion",
         "light head", "light springing", "plan wall", "plan along"],
        ["I", 1400, 2700, "two-centred", '5\' 2"', 2, "640; 25 3/16\"", 120, "two-centred", 1500,
         "Apse", 4500],
        ["nII", 873, 1524, "rectangle", "", 1, "", "", "", "", "North wall", ""],
    ],
    "Bars": [
        ["opening", "kind", "light", "height", "ties"],
        ["I", "division bar", "", "35 3/8\"", ""],
        ["I", "saddle bar", 2, 450, 3],
    ],
    "Panels": [
        ["opening", "number", "width", "height", "shape", "x in mm", "y in mm", "foils", "pattern"],
        ["I", "A1", 300, 300, "foiled in circle", 700, 2300, 4, "figure"],
        ["I", "1a", "", "", "", "", "", "", "squares"],
        ["nII", "2a", "", "", "", "", "", "", ""],
    ],
    "Attached items": [
        ["opening", "number", "panel", "kind", "x in mm", "y in mm", "weight in kg",
         "letter height"],
        ["nII", "P1", "2a", "plaque", 400, 60.5, 0.31, "1/4\""],
    ],
    "Fixings": [
        ["opening", "item", "kind", "count", "state", "holds on to", "width", "length",
         "cured from", "product"],
        ["nII", "P1", "silicone bead", 2, "new and curing", "lead", 6, 70, "2026-05-11",
         "clear neutral"],
    ],
}  # fmt: skip


@pytest.fixture
def studio(files):
    return open_studio("Alder Lane Glass")


def drawn_folder(tmp_path, register=DRAWN, name="visit"):
    findings = {
        "Surveys": [["survey", "date", "surveyors"], ["2026", "2026-05-04", "A. Verrier"]],
        "Findings": [
            ["finding", "survey", "opening", "kind"],
            ["2026-001", 2026, "nII", "surface-deposit"],
        ],
    }
    return small_folder(tmp_path / name, register=register, findings=findings, photographs={})


@pytest.mark.django_db
def test_what_the_drawings_need_comes_with_the_folder(studio, user, tmp_path):
    quietly(studio, user)(drawn_folder(tmp_path))
    assert Building.objects.get().ritual_east == Decimal("101.5")
    apse = PlanWall.objects.get(name="Apse")
    assert (apse.order, apse.x1_mm, apse.bulge) == (2, 18000, -1)
    opening = Opening.objects.get(number="I")
    assert (opening.springing_typed, opening.springing_mm) == ("5' 2\"", Decimal("1574.8"))
    assert opening.light_widths == '640; 25 3/16"'
    assert opening.light_widths_mm == [640, 639.7625]
    assert (opening.plan_wall, opening.plan_along_mm) == (apse, 4500)
    bars = list(opening.bars.values_list("kind", "light", "height_typed", "ties"))
    assert bars == [("saddle bar", 2, "450", 3), ("division bar", None, '35 3/8"', None)]
    tracery = Panel.objects.get(number="A1")
    assert (tracery.shape, tracery.x_mm, tracery.foils) == ("foiled in circle", 700, 4)
    item = AttachedItem.objects.get()
    assert (item.y_mm, item.weighed_kg, item.letter_height_mm) == (
        Decimal("60.5"), Decimal("0.31"), Decimal("6.35"),
    )  # fmt: skip
    fixing = Fixing.objects.get()
    assert (fixing.width_mm, fixing.length_typed, str(fixing.cures_on)) == (6, "70", "2026-05-11")


@pytest.mark.django_db
def test_the_same_register_again_adds_nothing_and_another_measurement_is_named(
    studio, user, tmp_path
):
    take_in = quietly(studio, user)
    take_in(drawn_folder(tmp_path))
    again = changed(DRAWN, "Bars", 3, "ties", 4)
    again = changed(again, "Openings", 2, "springing", 1500)
    again = changed(again, "Walls", 2, "x2", 17000)
    found = problems_of(take_in, drawn_folder(tmp_path, again, "later"))
    assert [text.split(": ", 1)[0] for text in found] == [
        "findings.xlsx, Surveys, row 2, date",
        "register.xlsx, Bars, row 3, ties",
        "register.xlsx, Openings, row 2, springing",
        "register.xlsx, Walls, row 2, x2 mm",
    ]
    assert Bar.objects.count() == 2
    assert PlanWall.objects.count() == 2


@pytest.mark.parametrize(
    ("sheet", "row", "column", "value", "message"),
    [
        ("Openings", 2, "springing", 2800, "springing"),
        ("Openings", 2, "light widths", "640; a lot", "a lot"),
        ("Bars", 3, "height", "", "height"),
        ("Bars", 3, "kind", "scaffold bar", "scaffold bar"),
        ("Walls", 2, "x2", 0, "x2"),
        ("Panels", 2, "x in mm", "", "A place has both its figures, or neither."),
        ("Walls", 3, "name", "North wall", "stands in"),
    ],
)
def test_a_measurement_that_cannot_be_is_refused_by_name(
    tmp_path, sheet, row, column, value, message
):
    register = changed(DRAWN, sheet, row, column, value)
    if (sheet, column) == ("Walls", "x2"):
        register = changed(register, "Walls", 2, "y2", 9000)
    found = problems_in(drawn_folder(tmp_path, register))
    assert len(found) == 1, found
    assert message in found[0]


@pytest.mark.django_db
def test_an_unknown_wall_is_named(studio, user, tmp_path):
    register = changed(DRAWN, "Openings", 3, "plan wall", "Nowhere")
    assert any(
        "Nowhere" in text
        for text in problems_of(quietly(studio, user), drawn_folder(tmp_path, register))
    )
