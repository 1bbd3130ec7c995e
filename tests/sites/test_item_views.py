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
    def open_page():
        return owner.get(item.get_absolute_url())

    FixingFactory(item=item)
    few = count_queries(open_page)
    FixingFactory.create_batch(8, item=item)
    assert count_queries(open_page) == few


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


def recorded(item, **fixing):
    """The item as a brass plate of 287 g with four sound tabs over people."""
    AttachedItem.objects.filter(pk=item.pk).update(
        width_mm=150, width_typed="150", height_mm=75, height_typed="75",
        thickness_mm=3, thickness_typed="3",
    )  # fmt: skip
    item.opening.under_inside = "people"
    item.opening.save()
    facts = {
        "host_state": "sound",
        "width_mm": 6,
        "width_typed": "6",
        "length_mm": 10,
        "length_typed": "10",
    }
    return FixingFactory(item=item, **{**facts, **fixing})


def page_of(user, item):
    return " ".join(user.get(item.get_absolute_url()).content.decode().split())


def test_an_item_says_what_its_fixings_carry_and_how_it_is_reckoned(reader, item):
    recorded(item)
    page = page_of(reader, item)
    assert "One kind of fixing alone carries it, also with any one more lost." in page
    assert "4 of 4" in page
    assert "A screening figure, not a design" in page
    assert "Solder in shear, for years" in page
    assert "Go to what holds it" not in page


def test_an_item_by_one_corner_over_people_is_a_danger(reader, item):
    recorded(item, count=1)
    page = page_of(reader, item)
    danger = page[page.index('class="danger"') :]
    assert "Danger. Not calculable, support it now" in danger
    assert "Keep people out from under it until" in danger
    assert "a plate that hangs by one corner peels" in page
    item.opening.under_inside = "nobody"
    item.opening.save()
    quiet = page_of(reader, item)
    assert 'class="danger"' not in quiet
    assert "Keep people out from under it until" in quiet


def test_no_margin_stands_beside_a_plate_that_is_judged_as_peeling(reader, item):
    recorded(item, count=2)
    page = page_of(reader, item)
    assert "with one more lost it hangs by one corner, and peels" in page
    cells = page[page.index('data-label="Margin, all sound"') :]
    assert cells.count('class="number">–</td>') == 2
    assert "with all that are sound" not in page


def test_a_curing_bead_asks_for_support_until_its_day(reader, item):
    recorded(item, kind="silicone bead", state="new and curing", cures_on="2999-12-03")
    assert "Temporary support until 3 December 2999." in page_of(reader, item)


def test_a_plate_is_told_how_to_fix_it_and_a_lamp_is_not(reader, item):
    recorded(item)
    assert "Soldered tabs, and a bead down each side" in page_of(reader, item)
    AttachedItem.objects.filter(pk=item.pk).update(kind="lamp")
    page = page_of(reader, item)
    assert 'id="remedy"' not in page
    assert "To be recorded before it can be reckoned: its weight." in page


def test_the_sizes_of_a_fixing_are_kept_as_typed(owner, item):
    given = {
        "kind": "silicone bead",
        "count": "2",
        "state": "new and curing",
        "holds_on_to": "lead",
        "host_state": "sound",
        "width": '1/4"',
        "length": "70",
        "cures_on": "2026-12-03",
        "product": "a clear neutral-cure grade",
    }
    assert owner.post(url_of("fixing-add", item), given).status_code == 302
    bead = Fixing.objects.get()
    assert (bead.width_typed, float(bead.width_mm), bead.length_mm) == ('1/4"', 6.35, 70)
    assert (str(bead.cures_on), bead.product) == ("2026-12-03", "a clear neutral-cure grade")
    assert 'value="2026-12-03"' in owner.get(url_of("fixing-edit", bead)).content.decode()


@pytest.mark.parametrize(
    ("field", "wrong"), [("width", "thin"), ("length", "0"), ("cures_on", "x")]
)
def test_a_wrong_size_of_a_fixing_comes_back_at_its_box(owner, item, field, wrong):
    given = {
        "kind": "strap",
        "count": "2",
        "state": "sound",
        "holds_on_to": "lead",
        "host_state": "sound",
        field: wrong,
    }
    answer = owner.post(url_of("fixing-add", item), given)
    assert answer.status_code == 422
    assert f'href="#id_{field}"' in answer.content.decode()


@pytest.mark.parametrize("weight", ["-1", "0", "heavy"])
def test_a_wrong_weight_comes_back_at_its_box(owner, item, weight):
    answer = owner.post(url_of("item-edit", item), posted(weighed_kg=weight))
    assert answer.status_code == 422
    assert 'href="#id_weighed_kg"' in answer.content.decode()
