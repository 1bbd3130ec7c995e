"""The page of figures, and putting the studio's own in place of one."""

import pytest
from django.urls import reverse

from sites.models import StudioFigure

LIST = "/studio/figures/"
THICKNESS = "/studio/figures/glass.thickness/"


def test_the_list_shows_the_usual_value_its_source_and_the_studios_own(studio_owner, building):
    StudioFigure.objects.create(
        studio=building.studio, key="glass.thickness", value="3.5", source="rubbing of 2 May"
    )
    page = studio_owner.get(LIST).content.decode()
    assert "Thickness of glass where it is not measured" in page
    assert "no published source" in page
    assert "3.5 mm" in page
    assert "rubbing of 2 May" in page
    assert "EN 572-1" in page
    assert "competent person" in page


def test_an_own_figure_is_saved_shown_and_given_up_again(studio_owner, building):
    page = studio_owner.get(THICKNESS).content.decode()
    assert "no published source" in page
    assert "Go back" not in page
    answer = studio_owner.post(THICKNESS, {"value": "4.20", "source": "gauge, north aisle"})
    assert answer["Location"] == f"{LIST}#glass.thickness"
    own = building.studio.figures.get()
    assert (own.key, str(own.value), own.source) == (
        "glass.thickness",
        "4.200000",
        "gauge, north aisle",
    )
    page = studio_owner.get(THICKNESS).content.decode()
    assert 'value="4.2"' in page
    assert "Go back" in page
    studio_owner.post(THICKNESS, {"value": "4.5", "source": ""})
    assert building.studio.figures.get().value == 4.5
    assert studio_owner.post(f"{THICKNESS}forget/").status_code == 302
    assert not building.studio.figures.exists()


@pytest.mark.parametrize("value", ["", "0", "-1", "thick", "12345678901234567", "1e99"])
def test_a_value_that_is_no_figure_comes_back_with_what_was_typed(studio_owner, building, value):
    answer = studio_owner.post(THICKNESS, {"value": value, "source": "gauge"})
    assert answer.status_code == 422
    assert "gauge" in answer.content.decode()
    assert not building.studio.figures.exists()


def test_a_figure_that_may_be_nothing_is_let_be_nothing(studio_owner, building):
    assert studio_owner.post("/studio/figures/sticks.kerf/", {"value": "0"}).status_code == 302
    assert building.studio.figures.get().value == 0


def test_a_key_that_is_not_listed_is_not_known(studio_owner):
    assert studio_owner.get("/studio/figures/glass.colour/").status_code == 404
    assert studio_owner.post("/studio/figures/glass.colour/", {"value": "1"}).status_code == 404
    assert studio_owner.post("/studio/figures/glass.colour/forget/").status_code == 404


def test_figures_are_for_those_who_manage_the_studio(owner, reader, client_of, user):
    for url in (LIST, THICKNESS):
        assert owner.get(url).status_code == 403
        assert reader.get(url).status_code == 403
        assert client_of(user).get(url).status_code == 404


def test_the_studios_page_leads_to_its_figures_and_its_came(studio_owner):
    page = studio_owner.get(reverse("sites:studio-edit")).content.decode()
    assert f'href="{LIST}"' in page
    assert f'href="{reverse("sites:came-profiles")}"' in page
