"""One opening, its panels and its older numbers."""

import pytest
from django.urls import reverse

from sites.models import OlderNumber, Opening, Panel
from tests.factories import (
    AttachedItemFactory,
    FixingFactory,
    OlderNumberFactory,
    OpeningFactory,
    PanelFactory,
)


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nII", title="The Sower", lights=2)


def url_of(name, record):
    return reverse(f"sites:{name}", args=[record.pk])


def posted(**changed):
    return {
        "number": "sIV",
        "wall": "south",
        "level": "ground",
        "head": "two-centred",
        "lights": "3",
        "protective_glazing": "none",
        "width": "1240",
        "height": "8' 2 3/4\"",
        "made": "c. 1931",
        **changed,
    }


def test_an_opening_shows_its_drawing_facts_panels_and_items(reader, opening):
    panel = PanelFactory(opening=opening, number="1a")
    item = AttachedItemFactory(opening=opening, panel=panel, memorial_of="Edith Tolliver")
    page = reader.get(opening.get_absolute_url()).content.decode()
    assert f'href="#panel-{panel.pk}"' in page
    assert f'id="panel-{panel.pk}"' in page
    assert f'href="#item-{item.pk}"' in page
    assert item.get_absolute_url() in page
    assert "Edith Tolliver" in page
    assert "Not to scale" in page


def test_the_drawing_can_be_seen_from_outside(reader, opening):
    page = reader.get(opening.get_absolute_url(), {"from": "outside"}).content.decode()
    assert "Seen from outside." in page


def test_every_panel_of_the_drawing_has_a_name_to_be_read_out(reader, opening):
    PanelFactory(opening=opening, number="2b")
    assert 'aria-label="Panel 2b"' in reader.get(opening.get_absolute_url()).content.decode()


def test_queries_of_an_opening_do_not_grow_with_its_parts(owner, opening, count_queries):
    def open_page():
        return owner.get(opening.get_absolute_url())

    item = AttachedItemFactory(opening=opening, panel=PanelFactory(opening=opening, number="9a"))
    FixingFactory(item=item)
    OlderNumberFactory(opening=opening)
    few = count_queries(open_page)
    for n in range(1, 9):
        panel = PanelFactory(opening=opening, number=f"{n}b")
        FixingFactory(item=AttachedItemFactory(opening=opening, panel=panel))
        OlderNumberFactory(opening=opening)
    assert count_queries(open_page) == few


def test_lengths_are_shown_in_the_readers_own_units(reader, people, building):
    opening = OpeningFactory(building=building, width_mm="914.4", width_typed="914.4")
    people["reader"].units = "inch"
    people["reader"].save()
    assert "36&quot;" in reader.get(opening.get_absolute_url()).content.decode()


def test_an_opening_is_added_with_its_lengths_date_and_order(owner, building):
    assert owner.get(url_of("opening-add", building)).status_code == 200
    answer = owner.post(url_of("opening-add", building), posted())
    opening = Opening.objects.get(number="sIV")
    assert answer["Location"] == opening.get_absolute_url()
    assert opening.building == building
    assert (opening.width_typed, opening.width_mm) == ("1240", 1240)
    assert opening.height_typed == "8' 2 3/4\""
    assert float(opening.height_mm) == pytest.approx(98.75 * 25.4)
    assert (opening.made, opening.made_edtf) == ("c. 1931", "1931~")
    assert opening.order


def test_a_bare_number_is_read_in_the_users_own_unit(owner, people, building):
    people["owner"].units = "inch"
    people["owner"].save()
    owner.post(url_of("opening-add", building), posted(width="36", height=""))
    opening = Opening.objects.get(number="sIV")
    assert float(opening.width_mm) == pytest.approx(914.4)
    assert (opening.height_typed, opening.height_mm) == ("", None)


def test_another_users_bare_unit_does_not_change_a_length_left_alone(owner, people, building):
    owner.post(url_of("opening-add", building), posted(width="873"))
    people["owner"].units = "inch"
    people["owner"].save()
    opening = Opening.objects.get(number="sIV")
    form = owner.get(url_of("opening-edit", opening)).content.decode()
    assert 'value="873 mm"' in form
    owner.post(url_of("opening-edit", opening), posted(width="873 mm", title="Changed"))
    opening.refresh_from_db()
    assert (opening.title, opening.width_typed, opening.width_mm) == ("Changed", "873", 873)


