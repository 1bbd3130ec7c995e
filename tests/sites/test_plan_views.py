"""The plan on its pages: typed, traced, seen, and numbered from."""

from decimal import Decimal
from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from sites.compute.plan.rows import Row, read_rows
from sites.hooks import Mark
from sites.models import OlderNumber, Opening, PlanPicture, PlanWall
from sites.services.plan import plan_scene_of, save_plan, walls_of
from tests.factories import BuildingFactory, OpeningFactory

pytestmark = pytest.mark.django_db
CHAPEL = [
    {"name": "west", "direction": "N", "length": "8 m", "openings": "W"},
    {"name": "north", "direction": "E", "length": "20 m", "openings": "B, C at 14 m"},
    {"name": "apse", "direction": "S", "length": "8 m", "rise": "4 m", "openings": "A"},
    {"name": "south", "direction": "W", "length": "20 m", "openings": "D"},
]
COLUMNS = ("name", "start", "direction", "length", "rise", "openings")


def sent(rows, **more):
    table = {column: [row.get(column, "") for row in rows] for column in COLUMNS}
    return {**table, "ritual_east": "E", **more}


def at(name, building):
    return reverse(f"sites:{name}", args=[building.pk])


@pytest.fixture
def chapel(building):
    for number in "ABCDW":
        OpeningFactory(building=building, number=number)
    return building


@pytest.fixture
def drawn_chapel(chapel, owner):
    assert owner.post(at("plan-edit", chapel), sent(CHAPEL)).status_code == 302
    chapel.refresh_from_db()
    return chapel


def picture_file(size=(900, 500), name="plan.png"):
    file = BytesIO()
    Image.new("RGB", size, "white").save(file, "PNG")
    return SimpleUploadedFile(name, file.getvalue(), "image/png")


def test_a_plan_typed_is_saved_as_walls_with_the_openings_on_them(drawn_chapel):
    assert [wall.name for wall in drawn_chapel.plan_walls.all()] == [
        "west", "north", "apse", "south",
    ]  # fmt: skip
    apse = PlanWall.objects.get(name="apse")
    assert (apse.x1_mm, apse.y1_mm, apse.y2_mm, apse.bulge) == (20000, 8000, 0, 1)
    opening = Opening.objects.get(number="C")
    assert (opening.plan_wall.name, opening.plan_along_typed, opening.plan_along_mm) == (
        "north", "14 m", 14000,
    )  # fmt: skip
    even = Opening.objects.get(number="B")
    assert (even.plan_along_typed, even.plan_along_mm) == ("", 7000)
    assert drawn_chapel.ritual_east == 90


def test_the_plan_comes_back_to_the_form_as_it_was_typed(drawn_chapel, owner):
    page = owner.get(at("plan-edit", drawn_chapel)).content.decode()
    for said in ('value="20 m"', 'value="B, C at 14 m"', 'value="4000 mm"', 'value="apse"'):
        assert said in page


def test_saving_it_again_unchanged_moves_nothing(drawn_chapel, owner):
    before = [*drawn_chapel.plan_walls.values()], [*drawn_chapel.openings.values()]
    rows = owner.get(at("plan-edit", drawn_chapel)).context["form"].rows
    again = [{column: getattr(row, column) for column in COLUMNS} for row in rows]
    assert owner.post(at("plan-edit", drawn_chapel), sent(again)).status_code == 302
    assert ([*drawn_chapel.plan_walls.values()], [*drawn_chapel.openings.values()]) == before


def test_a_wall_put_in_between_and_one_left_out(drawn_chapel, owner):
    rows = [CHAPEL[0], {"direction": "E", "length": "5 m"}, CHAPEL[1], CHAPEL[2]]
    owner.post(at("plan-edit", drawn_chapel), sent(rows))
    assert [wall.name for wall in drawn_chapel.plan_walls.all()] == ["west", "", "north", "apse"]
    assert Opening.objects.get(number="D").plan_wall is None


def test_a_missing_length_is_told_by_name_and_nothing_typed_is_lost(chapel, owner):
    rows = [CHAPEL[0], {**CHAPEL[1], "length": "", "name": "north aisle"}, CHAPEL[2]]
    response = owner.post(at("plan-edit", chapel), sent(rows))
    page = response.content.decode()
    assert response.status_code == 422
    assert "Wall 2 “north aisle”: the length is missing." in page
    assert 'href="#length-2"' in page
    assert 'id="length-2"' in page
    for said in ("north aisle", "B, C at 14 m", 'value="4 m"', 'value="8 m"'):
        assert said in page
    assert not PlanWall.objects.exists()


