"""Drawing a window from its measurements: what the page does with what is typed."""

import json
import re

import pytest
from django.db import IntegrityError

from sites.models import AttachedItem, Bar, Opening, Panel
from sites.services import shapes
from tests.factories import (
    AttachedItemFactory,
    FindingFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)
from tests.sites.drawn_windows import WINDOW, boxes_in, drawn, new_url, page_of, url_of


def test_a_window_is_drawn_and_saved_with_its_bars_and_panels(owner, building):
    opening = drawn(owner, building)
    assert (opening.springing_typed, opening.springing_mm) == ("2400", 2400)
    assert sorted(bar.height_typed for bar in opening.bars.all()) == [
        "1400", "2100", "2800", "3500", "700",
    ]  # fmt: skip


def stands(page: str, number: int) -> str:
    """The height in the box of a bar, counted down the list."""
    return boxes_in(page)[f"bar-{number}-height"]


def test_panels_are_made_for_every_cell_with_the_size_of_the_cell(owner, building):
    opening = drawn(owner, building)
    panels = {panel.number: panel for panel in opening.panels.all()}
    assert len(panels) == 24
    light = (2400 - 3 * 120) / 4
    assert panels["1a"].width_mm == pytest.approx(light, abs=1)
    assert (panels["1a"].height_typed, panels["1a"].height_mm) == ("700", 700)
    assert panels["2d"].order


def test_tracery_is_laid_out_by_its_number_and_saved_where_it_stands(owner, building):
    opening = drawn(owner, building, tracery_count="5", tracery_shape="foiled in circle")
    tracery = list(opening.panels.filter(shape="foiled in circle"))
    assert len(tracery) == 5
    assert {panel.foils for panel in tracery} == {4}
    assert all(panel.x_mm and panel.y_mm > 2000 and panel.width_mm for panel in tracery)
    assert opening.light_head == "two-centred"
    assert opening.light_springing_mm < 2400


def test_lengths_stay_as_they_were_typed(owner, people, building):
    people["owner"].units = "inch"
    people["owner"].save()
    words = {"width": "8'", "height": "13' 9 3/8\"", "springing": "94 1/2", "mullion": '4 3/4"'}
    opening = drawn(owner, building, **words)
    assert (opening.width_typed, float(opening.width_mm)) == ("8'", 2438.4)
    assert (opening.springing_typed, float(opening.springing_mm)) == ("94 1/2", 2400.3)
    again = boxes_in(page_of(owner, opening))
    assert {name: again[name] for name in words} == words


def test_a_plaque_is_saved_where_it_is_with_the_panel_it_lies_on(owner, building):
    opening = drawn(
        owner,
        building,
        **{
            "plaque-0-number": "P1",
            "plaque-0-kind": "plaque",
            "plaque-0-x": "250",
            "plaque-0-y": "150",
            "plaque-0-width": "300",
            "plaque-0-height": "12 cm",
            "plaque-0-inscription": "In loving memory\r\nof Edith Tolliver",
        },
    )
    item = AttachedItem.objects.get(opening=opening)
    assert (item.x_mm, item.y_mm, item.panel.number) == (250, 150, "1a")
    assert item.height_typed == "12 cm"
    assert item.inscription == "In loving memory\nof Edith Tolliver"


