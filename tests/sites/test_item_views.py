"""One attached item and what holds it."""

import pytest
from django.urls import reverse

from sites.models import AttachedItem, Fixing
from tests.factories import (
    AttachedItemFactory,
    FixingFactory,
    OpeningFactory,
    PanelFactory,
)


@pytest.fixture
def item(building):
    opening = OpeningFactory(building=building)
    return AttachedItemFactory(
        opening=opening,
        panel=PanelFactory(opening=opening, number="1a"),
        number="P1",
        material="brass",
        inscription="TO THE GLORY OF GOD\nEDITH TOLLIVER",
        memorial_of="Edith Tolliver",
    )


def url_of(name, record):
    return reverse(f"sites:{name}", args=[record.pk])


def posted(**changed):
    return {
        "number": "P7",
        "kind": "plaque",
        "material": "bronze",
        "width": '14 1/2"',
        "height": "159",
        "inscription": "ARTHUR\nLOWE",
        "installed": "1890s",
        **changed,
    }


def test_an_item_shows_its_plaque_its_words_and_its_fixings(reader, item):
    FixingFactory(item=item, count=3, state="failed")
    FixingFactory(item=item, count=1, state="sound")
    page = " ".join(reader.get(item.get_absolute_url()).content.decode().split())
    assert ">EDITH TOLLIVER</text>" in page
    assert 'data-metal="brass"' in page
    assert "in memory of Edith Tolliver" in page
    assert "of 4" in page
    assert "A fixing has failed: keep people out from under it" in page


def test_an_item_whose_fixings_hold_carries_no_caution(reader, item):
    FixingFactory(item=item, state="sound")
    assert "A fixing has failed" not in reader.get(item.get_absolute_url()).content.decode()


def test_an_inscription_is_shown_as_text_whatever_it_holds(reader, item):
    AttachedItem.objects.filter(pk=item.pk).update(inscription="<script>alert(1)</script>")
    page = reader.get(item.get_absolute_url()).content.decode()
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page


def test_queries_of_an_item_do_not_grow_with_its_fixings(owner, item, count_queries):
    def look():
        return owner.get(item.get_absolute_url())

    FixingFactory(item=item)
    few = count_queries(look)
    FixingFactory.create_batch(8, item=item)
    assert count_queries(look) == few


def test_an_item_is_added_with_the_next_free_number_offered(owner, item):
    url = url_of("item-add", item.opening)
    assert 'value="P2"' in owner.get(url).content.decode()
    answer = owner.post(url, posted(panel=str(item.panel.pk)))
    made = AttachedItem.objects.get(number="P7")
    assert answer["Location"] == made.get_absolute_url()
    assert made.panel == item.panel
    assert made.width_typed == '14 1/2"'
    assert float(made.width_mm) == pytest.approx(368.3)
    assert made.installed_edtf == "189X"


def test_an_item_is_changed(owner, item):
    url = url_of("item-edit", item)
    assert "EDITH TOLLIVER" in owner.get(url).content.decode()
    assert owner.post(url, posted(number="P1", donors="Her sisters")).status_code == 302
    item.refresh_from_db()
    assert (item.donors, item.panel) == ("Her sisters", None)


def test_a_panel_of_another_opening_is_refused(owner, item):
    elsewhere = PanelFactory(opening=OpeningFactory(building=item.opening.building))
    answer = owner.post(url_of("item-edit", item), posted(panel=str(elsewhere.pk)))
    assert answer.status_code == 422
    assert 'href="#id_panel"' in answer.content.decode()


@pytest.mark.parametrize(
    ("field", "wrong"),
    [
        ("number", ""),
        ("width", "wide"),
        ("installed", "long ago"),
        ("kind", "clock"),
        ("material", "gold"),
    ],
)
def test_a_wrong_item_comes_back_with_the_words_kept(owner, item, field, wrong):
    answer = owner.post(
        url_of("item-add", item.opening), posted(donors="The guild", **{field: wrong})
    )
    assert answer.status_code == 422
    assert "The guild" in answer.content.decode()
    assert AttachedItem.objects.count() == 1


def test_a_number_taken_at_this_opening_is_an_error(owner, item):
    answer = owner.post(url_of("item-add", item.opening), posted(number="P1"))
    assert answer.status_code == 422
    assert "Another item of this opening has this number." in answer.content.decode()


def test_a_fixing_is_added_changed_and_taken_away(owner, item):
    given = {
        "kind": "strap",
        "count": "2",
        "state": "sound",
        "holds_on_to": "saddle bar",
        "host_state": "sound",
    }
    url = url_of("fixing-add", item)
    assert owner.get(url).status_code == 200
    assert owner.post(url, given).status_code == 302
    fixing = Fixing.objects.get()
    edit = url_of("fixing-edit", fixing)
    assert owner.get(edit).status_code == 200
    owner.post(edit, {**given, "state": "failed"})
    fixing.refresh_from_db()
    assert fixing.state == "failed"
    assert owner.post(url_of("fixing-delete", fixing)).status_code == 302
    assert not Fixing.objects.exists()


@pytest.mark.parametrize("count", ["", "0", "501", "-1", "three"])
def test_a_wrong_count_of_fixings_comes_back(owner, item, count):
    given = {
        "kind": "strap",
        "count": count,
        "state": "sound",
        "holds_on_to": "lead",
        "host_state": "weak",
    }
    answer = owner.post(url_of("fixing-add", item), given)
    assert answer.status_code == 422
    assert 'href="#id_count"' in answer.content.decode()


@pytest.mark.parametrize("name", ["item-edit", "fixing-add"])
def test_a_reader_may_not_change_an_item(reader, stranger, client, item, name):
    url = url_of(name, item)
    assert reader.post(url, posted()).status_code == 403
    assert stranger.post(url).status_code == 404
    assert client.post(url)["Location"].startswith("/accounts/login/")


@pytest.mark.parametrize("name", ["fixing-edit", "fixing-delete"])
def test_a_reader_may_not_change_a_fixing(reader, stranger, client, item, name):
    url = url_of(name, FixingFactory(item=item))
    assert reader.post(url).status_code == 403
    assert stranger.post(url).status_code == 404
    assert client.post(url)["Location"].startswith("/accounts/login/")
    assert Fixing.objects.count() == 1


def test_an_item_is_read_by_readers_alone(reader, stranger, client, item):
    page = reader.get(item.get_absolute_url())
    assert page.status_code == 200
    assert url_of("item-edit", item) not in page.content.decode()
    assert stranger.get(item.get_absolute_url()).status_code == 404
    assert client.get(item.get_absolute_url())["Location"].startswith("/accounts/login/")


def test_a_fixing_is_never_taken_away_by_following_a_link(owner, item):
    assert owner.get(url_of("fixing-delete", FixingFactory(item=item))).status_code == 405