def test_an_unknown_opening_and_a_wrong_east_are_told(chapel, owner):
    rows = [{**CHAPEL[0], "openings": "nXX"}]
    response = owner.post(at("plan-edit", chapel), sent(rows) | {"ritual_east": "upwards"})
    page = response.content.decode()
    assert response.status_code == 422
    assert "no opening here is numbered nXX" in page
    assert "“upwards” is no direction" in page


def test_an_empty_form_leaves_the_plan_as_it_is(drawn_chapel, owner):
    response = owner.post(at("plan-edit", drawn_chapel), sent([]))
    assert response.status_code == 422
    assert "the plan stays as it was" in response.content.decode()
    assert drawn_chapel.plan_walls.count() == 4


def test_more_lines_can_be_had_without_javascript(chapel, owner):
    response = owner.post(at("plan-edit", chapel), sent([CHAPEL[0]] * 8, more="1"))
    assert response.status_code == 200
    assert 'id="length-16"' in response.content.decode()
    assert not PlanWall.objects.exists()


def test_more_walls_than_a_plan_takes_are_refused_in_words_and_all_kept(chapel, owner):
    rows = [{"name": f"wall no {n}", "direction": "N", "length": "1 m"} for n in range(151)]
    response = owner.post(at("plan-edit", chapel), sent(rows))
    page = response.content.decode()
    assert response.status_code == 422
    assert "at most 150 lines of walls" in page
    assert 'value="wall no 150"' in page
    assert not PlanWall.objects.exists()
    assert owner.post(at("plan-edit", chapel), sent(rows[:150])).status_code == 302
    assert PlanWall.objects.count() == 150


def test_the_whole_plan_can_be_taken_away_and_its_openings_stay(drawn_chapel, owner, reader):
    assert at("plan-delete", drawn_chapel) in owner.get(at("plan-edit", drawn_chapel)).text
    assert reader.post(at("plan-delete", drawn_chapel)).status_code == 403
    assert owner.get(at("plan-delete", drawn_chapel)).status_code == 405
    assert owner.post(at("plan-delete", drawn_chapel)).status_code == 302
    assert not PlanWall.objects.exists()
    assert drawn_chapel.openings.filter(plan_wall=None, plan_along_mm=None).count() == 5
    assert at("plan-delete", drawn_chapel) not in owner.get(at("plan-edit", drawn_chapel)).text


def test_the_preview_draws_what_can_be_drawn_and_says_what_cannot(chapel, owner):
    rows = [CHAPEL[0], {**CHAPEL[1], "length": ""}]
    page = owner.post(at("plan-preview", chapel), sent(rows)).content.decode()
    assert "<svg" in page
    assert "the length is missing" in page
    assert not PlanWall.objects.exists()


def test_the_building_page_shows_the_plan_with_a_named_link_for_each_opening(drawn_chapel, owner):
    OpeningFactory(building=drawn_chapel, number="Z")
    page = owner.get(drawn_chapel.get_absolute_url()).content.decode()
    assert page.count('aria-label="Opening A"') == 2  # lying and standing
    assert "Without a place on the plan:" in page
    assert "liturgical east" in page


def test_without_walls_the_page_says_how_to_draw_them(chapel, owner, reader):
    page = owner.get(chapel.get_absolute_url()).content.decode()
    assert "No plan is drawn yet" in page
    assert at("plan-edit", chapel) in page
    assert at("plan-edit", chapel) not in reader.get(chapel.get_absolute_url()).content.decode()


def test_the_scene_for_documents_has_the_marks(drawn_chapel):
    opening = Opening.objects.get(number="A")
    scene = plan_scene_of(drawn_chapel, {opening.pk: Mark(urgency=2, hazard=True)})
    badges = {each.number: each.label.badge for each in scene.openings}
    assert badges["A"].kind == "danger"
    assert badges["B"] is None
    assert plan_scene_of(BuildingFactory(), {}) is None


