"""The list of buildings, one building, and the people to speak to."""

import pytest
from django.urls import reverse

from sites.compute.numbering import opening_order
from sites.models import Building, BuildingPerson
from tests.factories import (
    AttachedItemFactory,
    BuildingFactory,
    BuildingPersonFactory,
    MembershipFactory,
    OpeningFactory,
    PanelFactory,
)

LIST = "/buildings/"


def url_of(name, record):
    return reverse(f"sites:{name}", args=[record.pk])


def posted(**changed):
    return {
        "name": "Chapel of the Ford",
        "place": "Testham",
        "kind": "chapel",
        "language": "en",
        "paper": "A4",
        "units": "metric",
        "currency": "GBP",
        "time_zone": "Europe/London",
        "country": "GB",
        **changed,
    }


def test_the_list_shows_the_buildings_one_may_see_and_no_others(reader, building):
    other = BuildingFactory()
    page = reader.get(LIST).content.decode()
    assert building.name in page
    assert other.name not in page


def test_the_list_is_searched_by_name_and_by_place(studio_owner, building):
    BuildingFactory(studio=building.studio, name="Ebenezer", place="Pontyrhyd")
    assert "Ebenezer" in studio_owner.get(LIST, {"q": "ponty"}).content.decode()
    assert "Ebenezer" not in studio_owner.get(LIST, {"q": "testham"}).content.decode()
    assert "No building has" in studio_owner.get(LIST, {"q": "nowhere"}).content.decode()


def test_htmx_gets_the_rows_alone_and_a_browser_the_page(reader, building):
    rows = reader.get(LIST, headers={"HX-Request": "true"})
    assert building.name in rows.content.decode()
    assert b"<html" not in rows.content
    assert "HX-Request" in rows["Vary"]
    assert b"<html" in reader.get(LIST).content


def test_a_user_of_no_building_is_told_whom_to_ask(client_of, user):
    assert "Ask the owner" in client_of(user).get(LIST).content.decode()


def test_pages_of_a_long_list_keep_the_search(studio_owner, building):
    for n in range(51):
        BuildingFactory(studio=building.studio, name=f"Hall {n:02}")
    page = studio_owner.get(LIST, {"q": "hall"}).content.decode()
    assert "?q=hall&amp;page=2" in page
    assert "Hall 50" in studio_owner.get(LIST, {"q": "hall", "page": 2}).content.decode()


def test_queries_of_the_list_do_not_grow_with_the_buildings(studio_owner, building, count_queries):
    few = count_queries(lambda: studio_owner.get(LIST))
    for record in BuildingFactory.create_batch(6, studio=building.studio):
        OpeningFactory.create_batch(2, building=record)
    assert count_queries(lambda: studio_owner.get(LIST)) == few


def test_a_building_shows_its_openings_by_wall_in_order(reader, building):
    for number, wall in [("nX", "north"), ("nII", "north"), ("I", "east"), ("sII", "south")]:
        OpeningFactory(building=building, number=number, wall=wall, order=opening_order(number))
    page = reader.get(building.get_absolute_url()).content.decode()
    places = [page.index(f">{number}<") for number in ("I", "nII", "nX", "sII")]
    assert places == sorted(places)
    assert page.index(">East") < page.index(">North") < page.index(">South")


def test_a_building_counts_panels_and_items_of_each_opening(reader, building):
    opening = OpeningFactory(building=building)
    PanelFactory.create_batch(3, opening=opening)
    AttachedItemFactory(opening=opening)
    page = " ".join(reader.get(building.get_absolute_url()).content.decode().split())
    assert "3 panels · 1 item" in page


def test_queries_of_a_building_do_not_grow_with_its_openings(reader, building, count_queries):
    def open_page():
        return reader.get(building.get_absolute_url())

    OpeningFactory.create_batch(2, building=building)
    few = count_queries(open_page)
    for opening in OpeningFactory.create_batch(12, building=building):
        PanelFactory.create_batch(2, opening=opening)
    assert count_queries(open_page) == few


def test_an_empty_building_says_what_to_do_next(owner, building):
    page = owner.get(building.get_absolute_url()).content.decode()
    assert "No opening is registered yet" in page
    assert url_of("opening-add", building) in page


def test_people_are_shown_to_those_who_may_read_them_alone(surveyor, reader, committee, building):
    BuildingPersonFactory(building=building, name="Orla Fenwick", email="orla@parish.example")
    url = building.get_absolute_url()
    assert "Orla Fenwick" in surveyor.get(url).content.decode()
    for client in (reader, committee):
        page = client.get(url).content.decode()
        assert "Orla" not in page
        assert "orla@parish.example" not in page


