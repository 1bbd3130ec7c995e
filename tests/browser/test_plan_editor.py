"""The plan traced over a picture in a real browser: tap, set the scale, save, come back."""

import re
from io import BytesIO

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image, ImageDraw
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser
BUILDING = """
from django.urls import reverse
from sites.models import Building, VisitFolder
studio = VisitFolder.objects.get().building.studio
b = Building(studio=studio, name='Chapel of {name}', place='Tamarack Weir')
b.save()
answer = reverse('sites:plan-edit', args=[b.pk])
"""
WALLS = """
from sites.services.plan import walls_of
from sites.models import Building
walls = walls_of(Building.objects.get(name='Chapel of {name}'))
answer = [[round(w.start.x), round(w.start.y), round(w.end.x), round(w.end.y)] for w in walls]
"""
# Of the drawn walls of 20 m by 8 m, on a picture of 1000 by 600 px: 25 mm to a pixel.
CORNERS = ((100, 420), (100, 100), (900, 100), (900, 420))


def drawn_plan() -> bytes:
    image = Image.new("RGB", (1000, 600), "white")
    ImageDraw.Draw(image).line([*CORNERS, CORNERS[0]], fill="black", width=6)
    file = BytesIO()
    image.save(file, "PNG")
    return file.getvalue()


class Tracer:
    """Taps on the picture at its own pixels."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def lay(self, top: str = "north") -> None:
        file = {"name": "plan.png", "mimeType": "image/png", "buffer": drawn_plan()}
        self.page.get_by_label("Picture of the plan").set_input_files(file)
        self.page.get_by_label("The top of the picture faces").select_option(label=top)
        self.page.get_by_role("button", name="Lay it under the plan").click()
        expect(self.page.locator(".plan-tools")).to_be_enabled()

    def tap(self, x: float, y: float) -> None:
        picture = self.page.locator(".plan-picture svg")
        picture.scroll_into_view_if_needed()
        box = picture.bounding_box()
        scale = box["width"] / 1000
        picture.click(position={"x": x * scale, "y": y * scale})

    def rectangle(self) -> None:
        for x, y in CORNERS:
            self.tap(x, y)
        # A little beside the first corner: it snaps to it.
        self.tap(CORNERS[0][0] + 4, CORNERS[0][1] - 3)

    def set_scale(self, wall: int, metres: str) -> None:
        tools = self.page.locator(".plan-tools")
        tools.get_by_label("Wall", exact=True).fill(str(wall))
        tools.get_by_label("is, in metres").fill(metres)
        tools.get_by_role("button", name="Set the scale").click()

    def box(self, column: str, wall: int) -> Locator:
        return self.page.locator(f"#{column}-{wall}")

    def save(self) -> None:
        self.page.get_by_role("button", name="Save the plan").click()
        expect(self.page.locator("main")).to_contain_text("The plan is saved.")


@pytest.fixture
def traced(demo, visit):
    """A function that opens a new building's plan with the picture laid under it."""

    def begin(name: str, width: int = 1280, top: str = "north", listen: bool = True) -> Tracer:
        page = visit(width, listen=listen)
        page.goto(demo.run(BUILDING.format(name=name)))
        tracer = Tracer(page)
        tracer.lay(top)
        return tracer

    return begin


def lengths(walls: list[list[int]]) -> list[int]:
    return [abs(x2 - x1) + abs(y2 - y1) for x1, y1, x2, y2 in walls]


@pytest.mark.parametrize("width", [360, 1280])
def test_a_rectangle_traced_and_scaled_is_saved_with_its_true_lengths(demo, traced, width):
    name = f"traced {width}"
    tracer = traced(name, width)
    address = tracer.page.url
    tracer.rectangle()
    expect(tracer.page.locator(".plan-said")).to_contain_text("a guess until you set the scale")
    tracer.set_scale(2, "20")
    expect(tracer.box("length", 2)).to_have_value("20000 mm")
    tracer.save()
    walls = demo.run(WALLS.format(name=name))
    # A tap on a picture of 300 px for 1000 is good to a few of its pixels.
    within = 130 if width == 360 else 40
    assert lengths(walls) == [pytest.approx(mm, abs=within) for mm in (8000, 20000, 8000, 20000)]
    (x1, y1, *_), (*_, x2, y2) = walls[0], walls[-1]
    assert abs(x2 - x1) + abs(y2 - y1) <= 10
    tracer.page.goto(address)
    expect(tracer.page.locator(".plan-picture polyline")).to_have_count(4)
    first = tracer.page.locator(".plan-picture polyline").first.get_attribute("points")
    x, y = map(float, re.split("[ ,]", first)[:2])
    assert (x, y) == (pytest.approx(100, abs=3), pytest.approx(420, abs=3))


