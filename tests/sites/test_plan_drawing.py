"""The plan as it is drawn: to scale, turned to the liturgy, no label on another."""

import itertools
import re
from math import hypot, isclose

import pytest

from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import DANGER, PAPER, SCREEN, Badge, overlap
from sites.compute.drawing.svg import Link, page_svg, paper_svg
from sites.compute.plan.scene import Drawn, plan_scene
from sites.compute.plan.sheet import PLAN_PEN, PlanWords, plan_sheet
from sites.compute.plan.walls import OnWall
from tests.sites.plans import CRUCIFORM, ROUND, drawn, row

# A chapel as crowded as they come: forty openings, many dangerous, all near each other.
CROWDED = [
    row("N", "6 m", "wI, wII, wIII"),
    row("E", "12 m", ", ".join(f"nX{n}" for n in range(14))),
    row("S", "6 m", "I"),
    row("W", "12 m", ", ".join(f"sX{n}" for n in range(14))),
    row("E", "12 m", ", ".join(f"N{n}" for n in range(2, 7)), start="0; 4 m"),
    row("W", "12 m", ", ".join(f"S{n}" for n in range(2, 5)), start="12 m; 2 m"),
]
PLANS = {"cruciform": CRUCIFORM, "round": ROUND, "crowded": CROWDED}
LYING, STANDING = Room(760, 460), Room(320, 900)


def scene_of(rows, room=LYING, hand=SCREEN, **more):
    walls, placed = drawn(rows)
    badges = {0: Badge(DANGER), 1: Badge("class", 2), 2: None}
    asked = [
        Drawn(OnWall(each.key, each.wall.key, each.along, each.level), each.key, 900, badges[n % 3])
        for n, each in enumerate(placed)
    ]
    return plan_scene(walls, asked, hand, room, **more)


@pytest.mark.parametrize("plan", PLANS)
@pytest.mark.parametrize(
    ("room", "hand", "up"),
    [(LYING, SCREEN, False), (STANDING, SCREEN, True), (Room(170, 120), PAPER, False)],
)
def test_no_label_lies_on_another_or_on_a_wall(plan, room, hand, up):
    scene = scene_of(PLANS[plan], room, hand, east_up=up)
    labels = [each.label.box for each in scene.openings]
    assert len(labels) == len(drawn(PLANS[plan])[1])
    for n, box in enumerate(labels):
        assert not any(overlap(box, other) for other in labels[:n])
        assert not any(_crosses(line, box) for line, _ in scene.walls)


def _crosses(line, box):
    for start, end in itertools.pairwise(line):
        steps = max(1, int(hypot(end.x - start.x, end.y - start.y) / 50))
        for n in range(steps + 1):
            x = start.x + (end.x - start.x) * n / steps
            y = start.y + (end.y - start.y) * n / steps
            if box.left < x < box.right and box.bottom < y < box.top:
                return True
    return False


@pytest.mark.parametrize("plan", ["cruciform", "round"])
@pytest.mark.parametrize(("room", "up"), [(LYING, False), (STANDING, True)])
def test_the_plan_fits_its_room_and_is_whole_within_its_view(plan, room, up):
    scene = scene_of(PLANS[plan], room, east_up=up)
    assert scene.box.width / scene.mm_per_unit <= room.width * 1.02
    assert scene.box.height / scene.mm_per_unit <= room.height * 1.02
    for each in scene.openings:
        box = each.label.box
        assert scene.box.left <= box.left
        assert box.right <= scene.box.right
        assert scene.box.bottom <= box.bottom
        assert box.top <= scene.box.top


def test_walls_and_gaps_are_to_scale():
    scene = scene_of(CRUCIFORM)
    xs = [at.x for line, upper in scene.walls if not upper for at in line]
    assert isclose(max(xs) - min(xs), 42000)
    for each in scene.openings:
        assert isclose(hypot(each.gap[-1].x - each.gap[0].x, each.gap[-1].y - each.gap[0].y), 900)


@pytest.mark.parametrize(("east", "north"), [(None, 0), (90.0, 0), (225.0, -135), (180.0, -90)])
def test_liturgical_east_points_right_and_the_arrow_to_the_compass_s_north(east, north):
    scene = scene_of(CRUCIFORM, east=east)
    assert scene.north == north
    standing = scene_of(CRUCIFORM, STANDING, east=east, east_up=True)
    assert standing.north == north - 90


def test_a_plan_turned_with_its_east_looks_the_same():
    plain, turned = scene_of(CRUCIFORM), scene_of(CRUCIFORM, east=90.0)
    assert plain == turned


def test_a_clerestory_s_line_is_marked_and_upper_openings_in_a_lower_wall_are_bracketed():
    scene = scene_of([row("N", "8 m", "wI"), row("E", "24 m", "nII, NII"), row("S", "8 m", "I"),
                      row("W", "24 m", "SII")])  # fmt: skip
    assert {each.number: each.label.text for each in scene.openings} == {
        "wI": "wI", "nII": "nII", "NII": "(NII)", "I": "I", "SII": "SII",
    }  # fmt: skip
    assert [upper for _, upper in scene.walls].count(True) == 1


def test_without_a_wall_there_is_no_drawing():
    assert plan_scene([], [], SCREEN, LYING) is None


def test_an_opening_on_no_wall_is_listed():
    walls, _ = drawn(ROUND)
    scene = plan_scene(walls, [Drawn(OnWall("k", "None"), "sIX")], SCREEN, LYING)
    assert scene.unplaced == ("sIX",)


def test_on_a_page_every_opening_is_a_named_link():
    scene = scene_of(CRUCIFORM)
    links = {
        each.key: Link(f"/o/{each.key}", f"Opening {each.key}", each.key, "plan-opening")
        for each in scene.openings
    }
    svg = page_svg(plan_sheet(scene, PlanWords(), least_width=760), "Plan", links)
    assert svg.count("<a ") == len(scene.openings)
    assert 'aria-label="Opening nII"' in svg
    assert "liturgical east" in svg
    assert ">5 m<" in svg


def test_on_paper_every_mark_has_its_looks_and_the_scale_bar_measures():
    scene = scene_of(CRUCIFORM, Room(170, 120), PAPER)
    sheet = plan_sheet(scene, PlanWords())
    svg = paper_svg(sheet, "Plan", PLAN_PEN)
    assert "class=" not in svg
    bar = next(mark for mark in sheet.marks if mark.kind == "scale-line")
    length = float(re.search(r"h([\d.]+)", bar.d)[1])
    label = next(mark.text for mark in sheet.marks if mark.kind == "scale-words")
    assert abs(length * scene.mm_per_unit - float(label.split()[0]) * 1000) < scene.mm_per_unit
    assert float(sheet.width) <= 175


def test_thumbs_have_room_that_belongs_to_no_other_opening():
    scene = scene_of(CRUCIFORM, STANDING, east_up=True)
    touches = [each.touch for each in scene.openings]
    for n, box in enumerate(touches):
        assert not any(overlap(box, other) for other in touches[:n])
        assert min(box.width, box.height) / scene.mm_per_unit >= 10