def test_a_reader_is_not_offered_what_they_may_not_do(reader, building):
    page = reader.get(building.get_absolute_url()).content.decode()
    for name in ("building-edit", "opening-add", "person-add"):
        assert url_of(name, building) not in page


def test_a_building_is_registered_in_the_users_own_studio(studio_owner, building):
    assert studio_owner.get(reverse("sites:building-add")).status_code == 200
    answer = studio_owner.post(reverse("sites:building-add"), posted())
    made = Building.objects.get(name="Chapel of the Ford")
    assert answer.status_code == 302
    assert answer["Location"] == made.get_absolute_url()
    assert made.studio == building.studio
    assert "The building is registered" in studio_owner.get(answer["Location"]).content.decode()


def test_a_role_at_one_building_registers_no_other(owner, reader):
    assert owner.get(reverse("sites:building-add")).status_code == 403
    assert reader.post(reverse("sites:building-add"), posted()).status_code == 403


def test_a_building_of_the_same_name_and_place_is_an_error_of_the_form(studio_owner, building):
    answer = studio_owner.post(
        reverse("sites:building-add"), posted(name=building.name, place=building.place)
    )
    page = answer.content.decode()
    assert answer.status_code == 422
    assert "A building of this name and place is registered." in page
    assert f'value="{building.name}"' in page


@pytest.mark.parametrize(
    "wrong",
    [
        {"name": " "},
        {"currency": "pounds"},
        {"country": "Wales"},
        {"time_zone": "Here"},
        {"kind": "mill"},
    ],
)
def test_a_wrong_building_comes_back_with_the_words_kept(owner, building, wrong):
    answer = owner.post(
        url_of("building-edit", building), posted(dedication="Saint Columb", **wrong)
    )
    assert answer.status_code == 422
    assert "Saint Columb" in answer.content.decode()
    assert "Please mend this first" in answer.content.decode()


def test_a_building_is_changed(owner, building):
    assert owner.get(url_of("building-edit", building)).status_code == 200
    answer = owner.post(url_of("building-edit", building), posted(protection="Grade II*"))
    building.refresh_from_db()
    assert answer.status_code == 302
    assert building.protection == "Grade II*"


def test_a_person_is_added_changed_and_taken_off(surveyor, building):
    given = {"name": "Orla Fenwick", "role": "sexton", "phone": "01632 960411", "email": ""}
    assert surveyor.get(url_of("person-add", building)).status_code == 200
    assert surveyor.post(url_of("person-add", building), given).status_code == 302
    person = building.people.get()
    assert surveyor.get(url_of("person-edit", person)).status_code == 200
    surveyor.post(url_of("person-edit", person), {**given, "role": "churchwarden"})
    assert building.people.get().role == "churchwarden"
    assert surveyor.post(url_of("person-delete", person)).status_code == 302
    assert not building.people.exists()


def test_the_same_person_in_the_same_role_twice_is_an_error(owner, building):
    person = BuildingPersonFactory(building=building)
    answer = owner.post(url_of("person-add", building), {"name": person.name, "role": person.role})
    assert answer.status_code == 422
    assert BuildingPerson.objects.count() == 1


@pytest.mark.parametrize("name", ["building-edit", "person-add"])
def test_a_reader_may_not_change_a_building(reader, stranger, client, building, name):
    url = url_of(name, building)
    assert reader.get(url).status_code == 403
    assert reader.post(url, posted()).status_code == 403
    assert stranger.get(url).status_code == 404
    assert client.get(url)["Location"].startswith("/accounts/login/")


def test_whoever_may_not_read_personal_data_is_not_told_of_a_person(
    reader, stranger, client, building
):
    person = BuildingPersonFactory(building=building)
    for name in ("person-edit", "person-delete"):
        url = url_of(name, person)
        assert reader.post(url).status_code == 404
        assert stranger.post(url).status_code == 404
        assert client.post(url)["Location"].startswith("/accounts/login/")
    assert BuildingPerson.objects.count() == 1


def test_a_building_is_closed_to_strangers_and_to_nobody(stranger, client, building):
    assert stranger.get(building.get_absolute_url()).status_code == 404
    assert client.get(building.get_absolute_url())["Location"].startswith("/accounts/login/")
    assert client.get(LIST)["Location"].startswith("/accounts/login/")


def test_taking_somebody_off_is_never_done_by_following_a_link(owner, building):
    person = BuildingPersonFactory(building=building)
    assert owner.get(url_of("person-delete", person)).status_code == 405


def test_a_committee_member_sees_their_building_and_no_other_of_the_studio(client_of, building):
    other = BuildingFactory(studio=building.studio)
    user = MembershipFactory(building=building, role="committee").user
    client = client_of(user)
    assert client.get(building.get_absolute_url()).status_code == 200
    assert client.get(other.get_absolute_url()).status_code == 404
