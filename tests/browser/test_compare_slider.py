"""Two photographs over each other: uncovered by the keyboard, and side by side without script."""

import pytest

pytestmark = pytest.mark.browser

PAGE = """
from django.urls import reverse
from condition.models import Finding
bow = Finding.objects.filter(continues__photographs__isnull=False, photographs__isnull=False)
answer = reverse('condition:photograph-compare', args=[bow.first().photographs.first().pk])
"""


def test_the_slider_uncovers_by_keyboard_and_can_be_left(demo, visit):
    page = visit(1280)
    page.goto(demo.run(PAGE))
    slider = page.get_by_role("slider", name="How much of the later photograph is uncovered")
    slider.focus()
    page.keyboard.press("End")
    later = page.locator(".slider-picture:last-child img")
    assert later.evaluate("image => getComputedStyle(image).clipPath") == "inset(0px 0% 0px 0px)"
    page.keyboard.press("Home")
    assert "100%" in later.evaluate("image => getComputedStyle(image).clipPath")
    boxes = [page.locator(".slider-picture img").nth(n).bounding_box() for n in (0, 1)]
    assert boxes[0]["x"] == boxes[1]["x"]
    page.get_by_role("button", name="Show them side by side").press("Enter")
    assert slider.is_hidden()
    boxes = [page.locator(".slider-picture img").nth(n).bounding_box() for n in (0, 1)]
    assert boxes[0]["x"] + boxes[0]["width"] <= boxes[1]["x"]