@pytest.mark.parametrize(
    ("changed", "box"),
    [
        ({"springing": "4300"}, "id_springing"),
        ({"width": "-3"}, "id_width"),
        ({"height": "tall"}, "id_height"),
        ({"mullion": "900"}, "id_mullion"),
        ({"light_widths": "900, 900, 900, 900"}, "id_light_widths"),
        ({"light_widths": "510, 510"}, "id_light_widths"),
        ({"rows": "three"}, "id_rows"),
        ({"lights": "0"}, "id_lights"),
        ({"bar-0-height": "5000", "bar-0-kind": "saddle bar"}, "id_bar-0-height"),
        (
            {
                "tracery-0-number": "A1",
                "tracery-0-shape": "roundel",
                "tracery-0-x": "9000",
                "tracery-0-y": "3400",
                "tracery-0-width": "400",
            },
            "id_tracery-0-x",
        ),
        ({"plaque-0-number": "P1", "plaque-0-kind": "plaque", "plaque-0-x": "9"}, "id_plaque-0-y"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_box_and_nothing_is_lost(
    owner, building, changed, box
):
    sent = {**WINDOW, "rows": "", "bar-3-height": "600", "bar-3-kind": "division bar", **changed}
    response = owner.post(new_url(building), sent)
    page = response.content.decode()
    assert response.status_code == 422
    assert f'<a href="#{box}">' in page
    assert Opening.objects.count() == Bar.objects.count() == 0
    kept = boxes_in(page)
    for name, text in sent.items():
        if not name.startswith("bar-") and name not in ("act",):
            assert kept[name] == text
    assert "600" in [kept[name] for name in kept if re.fullmatch(r"bar-\d-height", name)]


@pytest.mark.parametrize("wrong", ["bar-{}-height", "tracery-{}-x"])
def test_the_row_that_cannot_be_is_found_without_trying_them_one_by_one(
    owner, building, monkeypatch, wrong
):
    divisions = []
    divide = shapes.divide
    monkeypatch.setattr(shapes, "divide", lambda spec: divisions.append(spec) or divide(spec))
    counts = []
    for rows in (3, 30):
        sent = {**WINDOW, "rows": "", wrong.format(rows - 1): "90 m", "act": "draw"}
        for n in range(rows):
            bar = {f"bar-{n}-height": f"{300 + 50 * n}", f"bar-{n}-kind": "saddle bar"}
            middle = {f"tracery-{n}-x": "1200", f"tracery-{n}-y": "3000"}
            shape = {f"tracery-{n}-number": f"A{n}", f"tracery-{n}-shape": "roundel"}
            sent = bar | middle | shape | {f"tracery-{n}-width": "90"} | sent
        divisions.clear()
        page = owner.post(new_url(building), sent).content.decode()
        assert f'<a href="#id_{wrong.format(rows - 1)}">' in page
        counts.append(len(divisions))
    assert counts[0] == counts[1]


def test_the_preview_draws_and_saves_nothing(owner, building):
    page = owner.post(new_url(building, preview=True), WINDOW).content.decode()
    assert "24 panels" in page
    assert re.search(r'class="draw-handle"\s+data-kind="bar"\s+data-row="bar-0"', page)
    assert Opening.objects.count() == Panel.objects.count() == 0


def test_the_preview_says_what_is_wrong_beside_its_box_and_draws_nothing(owner, building):
    sent = {**WINDOW, "springing": "4300"}
    page = owner.post(new_url(building, preview=True), sent).content.decode()
    assert re.search(r'<li data-box="id_springing">[^<]*springing', page)
    assert "draw-handle" not in page


def test_a_box_not_reached_yet_is_no_error_of_the_preview(owner, building):
    page = owner.post(new_url(building, preview=True), {"head": "roundel"}).content.decode()
    assert "<li data-box" not in page
    assert "to scale" in page


def test_rows_follow_the_height_until_a_bar_is_moved(owner, building):
    page = owner.post(new_url(building), {**WINDOW, "act": "draw"}).content.decode()
    higher = {**boxes_in(page), "height": "4800", "act": "draw"}
    page = owner.post(new_url(building), higher).content.decode()
    assert stands(page, 0) == "4000"
    moved = {**boxes_in(page), "bar-0-height": "3900", "act": "draw"}
    page = owner.post(new_url(building), moved).content.decode()
    again = {**boxes_in(page), "height": "4500", "act": "draw"}
    page = owner.post(new_url(building), again).content.decode()
    assert stands(page, 0) == "3900"


def test_bars_that_are_unchanged_keep_their_rows_and_others_come_and_go(owner, building):
    opening = drawn(owner, building)
    before = {bar.height_typed: bar.pk for bar in opening.bars.all()}
    boxes = boxes_in(page_of(owner, opening))
    place = next(name for name, text in boxes.items() if text == "2100")[:5]
    boxes[f"{place}-height"] = "2150"
    boxes["act"] = "save"
    assert owner.post(url_of(opening), boxes).status_code == 302
    after = {bar.height_typed: bar.pk for bar in opening.bars.all()}
    assert after.pop("2150") == before.pop("2100")
    assert after == before


def test_a_panel_keeps_its_key_its_subject_and_its_measured_size(owner, building):
    opening = drawn(owner, building)
    panel = opening.panels.get(number="1a")
    panel.subject, panel.pieces = "A heron in reeds", 46
    panel.width_typed, panel.width_mm = "498", 498
    panel.save()
    boxes = {**boxes_in(page_of(owner, opening)), "rows": "5", "act": "save"}
    boxes["agreed"] = "6a, 6b, 6c, 6d"
    assert owner.post(url_of(opening), boxes).status_code == 302
    again = opening.panels.get(number="1a")
    assert (again.pk, again.subject, again.pieces) == (panel.pk, "A heron in reeds", 46)
    assert (again.width_typed, again.height_typed) == ("498", "840")


def test_panels_without_a_cell_go_only_when_the_user_agrees(owner, building):
    opening = drawn(owner, building)
    boxes = {**boxes_in(page_of(owner, opening)), "rows": "5", "act": "save"}
    boxes.pop("agreed", None)
    response = owner.post(url_of(opening), boxes)
    page = response.content.decode()
    assert response.status_code == 422
    assert 'value="6a, 6b, 6c, 6d"' in page
    assert opening.panels.count() == 24
    boxes["agreed"] = "6a, 6b, 6c, 6d"
    assert owner.post(url_of(opening), boxes).status_code == 302
    assert opening.panels.count() == 20


def test_a_panel_with_findings_is_kept_and_said_to_be_off_the_drawing(owner, building):
    opening = drawn(owner, building)
    panel = opening.panels.get(number="6b")
    survey = SurveyFactory(building=building)
    FindingFactory(survey=survey, opening=opening, panel=panel)
    boxes = {**boxes_in(page_of(owner, opening)), "rows": "5", "act": "save"}
    boxes["agreed"] = "6a, 6c, 6d"
    assert owner.post(url_of(opening), boxes).status_code == 302
    assert opening.panels.filter(pk=panel.pk).exists()
    assert re.search(r"Not on the drawing, but kept.*6b", page_of(owner, opening), re.S)


def test_a_change_by_somebody_else_is_not_overwritten_unseen(owner, building):
    opening = drawn(owner, building)
    boxes = {**boxes_in(page_of(owner, opening)), "title": "The Kingfisher", "act": "save"}
    opening.bars.first().delete()
    response = owner.post(url_of(opening), boxes)
    page = response.content.decode()
    assert response.status_code == 422
    assert "Somebody has changed this opening" in page
    kept = boxes_in(page)
    assert kept["title"] == "The Kingfisher"
    opening.refresh_from_db()
    assert opening.title == "The Heron"
    assert owner.post(url_of(opening), {**kept, "act": "save"}).status_code == 302


def test_the_last_window_is_copied_without_its_name_and_its_plaques(owner, building):
    drawn(owner, building, tracery_count="3")
    sent = {"number": "nIV", "title": "The Otter", "head": "rectangle", "act": "last"}
    boxes = boxes_in(owner.post(new_url(building), sent).content.decode())
    assert (boxes["number"], boxes["title"]) == ("nIV", "The Otter")
    assert (boxes["head"], boxes["width"], boxes["rows"]) == ("two-centred", "2400", "6")
    assert boxes["bar-0-key"] == boxes["tracery-0-key"] == ""
    assert owner.post(new_url(building), {**boxes, "act": "save"}).status_code == 302
    assert Opening.objects.get(number="nIV").panels.count() == 27


def test_another_window_is_copied_by_its_number(owner, building):
    drawn(owner, building)
    drawn(owner, building, number="nV", width="900", lights="1", mullion="", rows="2")
    sent = {"number": "nVI", "copy_from": "nIII", "act": "copy"}
    boxes = boxes_in(owner.post(new_url(building), sent).content.decode())
    assert boxes["width"] == "2400"


def test_a_mirrored_window_has_left_and_right_exchanged(owner, building):
    sent = {
        **WINDOW,
        "light_widths": "480, 500, 520, 540",
        "bar-7-height": "300",
        "bar-7-kind": "saddle bar",
        "bar-7-light": "1",
        "plaque-0-number": "P1",
        "plaque-0-kind": "plaque",
        "plaque-0-x": "250",
        "plaque-0-y": "150",
        "act": "mirror",
    }
    boxes = boxes_in(owner.post(new_url(building), sent).content.decode())
    assert boxes["light_widths"] == "540, 520, 500, 480"
    assert boxes["plaque-0-x"] == "2150"
    lights = [text for name, text in boxes.items() if re.fullmatch(r"bar-\d-light", name)]
    assert [text for text in lights if text] == ["4"]


def test_rows_are_added_and_taken_away_by_buttons(owner, building):
    page = owner.post(new_url(building), {**WINDOW, "act": "add-bar"}).content.decode()
    assert boxes_in(page)["bar-5-height"] == "2100"
    sent = {**boxes_in(page), "act": "remove-bar-5"}
    page = owner.post(new_url(building), sent).content.decode()
    assert "bar-5-height" not in boxes_in(page)
    sent = {**boxes_in(page), "act": "place", "at_x": "400.4", "at_y": "300"}
    boxes = boxes_in(owner.post(new_url(building), sent).content.decode())
    assert (boxes["plaque-0-number"], boxes["plaque-0-x"], boxes["plaque-0-y"]) == (
        "P1",
        "400",
        "300",
    )


def test_a_window_registered_without_a_drawing_opens_with_its_rows_and_tracery(owner, building):
    opening = OpeningFactory(building=building, head="two-centred", lights=2)
    for number in ("1a", "1b", "2a", "2b", "A1"):
        PanelFactory(opening=opening, number=number)
    item = AttachedItemFactory(opening=opening)
    boxes = boxes_in(page_of(owner, opening))
    assert boxes["rows"] == "2"
    assert boxes["tracery-0-number"] == "A1"
    assert boxes["plaque-0-number"] == item.number
    assert owner.post(url_of(opening), {**boxes, "act": "save"}).status_code == 302
    assert opening.panels.count() == 5
    assert opening.bars.count() == 1


def test_saving_an_untouched_drawing_changes_no_row(owner, building):
    opening = drawn(owner, building, tracery_count="3", saddle_every="400")
    boxes = {**boxes_in(page_of(owner, opening)), "act": "save"}
    assert owner.post(url_of(opening), boxes).status_code == 302
    assert boxes_in(page_of(owner, opening))["seen"] == boxes["seen"]


def test_what_is_laid_out_is_remembered_as_plain_data(owner, building):
    page = owner.post(new_url(building), {**WINDOW, "act": "draw"}).content.decode()
    assert json.loads(boxes_in(page)["laid"])["rows"]["count"] == "6"
    broken = {**WINDOW, "laid": "[not json", "act": "draw"}
    assert owner.post(new_url(building), broken).status_code == 200


def test_a_number_that_is_taken_is_refused_beside_its_box(owner, building):
    drawn(owner, building)
    response = owner.post(new_url(building), WINDOW)
    assert response.status_code == 422
    assert '<a href="#id_number">' in response.content.decode()


@pytest.mark.parametrize("new", [True, False])
def test_a_refusal_by_the_database_is_told_and_keeps_what_was_typed(
    owner, building, monkeypatch, new
):
    opening = None if new else drawn(owner, building)

    def refuse(*_):
        raise IntegrityError("UNIQUE constraint failed")

    monkeypatch.setattr("sites.services.drawing_editor.saving._save_cells", refuse)
    boxes = WINDOW if new else {**boxes_in(page_of(owner, opening)), "act": "save"}
    response = owner.post(new_url(building) if new else url_of(opening), boxes)
    page = response.content.decode()
    assert response.status_code == 422
    assert "This could not be saved" in page
    assert boxes_in(page)["width"] == "2400"
    assert Opening.objects.count() == (0 if new else 1)


def test_what_is_recorded_and_cannot_be_is_said_when_the_page_opens(owner, building):
    opening = OpeningFactory(
        building=building,
        head="two-centred",
        width_typed="900",
        width_mm=900,
        height_typed="2000",
        height_mm=2000,
        springing_typed="2100",
        springing_mm=2100,
    )
    page = page_of(owner, opening)
    assert '<a href="#id_springing">' in page
    assert boxes_in(page)["springing"] == "2100"


def test_corners_draw_an_outline_that_no_head_describes(owner, building):
    corners = "0 0\n1200 0\n1200 1800 0.4142\n0 1800"
    sent = {"head": "points", "corners": corners, "springing": "", "height": "", "width": ""}
    opening = drawn(owner, building, **sent, lights="1", mullion="", rows="")
    assert opening.points[2] == [1200, 1800, 0.4142]
    assert boxes_in(page_of(owner, opening))["corners"].splitlines() == corners.splitlines()
    words = {**WINDOW, **sent, "corners": "0 0\nten 5"}
    assert "Line 2" in owner.post(new_url(building), words).content.decode()


def test_a_rose_is_its_tracery_lights_and_no_panel_behind_them(owner, building):
    rose = {"head": "roundel", "width": "1800", "height": "", "springing": "", "lights": "1"}
    opening = drawn(owner, building, **rose, mullion="", rows="", tracery_count="7")
    numbers = set(opening.panels.values_list("number", flat=True))
    assert "1a" not in numbers
    assert len(numbers) == 7