@pytest.mark.parametrize(
    ("field", "wrong", "told"),
    [
        ("width", "34 3/8/2", "34 3/8/2"),
        ("width", "-5", "below zero"),
        ("made", "yesteryear", "yesteryear"),
        ("number", "", "must be filled in"),
        ("lights", "0", "lights"),
        ("lights", "99999999999", "lights"),
        ("head", "ogee", "ogee"),
    ],
)
def test_a_wrong_opening_comes_back_with_the_words_kept(owner, building, field, wrong, told):
    answer = owner.post(
        url_of("opening-add", building), posted(title="The Lost Coin", **{field: wrong})
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "The Lost Coin" in page
    assert told in page
    assert f'href="#id_{field}"' in page
    assert not Opening.objects.exists()


def test_a_number_taken_at_this_building_is_an_error_of_its_box(owner, opening, building):
    answer = owner.post(url_of("opening-add", building), posted(number="nII"))
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Another opening here has this number." in page
    assert 'href="#id_number"' in page


def test_a_number_taken_between_check_and_save_is_explained_too(owner, building, monkeypatch):
    monkeypatch.setattr("sites.services.recording.Recording.check", lambda *asked: [])
    OpeningFactory(building=building, number="sIV")
    answer = owner.post(url_of("opening-add", building), posted())
    assert answer.status_code == 422
    assert "could not be saved" in answer.content.decode()


def test_save_and_add_another_stays_on_the_form(owner, building):
    url = url_of("opening-add", building)
    assert owner.post(url, posted(another="1"))["Location"] == url


def test_an_opening_is_changed(owner, opening):
    answer = owner.post(url_of("opening-edit", opening), posted(number="nII", title="The Reaper"))
    opening.refresh_from_db()
    assert answer.status_code == 302
    assert opening.title == "The Reaper"


def test_an_older_number_is_added_and_taken_away(owner, opening):
    answer = owner.post(
        url_of("older-number-add", opening), {"number": "7", "system": "Guide of 1962"}
    )
    assert answer.status_code == 302
    older = opening.older_numbers.get()
    assert "Guide of 1962" in owner.get(opening.get_absolute_url()).content.decode()
    assert owner.post(url_of("older-number-delete", older)).status_code == 302
    assert not OlderNumber.objects.exists()


def test_a_wrong_older_number_brings_the_opening_back_with_the_words_kept(owner, opening):
    answer = owner.post(url_of("older-number-add", opening), {"number": "", "system": "Old guide"})
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "Please mend this first" in page
    assert 'value="Old guide"' in page


def test_panels_are_laid_out_across_the_lights(owner, opening):
    answer = owner.post(url_of("panels-lay-out", opening), {"rows": "3"})
    assert answer.status_code == 302
    assert [panel.number for panel in opening.panels.all()] == ["1a", "1b", "2a", "2b", "3a", "3b"]


@pytest.mark.parametrize("rows", ["", "0", "41", "many"])
def test_a_wrong_count_of_rows_lays_out_nothing(owner, opening, rows):
    assert owner.post(url_of("panels-lay-out", opening), {"rows": rows}).status_code == 422
    assert not Panel.objects.exists()


def test_panels_are_not_laid_out_over_others(owner, opening):
    PanelFactory(opening=opening)
    answer = owner.post(url_of("panels-lay-out", opening), {"rows": "3"})
    assert answer.status_code == 422
    assert "has panels already" in answer.content.decode()


def test_more_lights_than_letters_are_not_laid_out(owner, building):
    opening = OpeningFactory(building=building, lights=30)
    answer = owner.post(url_of("panels-lay-out", opening), {"rows": "2"})
    assert answer.status_code == 422
    assert "lettered a to z" in answer.content.decode()


def test_a_panel_is_added_and_changed(owner, opening):
    url = url_of("panel-add", opening)
    assert owner.get(url).status_code == 200
    answer = owner.post(url, {"number": "3b", "width": "560", "height": "61 cm", "pieces": "40"})
    panel = Panel.objects.get()
    assert answer["Location"] == panel.get_absolute_url()
    assert panel.order == "0-0003-0002"
    assert (panel.height_typed, panel.height_mm) == ("61 cm", 610)
    edit = url_of("panel-edit", panel)
    assert 'value="61 cm"' in owner.get(edit).content.decode()
    owner.post(edit, {"number": "3b", "subject": "A lamb", "height": "61 cm"})
    panel.refresh_from_db()
    assert (panel.subject, panel.width_mm, panel.height_mm) == ("A lamb", None, 610)


def test_a_panel_number_taken_in_this_opening_is_an_error(owner, opening):
    PanelFactory(opening=opening, number="3b")
    answer = owner.post(url_of("panel-add", opening), {"number": "3b"})
    assert answer.status_code == 422
    assert "Another panel of this opening has this number." in answer.content.decode()


@pytest.mark.parametrize(
    "name", ["opening-edit", "older-number-add", "panel-add", "panels-lay-out", "item-add"]
)
def test_a_reader_may_not_change_an_opening(reader, stranger, client, opening, name):
    url = url_of(name, opening)
    assert reader.post(url).status_code == 403
    assert stranger.post(url).status_code == 404
    assert client.post(url)["Location"].startswith("/accounts/login/")


@pytest.mark.parametrize(
    ("factory", "name"), [(PanelFactory, "panel-edit"), (OlderNumberFactory, "older-number-delete")]
)
def test_a_reader_may_not_change_what_belongs_to_an_opening(
    reader, stranger, client, opening, factory, name
):
    url = url_of(name, factory(opening=opening))
    assert reader.post(url).status_code == 403
    assert stranger.post(url).status_code == 404
    assert client.post(url)["Location"].startswith("/accounts/login/")


def test_an_opening_is_read_by_readers_alone(reader, stranger, client, opening):
    page = reader.get(opening.get_absolute_url())
    assert page.status_code == 200
    assert url_of("opening-edit", opening) not in page.content.decode()
    assert stranger.get(opening.get_absolute_url()).status_code == 404
    assert client.get(opening.get_absolute_url())["Location"].startswith("/accounts/login/")


def test_a_building_of_somebody_else_gets_no_opening(owner):
    url = url_of("opening-add", OpeningFactory().building)
    assert owner.post(url, posted()).status_code == 404


@pytest.mark.parametrize("name", ["older-number-add", "panels-lay-out"])
def test_what_changes_something_is_never_done_by_following_a_link(owner, opening, name):
    assert owner.get(url_of(name, opening)).status_code == 405
