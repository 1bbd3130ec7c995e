"""The way to a danger that was reported: from the building's page and from Today."""

from django.urls import reverse

from condition.models import Danger
from tests.factories import BuildingFactory, FindingKindFactory, MembershipFactory


def words(response) -> str:
    return " ".join(response.content.decode().split())


def test_the_building_page_and_today_lead_a_surveyor_to_it(surveyor, building):
    add = reverse("condition:danger-add", args=[building.pk])
    assert add in words(surveyor.get(building.get_absolute_url()))
    where = reverse("condition:danger-where")
    assert where in words(surveyor.get(reverse("today")))
    assert surveyor.get(where)["Location"] == add


def test_who_may_not_survey_is_not_led_there(reader, building):
    assert "A danger was reported" not in words(reader.get(building.get_absolute_url()))
    assert reverse("condition:danger-where") not in words(reader.get(reverse("today")))
    assert "There is no building here" in words(reader.get(reverse("condition:danger-where")))


def test_with_several_buildings_the_page_asks_which(surveyor, people, building):
    other = BuildingFactory(studio=building.studio, name="St Swithun")
    MembershipFactory(user=people["surveyor"], building=other, role="surveyor")
    page = words(surveyor.get(reverse("condition:danger-where")))
    for each in (building, other):
        assert reverse("condition:danger-add", args=[each.pk]) in page


def test_a_danger_told_by_telephone_stands_open_without_a_survey(surveyor, building):
    kind = FindingKindFactory(studio=building.studio)
    posted = {
        "key": "018f0000-0000-7000-8000-000000000001",
        "source": "telephone",
        "kind": str(kind.pk),
        "what": "Sheet over the south door",
        "side": "outside",
        "opened_on": "2026-05-12",
        "answer": "now",
    }
    surveyor.post(reverse("condition:danger-add", args=[building.pk]), posted)
    danger = Danger.objects.with_facts().get()
    assert danger.state_on().is_dangerous
    assert not danger.findings.exists()
    assert "Sheet over the south door" in words(surveyor.get(building.get_absolute_url()))
