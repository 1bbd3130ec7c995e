"""Marks drawn flat: mirrored as the drawing is, hatched apart without colour, letters beside."""

import re
from itertools import combinations

import pytest
from shapely.geometry import LineString, Polygon

from condition.compute.stroke_drawing import Stroke, drawn, legend_sample, on_scene, sample_on_paper
from condition.compute.stroke_signs import SIGNS, broken, hatch_of, sign_of
from condition.compute.stroke_words import area_words, length_words, share_words
from condition.compute.strokes import AREA, LINE, POINT, StrokeError
from condition.compute.typed_places import (
    read_mm,
    read_places,
    read_share,
    without_repeats,
    write_mm,
    write_share,
    written_places,
)
from condition.forms.choices import KIND_GROUPS
from sites.compute.division import OpeningSpec, divide
from sites.compute.drawing.fitting import Elevation
from sites.compute.drawing.sheet import Sheet, sheet_of
from sites.compute.drawing.svg import PAPER_PEN, paper_svg
from sites.compute.geometry.outlines import OutlineSpec
from sites.compute.geometry.rings import Point

CORNERS = (Point(100, 100), Point(300, 100), Point(300, 400), Point(100, 400))
AREA_MARK = Stroke(AREA, CORNERS, "glass", 4)


def elevation():
    return Elevation(divide(OpeningSpec(OutlineSpec("rectangle", 800, 1200))), [], [], True)


def numbers(text):
    return [float(number) for number in re.findall(r"-?\d+(?:\.\d+)?", text)]


def edge_of(marks):
    return numbers(next(mark.d for mark in marks if mark.kind == "damage-edge"))


def test_a_mark_lies_on_the_drawing_where_it_lies_on_the_opening():
    scene = elevation().on_page()
    unit = scene.mm_per_unit
    places = edge_of(on_scene([AREA_MARK], scene))
    wanted = [value / unit for x, y in CORNERS for value in (x, -y)]
    assert places == pytest.approx(wanted, abs=1e-3)


def test_seen_from_outside_it_is_mirrored_and_its_letters_are_not():
    inside, outside = elevation().on_page(), elevation().on_page(from_outside=True)
    unit = outside.mm_per_unit
    marks = on_scene([AREA_MARK], outside)
    wanted = [value / unit for x, y in CORNERS for value in (800 - x, -y)]
    assert edge_of(marks) == pytest.approx(wanted, abs=1e-3)
    texts = [[mark.text for mark in on_scene([AREA_MARK], scene)] for scene in (inside, outside)]
    assert texts[0] == texts[1]
    assert "G·4" in texts[0]


def test_every_group_has_a_letter_and_a_word_of_its_own_and_no_two_look_alike():
    assert len({sign.letter for sign in SIGNS}) == len(SIGNS)
    assert len({sign.word for sign in SIGNS}) == len(SIGNS)
    looks = {(sign.hatch, sign.spacing, sign.dashes) for sign in SIGNS}
    assert len(looks) == len(SIGNS)


def test_every_group_of_the_vocabulary_has_a_sign():
    assert set(KIND_GROUPS) == {sign.group for sign in SIGNS}
    assert all(str(KIND_GROUPS[sign.group]) == sign.word for sign in SIGNS)


def test_a_group_that_a_studio_made_itself_is_shown_as_other():
    assert sign_of("bells").letter == "O"


@pytest.mark.parametrize("sign", SIGNS, ids=lambda sign: sign.group)
def test_hatching_stays_inside_what_it_fills_and_reaches_all_of_it(sign):
    bent = [Point(0, 0), Point(90, 0), Point(90, 30), Point(30, 30), Point(30, 90), Point(0, 90)]
    strokes = [LineString(segment) for segment in hatch_of(bent, sign, 5.0)]
    area = Polygon(bent).buffer(1e-6)
    assert strokes
    assert all(area.covers(stroke) for stroke in strokes)
    for corner in (Point(80, 15), Point(15, 80), Point(10, 10)):
        assert min(stroke.distance(LineString([corner, corner])) for stroke in strokes) < 12


def test_two_patterns_differ_in_what_they_draw():
    square = [Point(0, 0), Point(60, 0), Point(60, 60), Point(0, 60)]
    drawings = [frozenset(hatch_of(square, sign, 5.0)) for sign in SIGNS]
    assert all(one != other for one, other in combinations(drawings, 2))


def test_a_broken_line_keeps_its_rhythm_round_a_corner():
    line = [Point(0, 0), Point(10, 0), Point(10, 10)]
    dashes = list(broken(line, sign_of("guard"), 5.0))
    drawn_length = sum(LineString(dash).length for dash in dashes)
    assert drawn_length == pytest.approx(8 + 8)
    assert all(LineString(line).buffer(1e-6).covers(LineString(dash)) for dash in dashes)