def test_a_plan_numbered_from_nought_is_saved_over(drawn_chapel):
    PlanWall.objects.filter(building=drawn_chapel, order=1).update(order=0)
    walls, _ = read_rows([Row(direction="N", length="3 m"), Row(direction="E", length="2 m")], "mm")
    save_plan(drawn_chapel, walls, Decimal(90))
    assert [wall.order for wall in drawn_chapel.plan_walls.all()] == [1, 2]
    assert len(walls_of(drawn_chapel)) == 2


# Numbering.


def test_openings_without_a_number_of_the_convention_are_numbered_from_the_plan(
    drawn_chapel, owner
):
    shown = owner.get(at("numbers-assign", drawn_chapel))
    proposal = shown.context["proposal"]
    assert {row.old: row.new for row in proposal.rows} == {
        "A": "I", "C": "nII", "B": "nIII", "D": "sII", "W": "wI",
    }  # fmt: skip
    data = {"which": "missing", "numerals": "roman", "seen": proposal.seen}
    assert owner.post(at("numbers-assign", drawn_chapel), data).status_code == 302
    assert [*drawn_chapel.openings.order_by("order").values_list("number", flat=True)] == [
        "I", "nII", "sII", "nIII", "wI",
    ]  # fmt: skip
    older = OlderNumber.objects.get(opening__number="I")
    assert older.number == "A"
    assert older.system.startswith("before the renumbering of 20")


def test_renumbering_all_lets_two_openings_change_numbers(drawn_chapel, owner):
    for old, new in (("B", "nII"), ("C", "nIII"), ("A", "I")):
        Opening.objects.filter(number=old).update(number=new)
    missing = owner.get(at("numbers-assign", drawn_chapel)).context["proposal"]
    assert {row.old for row in missing.changed} == {"D", "W"}
    address = at("numbers-assign", drawn_chapel)
    everything = owner.get(address, {"which": "all"}).context["proposal"]
    assert {row.old: row.new for row in everything.changed} == {
        "nII": "nIII", "nIII": "nII", "D": "sII", "W": "wI",
    }  # fmt: skip
    owner.post(address, {"which": "all", "numerals": "roman", "seen": everything.seen})
    assert OlderNumber.objects.get(opening__number="nII").number == "nIII"
    assert OlderNumber.objects.get(opening__number="nIII").number == "nII"
    assert not OlderNumber.objects.filter(opening__number="I").exists()


def test_what_is_confirmed_must_be_what_was_seen(drawn_chapel, owner):
    address = at("numbers-assign", drawn_chapel)
    seen = owner.get(address).context["proposal"].seen
    Opening.objects.filter(number="B").update(plan_along_mm=1000, number="nVII")
    response = owner.post(address, {"which": "missing", "numerals": "roman", "seen": seen})
    assert response.status_code == 422
    assert "Look at the list again" in response.content.decode()
    assert not OlderNumber.objects.exists()


def test_a_number_held_by_an_opening_without_a_place_is_told_and_stops_it(drawn_chapel, owner):
    OpeningFactory(building=drawn_chapel, number="nII")
    address = at("numbers-assign", drawn_chapel)
    page = owner.get(address, {"which": "all"})
    assert "Opening nII has no place on the plan" in page.content.decode()
    data = {"which": "all", "numerals": "roman", "seen": page.context["proposal"].seen}
    assert owner.post(address, data).status_code == 422
    assert Opening.objects.filter(number="A").exists()


def test_without_a_plan_there_is_nothing_to_number_from(chapel, owner):
    page = owner.get(at("numbers-assign", chapel)).content.decode()
    assert "Draw the plan first" in page


# The picture underneath.


@pytest.mark.django_db(transaction=True)
def test_a_picture_is_kept_re_encoded_and_shown_to_those_who_may(chapel, owner, reader, files):
    response = owner.post(at("plan-picture-add", chapel), {"picture": picture_file()})
    assert response.status_code == 302
    picture = PlanPicture.objects.get()
    assert (picture.width_px, picture.height_px) == (900, 500)
    address = at("plan-picture", picture)
    shown = owner.get(address)
    with Image.open(BytesIO(b"".join(shown))) as image:
        assert image.format == "JPEG"
    assert shown["Content-Security-Policy"].startswith("default-src 'none'")
    assert reader.get(address).status_code == 403
    assert "data-plan-trace" in owner.get(at("plan-edit", chapel)).content.decode()