def test_a_scale_set_after_coming_back_stretches_what_was_traced(demo, traced):
    tracer = traced("come back")
    address = tracer.page.url
    tracer.rectangle()
    tracer.save()
    tracer.page.goto(address)
    tracer.set_scale(2, "20")
    expect(tracer.box("length", 1)).to_have_value(re.compile(r"(79|80)\d\d mm"))
    expect(tracer.box("length", 2)).to_have_value("20000 mm")
    tracer.save()
    walls = demo.run(WALLS.format(name="come back"))
    assert lengths(walls) == [pytest.approx(mm, abs=40) for mm in (8000, 20000, 8000, 20000)]
    assert walls[0][:2] == [pytest.approx(2500, abs=60), pytest.approx(-10500, abs=60)]


def test_walls_tapped_while_an_older_answer_is_on_its_way_join(demo, traced):
    tracer = traced("fast taps")
    page = tracer.page
    held = []

    def hold(route) -> None:
        if held:
            route.continue_()
        else:
            held.append(route)

    page.route("**/plan/preview/", hold)
    for x, y in CORNERS[:3]:
        tracer.tap(x, y)
    assert len(held) == 1
    with page.expect_response("**/plan/preview/"):
        held[0].continue_()
    tracer.tap(*CORNERS[3])
    expect(tracer.box("direction", 3)).to_have_value(re.compile(r"1(79|80)\.\d\d"))
    tracer.set_scale(2, "20")
    tracer.save()
    walls = demo.run(WALLS.format(name="fast taps"))
    assert lengths(walls) == [pytest.approx(mm, abs=40) for mm in (8000, 20000, 8000)]


def test_taps_and_the_scale_are_taken_back_one_by_one(traced):
    tracer = traced("undo")
    undo = tracer.page.get_by_role("button", name="Undo the last tap")
    expect(undo).to_be_disabled()
    for x, y in CORNERS[:3]:
        tracer.tap(x, y)
    before = tracer.box("length", 2).input_value()
    tracer.set_scale(2, "20")
    undo.click()
    expect(tracer.box("length", 2)).to_have_value(before)
    assert tracer.page.locator("[name=mm_per_px]").input_value() == ""
    undo.click()
    expect(tracer.box("length", 2)).to_have_value("")
    expect(tracer.page.locator(".plan-picture polyline")).to_have_count(1)
    expect(tracer.page.locator(".plan-preview-room svg").first).to_be_visible()
    undo.click()
    undo.click()
    expect(undo).to_be_disabled()
    expect(tracer.page.locator(".plan-picture polyline")).to_have_count(0)


def test_a_picture_whose_top_faces_east_is_turned(traced):
    tracer = traced("turned", top="east")
    picture = tracer.page.locator(".plan-picture img")
    assert (picture.get_attribute("width"), picture.get_attribute("height")) == ("600", "1000")
    expect(tracer.page.locator("#trace")).to_contain_text("The top of the picture is taken for")


def test_the_whole_plan_is_taken_away_once_confirmed(demo, traced):
    tracer = traced("taken away")
    address = tracer.page.url
    for x, y in CORNERS:
        tracer.tap(x, y)
    tracer.save()
    tracer.page.goto(address)
    tracer.page.get_by_text("Take the whole plan away").click()
    tracer.page.get_by_role("button", name="Yes, take all walls away").click()
    expect(tracer.page.locator("main")).to_contain_text("The plan is taken away")
    assert demo.run(WALLS.format(name="taken away")) == []


@pytest.mark.parametrize("width", [360, 1280])
def test_the_traced_plan_is_accessible(traced, width):
    tracer = traced(f"accessible {width}", width, listen=False)
    for x, y in CORNERS[:3]:
        tracer.tap(x, y)
    found = [
        f"{violation['id']}: {node['target']}"
        for violation in Axe().run(tracer.page).response["violations"]
        for node in violation["nodes"][:3]
    ]
    assert found == []
    assert tracer.page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
