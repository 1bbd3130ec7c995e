"""What a bar is made of, typed in the drawing editor; what a window is worth, in its form."""

from django.urls import reverse

from sites.models import Bar
from tests.sites.drawn_windows import boxes_in, drawn, new_url, page_of, url_of

MADE = {
    "bar-0-kind": "saddle bar",
    "bar-0-height": "350",
    "bar-0-section": "round",
    "bar-0-width": '3/8"',
    "bar-0-depth": "",
    "bar-0-material": "wrought iron",
}


def described(owner, building, **changed):
    return drawn(owner, building, rows="", **{**MADE, **changed})


def test_a_bar_is_kept_with_its_section_size_and_material(owner, building):
    bar = described(owner, building).bars.get()
    assert (bar.section, bar.width_typed, bar.material) == ("round", '3/8"', "wrought iron")
    assert float(bar.width_mm) == 9.525
    assert bar.depth_mm is None


def test_the_editor_shows_it_and_saving_again_changes_nothing(owner, building):
    opening = described(owner, building)
    page = page_of(owner, opening)
    assert "Round, 3/8&quot;, Wrought iron" in page
    before = Bar.objects.values().get()
    assert owner.post(url_of(opening), {**boxes_in(page), "act": "save"}).status_code == 302
    assert Bar.objects.values().get() == before


def test_a_page_without_these_boxes_leaves_them_alone(owner, building):
    opening = described(owner, building)
    boxes = boxes_in(page_of(owner, opening))
    old = {n: v for n, v in boxes.items() if not n.endswith(("section", "depth", "material"))}
    del old["bar-0-width"]
    assert owner.post(url_of(opening), {**old, "act": "save"}).status_code == 302
    assert opening.bars.get().material == "wrought iron"


def test_a_round_bar_of_two_sizes_comes_back_with_what_was_typed(owner, building):
    response = owner.post(
        new_url(building),
        {**MADE, "bar-0-depth": "12", "act": "save", "number": "s2", "wall": "south",
         "level": "ground", "head": "rectangle", "width": "600", "height": "900", "lights": "1"},
    )  # fmt: skip
    page = response.content.decode()
    assert response.status_code == 422
    assert "one size" in page
    assert boxes_in(page)["bar-0-depth"] == "12"


def test_bars_copied_from_another_window_bring_what_they_are_made_of(owner, building):
    described(owner, building)
    page = owner.post(
        new_url(building), {"act": "copy", "copy_from": "nIII", "number": "s2"}
    ).content.decode()
    boxes = boxes_in(page)
    assert (boxes["bar-0-section"], boxes["bar-0-width"]) == ("round", '3/8"')
    mirrored = boxes_in(owner.post(new_url(building), {**boxes, "act": "mirror"}).content.decode())
    assert mirrored["bar-0-material"] == "wrought iron"


def test_what_a_window_is_worth_keeping_for_is_in_its_form_and_its_facts(owner, building):
    opening = described(owner, building)
    address = reverse("sites:opening-edit", args=[opening.pk])
    assert "Not judged" in owner.get(address).content.decode()
    typed = {"number": "nIII", "wall": "north", "level": "ground", "head": "two-centred",
             "lights": "4", "protective_glazing": "unknown", "significance": "outstanding",
             "width": "2400", "height": "4200"}  # fmt: skip
    response = owner.post(address, typed, follow=True)
    opening.refresh_from_db()
    assert opening.significance == "outstanding"
    assert "Outstanding" in response.content.decode()