@pytest.mark.django_db(transaction=True)
def test_a_newer_picture_takes_the_place_and_the_file_of_the_older(chapel, owner, files):
    for size in ((900, 500), (300, 200)):
        owner.post(at("plan-picture-add", chapel), {"picture": picture_file(size)})
    assert PlanPicture.objects.get().width_px == 300
    assert len([*files.rglob("*.jpg")]) == 1
    owner.post(at("plan-picture-delete", PlanPicture.objects.get()))
    assert [*files.rglob("*.jpg")] == []


@pytest.mark.django_db(transaction=True)
def test_what_is_typed_but_not_saved_survives_the_sending_of_a_picture(chapel, owner, files):
    data = sent(CHAPEL) | {"picture": picture_file()}
    response = owner.post(at("plan-picture-add", chapel), data)
    page = response.content.decode()
    assert response.status_code == 200
    assert "B, C at 14 m" in page
    assert "data-plan-trace" in page


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("top", "red_at"), [("N", (10, 10)), ("E", (190, 10)), ("S", (190, 290)), ("W", (10, 290))]
)
def test_a_picture_is_turned_until_north_is_at_its_top(chapel, owner, files, top, red_at):
    # Red in the upper left corner as it is sent: of a top that faces east that is the north-east.
    image = Image.new("RGB", (200, 300) if top in "NS" else (300, 200), "white")
    image.paste("red", (0, 0, 60, 60))
    file = BytesIO()
    image.save(file, "PNG")
    sent_file = SimpleUploadedFile("plan.png", file.getvalue(), "image/png")
    owner.post(at("plan-picture-add", chapel), {"picture": sent_file, "top": top})
    picture = PlanPicture.objects.get()
    assert (picture.width_px, picture.height_px) == (200, 300)
    with picture.file.open("rb") as stored, Image.open(stored) as shown:
        red, green, _ = shown.getpixel(red_at)
    assert red > 200 > 90 > green


@pytest.mark.django_db(transaction=True)
def test_a_picture_sent_with_nothing_new_typed_leads_back_to_the_page(drawn_chapel, owner, files):
    rows = owner.get(at("plan-edit", drawn_chapel)).context["form"].rows
    again = [{column: getattr(row, column) for column in COLUMNS} for row in [*rows, Row()]]
    data = sent(again) | {"picture": picture_file()}
    response = owner.post(at("plan-picture-add", drawn_chapel), data)
    assert response.status_code == 302
    assert response["Location"].startswith(at("plan-edit", drawn_chapel))


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (SimpleUploadedFile("plan.png", b"no picture at all" * 9), "photograph"),
        (SimpleUploadedFile("plan.svg", b"<svg xmlns='x'/>" * 9), "photograph"),
        (None, "Choose a picture first"),
    ],
)
def test_what_is_no_picture_is_refused_in_words(chapel, owner, file, said):
    data = {"picture": file} if file else {}
    response = owner.post(at("plan-picture-add", chapel), data)
    assert response.status_code == 422
    assert said in response.content.decode()
    assert not PlanPicture.objects.exists()


def test_how_the_picture_lies_is_saved_with_the_plan(chapel, owner):
    PlanPicture.objects.create(
        building=chapel, file="none.jpg", sha256="0" * 64, width_px=900, height_px=500
    )
    laid = {"mm_per_px": "26.5", "left_mm": "0", "top_mm": "0"}
    owner.post(at("plan-edit", chapel), sent(CHAPEL, **laid))
    assert PlanPicture.objects.get().mm_per_px == Decimal("26.5")


@pytest.mark.parametrize("scale", ["NaN", "Infinity", "-4", "0", "1e30", "large"])
def test_a_scale_that_is_none_is_refused(chapel, owner, scale):
    laid = {"mm_per_px": scale, "left_mm": "0", "top_mm": "0"}
    response = owner.post(at("plan-edit", chapel), sent(CHAPEL, **laid))
    assert response.status_code == 422
    assert "Set it again" in response.content.decode()


def test_a_plan_of_one_building_takes_no_opening_of_another(chapel, owner):
    OpeningFactory(number="other")
    response = owner.post(at("plan-edit", chapel), sent([{**CHAPEL[0], "openings": "other"}]))
    assert response.status_code == 422
