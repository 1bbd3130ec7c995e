"""The drawing of an opening in the report: each finding's pin on the part it was seen on."""

import re
from dataclasses import asdict
from math import hypot

import pytest

from condition.compute.stroke_drawing import Stroke
from condition.documents.drawing import drawing_of
from condition.documents.snapshot import Drawing
from condition.models import Finding
from sites.compute.geometry.rings import Point
from sites.documents.canonical import canonical
from sites.models import Opening
from tests.factories import (
    AttachedItemFactory,
    FindingFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def opening(db) -> Opening:
    opening = OpeningFactory(
        number="nII",
        lights=2,
        width_typed="1000",
        width_mm=1000,
        height_typed="2000",
        height_mm=2000,
        head="rectangle",
    )
    for number in ("1a", "1b", "2a", "2b"):
        PanelFactory(opening=opening, number=number)
    return opening


def found(opening: Opening, number: int, **fields: object) -> Finding:
    survey = SurveyFactory(building=opening.building)
    return FindingFactory(survey=survey, opening=opening, number=number, **fields)


def drawn(opening: Opening, *findings: Finding) -> Drawing:
    drawing = drawing_of(opening, opening.attached_items.all(), findings)
    assert drawing is not None
    return drawing


def test_the_pin_stands_inside_its_own_panel(opening):
    finding = found(opening, 7, panel=opening.panels.get(number="2b"))
    drawing = drawn(opening, finding)
    (pin,) = drawing.pins
    # The second row from the sill, of two, is the upper half; b is the right-hand light.
    assert float(pin.x) > 500 / 20
    assert float(pin.y) < -1000 / 20
    assert (pin.finding, pin.hazard) == (7, False)


def test_a_pin_and_the_panel_s_number_stand_beside_each_other(opening):
    finding = found(opening, 7, panel=opening.panels.get(number="2b"))
    drawing = drawn(opening, finding)
    (pin,) = drawing.pins
    numbers = {mark.text: mark for mark in drawing.marks if mark.kind == "number"}
    assert sorted(numbers) == ["1a", "1b", "2a", "2b"]
    number = numbers["2b"]
    apart = hypot(float(number.x) - float(pin.x), float(number.y) - float(pin.y))
    assert apart > float(pin.radius)


def test_a_hazard_of_an_item_stands_above_the_item(opening):
    plaque = AttachedItemFactory(opening=opening, number="P1")
    drawing = drawn(opening, found(opening, 3, attached_item=plaque, hazard=True))
    (pin,) = drawing.pins
    (plate,) = [mark for mark in drawing.marks if mark.kind == "plate"]
    top = min(float(y) for y in re.findall(r"-?[\d.]+ (-?[\d.]+)", plate.d))
    assert pin.hazard
    assert float(pin.y) + float(pin.radius) <= top
    assert pin.leader


def test_it_is_drawn_at_the_largest_true_scale_that_fits_and_the_caption_says_which(opening):
    drawing = drawn(opening)
    assert drawing.caption == ["1:20."]
    stone = next(mark for mark in drawing.marks if mark.kind == "stone")
    across = [float(x) for x in re.findall(r"[ML]\s*(-?[\d.]+)", stone.d)]
    # 1000 mm at 1:20.
    assert max(across) - min(across) == pytest.approx(50)


def test_a_finding_of_the_whole_window_has_no_pin_and_that_is_said(opening):
    drawing = drawn(opening, found(opening, 9))
    assert drawing.pins == []
    assert "Finding 9 has no one place on it." in drawing.caption


def test_the_drawing_is_told_in_words(opening):
    drawing = drawn(
        opening,
        found(opening, 7, panel=opening.panels.get(number="2b")),
        found(opening, 8, panel=opening.panels.get(number="2b")),
    )
    assert drawing.alt == (
        "Drawing of opening nII seen from inside, 4 panels. nII 2b: finding 7, 8."
    )


def test_a_panel_without_a_place_is_named(opening):
    PanelFactory(opening=opening, number="odd one")
    assert "Not drawn: panels odd one." in drawn(opening).caption


def test_without_a_size_it_is_not_to_scale_and_without_anything_there_is_none():
    bare = OpeningFactory()
    assert drawing_of(bare, [], []) is None
    PanelFactory(opening=bare, number="1a")
    assert drawn(bare).caption[0] == "Not to scale: a size is not recorded."


def test_the_snapshot_can_keep_all_of_it(opening):
    drawing = drawn(opening, found(opening, 7, panel=opening.panels.get(number="2b")))
    assert canonical(asdict(drawing))


def test_what_is_drawn_of_a_finding_takes_the_place_of_its_pin(opening):
    """Its own mark bears its letter and number; a danger keeps its dark disc besides."""
    panel = opening.panels.get(number="2b")
    cracked = found(opening, 7, panel=panel)
    loose = found(opening, 8, panel=panel, hazard=True)
    square = (Point(600, 1200), Point(800, 1200), Point(800, 1400), Point(600, 1400))
    strokes = [Stroke("area", square, "glass", number) for number in (7, 8)]
    drawing = drawing_of(opening, [], [cracked, loose], strokes)
    assert drawing is not None
    assert [(pin.finding, pin.hazard) for pin in drawing.pins] == [(8, True)]
    assert drawing.caption == ["1:20."]
    letters = {mark.text for mark in drawing.marks if mark.kind == "damage-letter"}
    assert letters == {"G·7", "G·8"}
    edges = [mark for mark in drawing.marks if mark.kind == "damage-edge"]
    # 200 mm at 1:20, from 600 mm on.
    across = [float(x) for x in re.findall(r"[ML]\s*(-?[\d.]+)", edges[0].d)]
    assert (min(across), max(across)) == (30.0, 40.0)
    canonical(asdict(drawing))
