"""Drawing where a finding lies and placing a photograph's corners, by mouse and by keys."""

import pytest

pytestmark = pytest.mark.browser

PAGES = """
from django.urls import reverse
from condition.models import Finding
finding = Finding.objects.filter(
    opening__width_mm__isnull=False, panel__isnull=False, photographs__isnull=False
).first()
photograph = finding.photographs.first()
answer = {
    'marks': reverse('condition:finding-marks', args=[finding.pk]) + '?from=inside',
    'photograph': f"{reverse('condition:finding-marks', args=[finding.pk])}?on={photograph.pk}",
    'scale': reverse('condition:photograph-scale', args=[photograph.pk]),
}
"""


@pytest.fixture
def pages(demo):
    return demo.run(PAGES)


def tap(page, *places):
    box = page.locator(".mark-surface svg").bounding_box()
    for across, down in places:
        page.mouse.click(box["x"] + box["width"] * across, box["y"] + box["height"] * down)


def places_of(page):
    lines = page.get_by_label("Places").input_value().splitlines()
    return [tuple(float(part) for part in line.split(",")) for line in lines]


def test_a_finding_is_drawn_and_then_measured_on_its_photograph(visit, pages):
    page = visit()
    page.goto(pages["marks"])
    page.get_by_label("Line", exact=True).check()
    tap(page, (0.4, 0.7), (0.42, 0.6))
    assert page.locator("[data-magnifier]").is_visible()
    (first, second) = places_of(page)
    assert second[0] > first[0]
    assert second[1] > first[1]
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowRight")
    (_, moved) = places_of(page)
    assert moved[1] > second[1]
    page.get_by_role("button", name="Take back the last").click()
    assert places_of(page) == [first]
    tap(page, (0.42, 0.6))
    page.get_by_role("button", name="Add the mark").click()
    assert page.get_by_text("The mark is drawn.").is_visible()
    page.goto(pages["scale"])
    tap(page, (0.2, 0.85), (0.8, 0.8), (0.78, 0.2), (0.22, 0.15))
    assert page.get_by_text("All four are placed.").is_visible()
    page.get_by_label("Width between the corners").fill("500")
    page.get_by_label("Height between the corners").fill("400")
    page.get_by_role("button", name="Save the points").click()
    straight = page.get_by_alt_text("The photograph straightened")
    assert straight.evaluate("image => image.decode().then(() => image.naturalWidth)") > 100
    page.goto(pages["photograph"])
    page.get_by_label("Line", exact=True).check()
    tap(page, (0.3, 0.5), (0.6, 0.5))
    page.get_by_role("button", name="Add the mark").click()
    page.get_by_role("button", name="Use the length").click()
    page.get_by_text("How the extent was measured").click()
    assert page.get_by_text("The lengths of the lines drawn").is_visible()
