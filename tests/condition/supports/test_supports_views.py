"""The wind at a building and the supports of an opening, as pages."""

from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.urls import reverse

from condition.models import WindSite
from condition.services.supports import supports_of
from sites.models import Bar
from tests.factories import OpeningFactory, PanelFactory

TYPED = {
    "code": "ASCE 7-16",
    "basic_speed": "115",
    "speed_source": "County wind map of 2020",
    "terrain": "B",
    "reference_height": "9144",
    "ground_factor": "1",
    "direction_factor": "0.85",
    "pressure_coefficient": "-1.28",
}


@pytest.fixture
def window(building):
    """An opening of two even lights, with a described saddle bar and a T-bar nobody measured."""
    opening = OpeningFactory(
        building=building,
        number="nII",
        width_typed="1200",
        width_mm=1200,
        height_typed="1400",
        height_mm=1400,
        head="rectangle",
        lights=2,
    )
    for number in ("1a", "2a", "1b", "2b"):
        PanelFactory(opening=opening, number=number)
    bar = Bar.objects.create(
        opening=opening,
        kind="saddle bar",
        height_typed="350",
        height_mm=350,
        section="round",
        width_typed='3/8"',
        width_mm=Decimal("9.525"),
        material="steel",
    )
    tee = Bar.objects.create(opening=opening, kind="T-bar", height_typed="700", height_mm=700)
    return SimpleNamespace(opening=opening, bar=bar, tee=tee)


def wind_at(building, **changed) -> WindSite:
    fields = {
        "code": "EN 1991-1-4",
        "basic_speed": Decimal(26),
        "speed_source": "National annex, read by A. Surveyor",
        "terrain": "III",
        "reference_height_typed": "12 m",
        "reference_height_mm": Decimal(12000),
        "pressure_coefficient": Decimal("1.3"),
    }
    return WindSite.objects.create(building=building, **{**fields, **changed})


def supports_url(opening) -> str:
    return reverse("condition:opening-supports", args=[opening.pk])


def wind_url(building) -> str:
    return reverse("condition:wind-site", args=[building.pk])


def test_what_is_missing_is_named_with_the_way_to_type_it(owner, building, window):
    page = owner.get(supports_url(window.opening)).content.decode()
    assert "The wind at the building is not recorded" in page
    assert "Not recorded: the wind at the building, its section" in page
    assert reverse("sites:opening-draw", args=[window.opening.pk]) in page
    assert f"{wind_url(building)}?opening={window.opening.pk}" in page
    assert "L/" not in page.split("What this leaves out")[0].replace("L/175", "")


def test_a_described_bar_is_reckoned_and_opens_to_its_working(owner, building, window):
    wind_at(building)
    page = owner.get(supports_url(window.opening)).content.decode()
    told = supports_of(window.opening)
    bending = told.bars[0].check.bending
    assert told.bars[0].check.facts.span_mm == pytest.approx(600)
    assert "no mullion is recorded: reckoned as if there were none" in page
    assert told.bars[0].check.facts.carried_mm == pytest.approx(350)
    assert f"L/{bending.span_over_deflection:.0f}" in page
    assert f"{bending.deflection_mm:.1f} mm" in page
    assert "5 × w × L⁴ ÷ (384 × E × I)" in page
    assert "ends held fast" in page
    assert "licensed engineer" in page
    assert "protective glazing and anything else" in page


def test_a_reader_sees_it_without_the_ways_to_change_it(reader, building, window):
    wind_at(building)
    page = reader.get(supports_url(window.opening)).content.decode()
    assert "Type it in the drawing" not in page
    told = reader.get(wind_url(building)).content.decode()
    assert "on the panels of this building" in told
    assert "Save the wind" not in told


def test_the_wind_is_typed_and_leads_back_to_the_opening(owner, building, window):
    response = owner.post(f"{wind_url(building)}?opening={window.opening.pk}", TYPED)
    assert response.status_code == 302
    assert response.url == supports_url(window.opening)
    site = WindSite.objects.get(building=building)
    assert (site.code, site.basic_speed, site.terrain) == ("ASCE 7-16", 115, "B")
    assert "on the panels of this building" in owner.get(wind_url(building)).content.decode()


def test_a_net_coefficient_is_chosen_and_never_taken_over(owner, building):
    page = owner.get(wind_url(building)).content.decode()
    box = page[page.index('name="pressure_coefficient"') :]
    assert 'value="1"' not in box[: box.index(">")]
    assert "near a corner" in page


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"terrain": "II"}, "The terrain must be one of the code chosen."),
        ({"pressure_coefficient": "0"}, "A net coefficient is not 0"),
        ({"pressure_coefficient": "NaN"}, "is not a number."),
        ({"basic_speed": "25"}, "looks like metres a second"),
        ({"code": "EN 1991-1-4", "terrain": "II"}, "looks like miles an hour"),
        ({"basic_speed": "-4"}, "0"),
        ({"reference_height": ""}, "This must be filled in."),
        ({"reference_height": "nine yards"}, "nine yards"),
        ({"ground_factor": "0"}, "factor"),
        ({"speed_source": "\x00"}, "Null characters"),
    ],
)
def test_bad_wind_comes_back_with_what_was_typed(owner, building, change, words):
    response = owner.post(wind_url(building), {**TYPED, **change})
    page = response.content.decode()
    assert response.status_code == 422
    assert words in page
    assert "County wind map of 2020" in page or "speed_source" in change
    assert not WindSite.objects.exists()


def test_another_building_s_opening_does_not_lead_anywhere(owner, building):
    elsewhere = OpeningFactory()
    for odd in (str(elsewhere.pk), "nothing"):
        response = owner.post(f"{wind_url(building)}?opening={odd}", TYPED)
        assert response.url == wind_url(building)


def test_an_opening_without_sizes_says_so_and_reckons_nothing(owner, building):
    opening = OpeningFactory(building=building, width_mm=None, height_mm=None)
    Bar.objects.create(opening=opening, height_typed="350", height_mm=350)
    wind_at(building)
    page = owner.get(supports_url(opening)).content.decode()
    assert "the width and the height of the opening" in page
    assert supports_of(opening).reckoned == []


def test_an_opening_without_bars_says_what_to_do(owner, building):
    page = owner.get(supports_url(OpeningFactory(building=building))).content.decode()
    assert "No bar is recorded. Put the bars" in page


def test_the_pages_of_opening_panel_and_building_lead_there(owner, building, window):
    panel = window.opening.panels.get(number="2a")
    for page in (window.opening.get_absolute_url(), reverse("sites:panel", args=[panel.pk])):
        assert supports_url(window.opening) in owner.get(page).content.decode()
    assert wind_url(building) in owner.get(building.get_absolute_url()).content.decode()
    told = owner.get(reverse("sites:panel", args=[panel.pk])).content.decode()
    assert "Stands on: 2: T-bar, 700 mm" in told


def test_the_page_asks_the_database_as_often_for_many_bars(owner, building, window, count_queries):
    url = supports_url(window.opening)
    few = count_queries(lambda: owner.get(url))
    for height in range(100, 1300, 50):
        Bar.objects.get_or_create(
            opening=window.opening, height_mm=height, defaults={"height_typed": str(height)}
        )
    assert count_queries(lambda: owner.get(url)) == few
