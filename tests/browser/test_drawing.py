"""The drawing of an opening used by keys and by thumb."""

import pytest

pytestmark = pytest.mark.browser

OPENINGS = """
from sites.models import Opening, VisitFolder
b = VisitFolder.objects.get().building
drawn = Opening.objects.filter(building=b, panels__isnull=False).distinct()
answer = [opening.get_absolute_url() for opening in drawn]
"""
SMALLEST = """() => Math.min(...[...document.querySelectorAll(".elevation-panel .elevation-pane")]
    .map((pane) => pane.getBoundingClientRect())
    .map((box) => Math.min(box.width, box.height)))"""
FOCUSED = "document.activeElement.getAttribute('aria-label')"


@pytest.fixture(scope="module")
def openings(demo) -> list[str]:
    found = demo.run(OPENINGS)
    assert found
    return found


def test_the_arrow_keys_move_from_panel_to_panel(openings, visit):
    page, moved = visit(1280), 0
    for address in openings:
        page.goto(address)
        panels = page.locator("svg.elevation .elevation-panel")
        if panels.count() < 2:
            continue
        panels.first.focus()
        start = panels.first.bounding_box()
        page.keyboard.press("ArrowUp")
        if page.evaluate(FOCUSED) == panels.first.get_attribute("aria-label"):
            continue
        reached = page.evaluate_handle("document.activeElement").as_element().bounding_box()
        assert reached["y"] < start["y"], address
        moved += 1
    assert moved > len(openings) / 2


def test_every_panel_can_be_hit_with_a_thumb_on_a_phone(openings, visit):
    page = visit(360)
    for address in openings:
        page.goto(address)
        larger = page.get_by_role("button", name="Larger")
        if larger.count():
            larger.click()
            assert larger.get_attribute("aria-pressed") == "true"
        assert page.evaluate(SMALLEST) >= 43.5, address
        assert page.evaluate("document.documentElement.scrollWidth") <= 360, address
