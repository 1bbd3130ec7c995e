"""The window editor in a real browser: few actions, a drawing that follows, room for a thumb."""

import re

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Locator, Page, expect

pytestmark = pytest.mark.browser
MOST_ACTIONS = 60
SMALLEST_TARGET = 44
PLACES = """
from django.urls import reverse
from sites.models import Opening, VisitFolder
b = VisitFolder.objects.get().building
answer = reverse('sites:opening-draw-new', args=[b.pk])
"""
SAVED = """
from sites.models import Opening
o = Opening.objects.get(number='{number}')
answer = [
    o.lights, o.panels.filter(shape='').count(), o.panels.exclude(shape='').count(),
    o.attached_items.count(), o.bars.count(),
    [i.panel.number if i.panel else '' for i in o.attached_items.order_by('number')],
]
"""


class Hand:
    """Does what a glazier does, and counts: a click, a tap, a choice and a filled box are one."""

    def __init__(self, page: Page) -> None:
        self.page, self.actions = page, 0

    def fill(self, label: str, text: str) -> None:
        box = self.page.locator("main").get_by_label(re.compile(f"^{re.escape(label)}"))
        self.fill_box(box.first, text)

    def fill_box(self, box: Locator, text: str) -> None:
        box.fill(text)
        self.actions += 1

    def press(self, name: str) -> None:
        self.page.locator("main").get_by_role("button", name=name, exact=True).click()
        self.actions += 1

    def pick(self, picture: str) -> None:
        self.page.locator("label.draw-head", has_text=picture).click()
        self.actions += 1

    def choose(self, label: str, option: str) -> None:
        self.page.get_by_label(label, exact=True).select_option(label=option)
        self.actions += 1

    def tap(self, across: float, down: float) -> None:
        """Tap the drawing at a share of its width and of its height."""
        box = self.page.locator(".draw-surface svg").bounding_box()
        self.page.mouse.click(box["x"] + box["width"] * across, box["y"] + box["height"] * down)
        self.actions += 1


def said(page: Page) -> Locator:
    return page.locator("[data-said]")


def outline(hand: Hand, number: str) -> None:
    hand.fill("Number", number)
    hand.pick("Two-centred")
    for label, text in (
        ("Width (span)", "2400"),
        ("Height", "4200"),
        ("Springing above the sill", "2400"),
        ("Lights", "4"),
        ("Mullion width", "120"),
    ):
        hand.fill(label, text)


@pytest.fixture
def place(demo) -> str:
    return demo.run(PLACES)


@pytest.mark.parametrize("width", [360, 1280])
def test_a_four_light_window_with_tracery_and_plaques_in_under_60_actions(
    demo, visit, place, width
):
    page, number = visit(width), f"nX{width}"
    page.goto(place)
    hand = Hand(page)
    outline(hand, number)
    hand.fill("Rows of panels", "6")
    hand.fill("Saddle bars every", "700")
    hand.fill("Tracery lights", "5")
    hand.choose("Their shape", "Foils within a circle")
    expect(said(page)).to_contain_text("24 panels, 5 tracery lights")
    for n, across in enumerate((0.25, 0.5, 0.75)):
        hand.press("Place a plaque")
        hand.tap(across, 0.86)
        row = page.locator(f'[data-row="plaque-{n}"]').locator("visible=true").last
        expect(page.locator(f"#id_plaque-{n}-width")).to_be_focused()
        expect(row).to_be_attached()
        hand.fill_box(page.locator(f"#id_plaque-{n}-width"), "300")
        hand.fill_box(page.locator(f"#id_plaque-{n}-height"), "120")
        hand.fill_box(page.locator(f"#id_plaque-{n}-inscription"), "In loving memory")
    hand.press("Save the window")
    expect(page.locator("main")).to_contain_text("The window is saved")
    assert hand.actions < MOST_ACTIONS
    lights, panels, tracery, items, _bars, on = demo.run(SAVED.format(number=number))
    assert (lights, panels, tracery, items) == (4, 24, 5, 3)
    assert all(re.fullmatch("[12][a-d]", panel) or panel == "" for panel in on)


