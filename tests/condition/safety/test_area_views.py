"""The areas of a building that can be closed: named beforehand, renamed."""

import pytest
from django.urls import reverse

from condition.models import Area
from tests.condition.safety.dangers import WORDS, known_danger, unprinted_notice


def words(response) -> str:
    return " ".join(response.content.decode().split())


@pytest.fixture
def here(building) -> str:
    return reverse("condition:areas", args=[building.pk])


def test_an_area_is_added_once_and_stands_on_the_building_page(surveyor, building, here):
    posted = {"name": "The  south porch", "key": "018f0000-0000-7000-8000-000000000001"}
    assert surveyor.post(here, posted)["Location"] == here
    assert surveyor.post(here, posted)["Location"] == here
    assert building.areas.get().name == "The south porch"
    assert "The south porch" in words(surveyor.get(building.get_absolute_url()))


@pytest.mark.parametrize("name", ["", " ", "THE SOUTH PORCH", "x" * 241])
def test_an_area_without_a_name_of_its_own_is_sent_back(surveyor, building, here, name):
    Area.objects.create(building=building, name="The south porch")
    assert surveyor.post(here, {"name": name}).status_code == 422
    assert building.areas.count() == 1


def test_a_renamed_area_stays_closed_and_the_notice_keeps_its_words(
    surveyor, building, people, files, here
):
    danger = known_danger(building)
    notice = unprinted_notice(danger, people["surveyor"])
    area = building.areas.get()
    assert "Closed" in words(surveyor.get(here))
    answer = surveyor.post(reverse("condition:area-edit", args=[area.pk]), {"name": "Front pews"})
    assert answer["Location"] == here
    assert "Front pews" in words(surveyor.get(danger.opening.get_absolute_url()))
    notice.refresh_from_db()
    assert notice.snapshot["made_safe"]["area"] == WORDS.new_area