def test_letters_of_marks_close_together_do_not_cover_each_other():
    crowd = [Stroke(POINT, (Point(100 + n, 100),), "came", n) for n in range(4)]
    plates = [
        numbers(mark.d) for mark in drawn(crowd, lambda p: p, 10.0) if mark.kind == "damage-plate"
    ]
    boxes = [(min(p[0], p[2]), p[1], max(p[0], p[2]), p[3]) for p in plates]
    for one, other in combinations(boxes, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart


def test_all_that_is_drawn_has_a_pen_for_paper():
    strokes = [
        AREA_MARK,
        Stroke(LINE, CORNERS[:2], "support", 5),
        Stroke(POINT, CORNERS[:1], "other", 6),
    ]
    scene = elevation().at_scale(20)
    marks = on_scene(strokes, scene)
    assert {mark.kind for mark in marks} <= set(PAPER_PEN)
    sheet = sheet_of(scene)
    svg = paper_svg(Sheet(sheet.left, sheet.top, "90", "90", [*sheet.marks, *marks]), "A window")
    assert "B·5" in svg
    assert "#9c1230" not in "".join(str(PAPER_PEN[mark.kind]) for mark in marks)


def test_a_sample_is_as_large_as_it_was_asked_for():
    marks = legend_sample(SIGNS[0], 30, 18)
    assert max(numbers(next(m.d for m in marks if m.kind == "damage-edge"))) == 30


def test_each_letter_has_its_pattern_for_a_printed_legend_and_no_other_has_one():
    samples = {sample_on_paper(sign.letter) for sign in SIGNS}
    assert len(samples) == len(SIGNS)
    assert all('width="6.6mm"' in sample for sample in samples)
    assert sample_on_paper("Z") == ""


# Typed.
def test_places_are_typed_in_lines_and_written_back_the_same():
    text = "120, 340\n0, 12.5"
    points = read_places(text, read_mm("mm"))
    assert points == (Point(120, 340), Point(0, 12.5))
    assert written_places(points, lambda mm: write_mm(mm, "mm")) == text


@pytest.mark.parametrize(
    ("text", "unit", "wanted"),
    [
        ("120 340", "mm", (120, 340)),
        ("12,5 40,2", "mm", (12.5, 40.2)),
        ("12,5, 40,2", "mm", (12.5, 40.2)),
        ("-3, 1.2 m", "mm", (-3, 1200)),
        ('12 3/8", 2\' 1"', "in", (314.325, 635)),
        ("12 1/2, 0", "in", (317.5, 0)),
        ("120 mm, 0 mm", "in", (120, 0)),
    ],
)
def test_a_place_is_read_in_the_units_of_its_user(text, unit, wanted):
    (point,) = read_places(text, read_mm(unit))
    assert point == pytest.approx(wanted)


@pytest.mark.parametrize("text", ["120", "1, 2, 3", "a, b", "1;2", "1" * 90, "1e9, 4", "\x00, 1"])
def test_what_is_no_place_is_refused_with_its_line(text):
    with pytest.raises(StrokeError, match="Place 2: "):
        read_places(f"1, 1\n{text}", read_mm("mm"))


def test_shares_run_from_nought_to_a_hundred():
    assert read_share("37.5 %") == 37.5
    for text in ("101", "-1", "x", "nan", ""):
        with pytest.raises(StrokeError):
            read_share(text)
    assert write_share(37.5) == "37.5"


def test_a_double_tap_is_one_place_and_an_outline_does_not_end_where_it_began():
    points = read_places("1, 1\n1, 1\n5, 5\n9, 1\n1, 1", read_mm("mm"))
    assert points == (Point(1, 1), Point(5, 5), Point(9, 1), Point(1, 1))
    assert without_repeats(points) == points[:3]


@pytest.mark.parametrize("mm", [-12.7, 0, 3.175, 25.4, 812.8])
def test_inches_are_written_as_they_are_read(mm):
    assert read_mm("in")(write_mm(mm, "in")) == pytest.approx(mm, abs=1e-6)


def test_lengths_and_areas_are_told_in_both_countries_units():
    assert length_words(486.2) == "486 mm"
    assert length_words(1243) == "1.24 m"
    assert length_words(498.475, inches=True) == "1' 7 5/8\""
    assert area_words(5200) == "52 cm²"
    assert area_words(140_000) == "0.14 m²"
    assert area_words(5226, inches=True) == "8.1 sq in"
    assert area_words(140_000, inches=True) == "1.51 sq ft"
    assert share_words(0.034) == "3.4 %"