def test_a_bar_follows_the_finger_and_the_arrows_and_its_box_follows_it(visit, place):
    page = visit(1280)
    page.goto(place)
    hand = Hand(page)
    outline(hand, "nXI")
    hand.fill("Rows of panels", "3")
    expect(said(page)).to_contain_text("12 panels")
    box = page.locator("#id_bar-0-height")
    expect(box).to_have_value("2800")
    knob = page.locator('.draw-handle[data-row="bar-0"] .draw-knob').bounding_box()
    x, y = knob["x"] + knob["width"] / 2, knob["y"] + knob["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y + 25, steps=4)
    page.mouse.up()
    dragged = int(box.input_value())
    assert dragged < 2780
    assert dragged % 5 == 0
    held = page.locator('.draw-handle[data-row="bar-0"]')
    expect(held).to_be_focused()
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowUp")
    expect(box).to_have_value(str(dragged + 11))
    expect(held).to_have_attribute("aria-valuetext", str(dragged + 11))
    expect(page.locator('.draw-handle[data-row="bar-0"][transform]')).to_have_count(0)
    expect(held).to_be_focused()


def test_a_wrong_measurement_is_said_beside_its_box_and_the_last_drawing_stays(visit, place):
    page = visit(1280)
    page.goto(place)
    outline(Hand(page), "nXII")
    expect(said(page)).to_contain_text("4 lights")
    springing = page.locator("#id_springing")
    springing.fill("4300")
    wrong = page.locator("#id_springing_error")
    expect(wrong).to_contain_text("springing")
    expect(springing).to_have_attribute("aria-invalid", "true")
    expect(page.locator(".draw-board[data-stale] svg.elevation")).to_be_visible()
    assert page.locator("#id_width").input_value() == "2400"
    springing.fill("2400")
    expect(wrong).to_have_count(0)
    expect(page.locator(".draw-board[data-stale]")).to_have_count(0)


def test_the_keyboard_alone_places_a_plaque_and_moves_it(visit, place):
    page = visit(1280)
    page.goto(place)
    outline(Hand(page), "nXIII")
    expect(said(page)).to_contain_text("4 lights")
    page.get_by_role("button", name="Place a plaque").focus()
    page.keyboard.press("Enter")
    expect(page.locator("#id_plaque-0-width")).to_be_focused()
    expect(page.locator("#id_plaque-0-x")).to_have_value("1200")
    page.locator('.draw-handle[data-row="plaque-0"]').focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowDown")
    expect(page.locator("#id_plaque-0-x")).to_have_value("1210")
    expect(page.locator("#id_plaque-0-y")).to_have_value("410")


def test_at_360_px_the_drawing_stays_in_view_and_targets_suit_a_thumb(visit, place):
    page = visit(360)
    page.goto(place)
    hand = Hand(page)
    outline(hand, "nXIV")
    hand.fill("Rows of panels", "4")
    expect(said(page)).to_contain_text("16 panels")
    page.get_by_role("button", name="Save the window").scroll_into_view_if_needed()
    box = page.locator(".draw-surface svg").bounding_box()
    assert box["y"] >= 0
    assert box["y"] + box["height"] < 800 * 0.6
    small = page.evaluate(
        """least => [...document.querySelectorAll("form.draw :is(button, select, summary,"
            + " input:not([type=hidden], [type=radio], [type=checkbox]), label.draw-head)")]
            .map(part => [part.id || part.textContent.trim(), part.getBoundingClientRect()])
            .filter(([, box]) => box.width && (box.height < least || box.width < least))
            .map(([name]) => name)""",
        SMALLEST_TARGET,
    )
    assert small == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_the_editor_with_everything_on_it_is_accessible(visit, place, width, scheme):
    page = visit(width, scheme, listen=False)
    page.goto(place)
    hand = Hand(page)
    outline(hand, "nXV")
    hand.fill("Rows of panels", "3")
    hand.fill("Tracery lights", "3")
    hand.fill("Springing above the sill", "2300")
    expect(said(page)).to_contain_text("3 tracery lights")
    hand.press("Place a plaque")
    hand.tap(0.5, 0.8)
    expect(page.locator("#id_plaque-0-width")).to_be_focused()
    page.locator("#id_mullion").fill("none")
    expect(page.locator("#id_mullion_error")).to_be_visible()
    found = [
        f"{violation['id']}: {node['target']}"
        for violation in Axe().run(page).response["violations"]
        for node in violation["nodes"][:3]
    ]
    assert found == []
    assert page.evaluate("document.documentElement.scrollWidth - innerWidth") <= 0
