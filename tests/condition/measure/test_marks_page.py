"""Drawing a finding, measuring on a photograph, using what was measured as its extent."""

import json
from dataclasses import replace
from decimal import Decimal
from io import BytesIO

import pytest
from django.urls import reverse
from PIL import Image

from condition.models import FindingMark, PhotographScale
from condition.services.extents import working_of
from condition.services.findings import why_it_stays
from condition.services.marks import marks_on_elevation
from condition.services.recording.findings import change_finding, finding_data
from sites.keys import uuid7
from sites.services.elevations import elevation_of
from tests.condition.measure.rows import measured_photograph, ready_photograph
from tests.condition.pictures import QUARTERS
from tests.condition.recorded import surveyor_at
from tests.factories import (
    FindingFactory,
    OpeningFactory,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def url(finding):
    return reverse("condition:finding-marks", args=[finding.pk])


def typed(stroke, places, **more):
    return {"key": str(uuid7()), "stroke": stroke, "places": places} | more


def summary(response):
    return response.content.decode()


# On the elevation.
def test_an_area_across_two_panels_is_drawn_measured_and_parted(surveyor, url, finding):
    response = surveyor.post(url, typed("area", "200, 100\n640, 100\n640, 200\n200, 200"))
    assert response.status_code == 302
    mark = finding.marks.get()
    assert mark.points == [[200, 100], [640, 100], [640, 200], [200, 200]]
    (row,) = surveyor.get(url).context["board"].rows
    assert row.amount == "440 cm²"
    assert row.shares == "8.3 % of panel 1a, 8.3 % of panel 1b"


@pytest.mark.parametrize(
    ("stroke", "places", "said"),
    [
        ("area", "100, 100\n300, 300\n300, 100\n100, 300", "crosses itself"),
        ("line", "100, 100\n900, 100", "outside opening nIV"),
        ("point", "100, 100\n200, 200", "A point is one place"),
        ("line", "100", "is not a place"),
        ("line", "\x00, 1", "Null characters"),
        ("blot", "100, 100", "not one of the available choices"),
        ("line", "1, 1\n" * 9000, "at most 20000"),
        ("line", "", "must be filled in"),
    ],
)
def test_what_cannot_be_is_refused_in_words_and_nothing_typed_is_lost(
    surveyor, url, finding, stroke, places, said
):
    response = surveyor.post(url, typed(stroke, places))
    assert response.status_code == 422
    assert said in summary(response)
    assert response.context["form"]["places"].value() == places
    assert not finding.marks.exists()


def test_the_same_press_twice_draws_one_mark(surveyor, url, finding):
    sent = typed("point", "100, 100")
    surveyor.post(url, sent)
    surveyor.post(url, sent)
    assert finding.marks.count() == 1


def test_a_mark_is_drawn_again_and_taken_away(surveyor, url, finding):
    surveyor.post(url, typed("point", "100, 100"))
    mark = finding.marks.get()
    page = surveyor.get(f"{url}?mark={mark.pk}")
    assert page.context["form"]["places"].value() == "100, 100"
    surveyor.post(f"{url}?mark={mark.pk}", {"stroke": "line", "places": "100, 100\n100, 250"})
    mark.refresh_from_db()
    assert (mark.stroke, mark.points) == ("line", [[100, 100], [100, 250]])
    surveyor.post(url, {"act": "remove", "mark": str(mark.pk)})
    surveyor.post(url, {"act": "remove", "mark": "nonsense"})
    assert not finding.marks.exists()


def test_seen_from_outside_the_axes_run_the_other_way_and_the_register_stays(
    surveyor, url, finding
):
    inside = surveyor.get(f"{url}?from=inside").context["board"].surface
    outside = surveyor.get(f"{url}?from=outside").context["board"].surface
    assert outside.axes.per_x == -inside.axes.per_x
    surveyor.post(f"{url}?from=outside", typed("point", "100, 50"))
    assert finding.marks.get().points == [[100, 50]]
    (stroke,) = marks_on_elevation([finding]).strokes
    left, right = (surface.drawn(stroke.points[0]).x for surface in (inside, outside))
    width = 840 / inside.axes.per_x
    assert left + right == pytest.approx(width)


def test_a_length_becomes_the_extent_with_its_working_and_the_finding_shows_it(
    surveyor, url, finding
):
    surveyor.post(url, typed("line", "100, 100\n100, 250"))
    surveyor.post(url, typed("line", "200, 100\n230, 140"))
    response = surveyor.post(url, {"act": "use", "what": "length"})
    assert response.url.endswith("#measured")
    finding.refresh_from_db()
    assert (finding.amount, finding.unit) == (Decimal(200), "mm")
    working = working_of(finding)
    assert working.result == "200 mm"
    assert [each.value for each in working.inputs][-2:] == ["150 mm", "50 mm"]
    page = surveyor.get(finding.get_absolute_url())
    assert "How the extent was measured" in summary(page)
    finding.amount = Decimal(210)
    finding.save()
    assert working_of(finding) is None
    assert "changed by hand since" in summary(surveyor.get(finding.get_absolute_url()))


def test_areas_that_overlap_are_never_more_than_the_whole_panel(surveyor, url, finding):
    for upper in (600, 590):
        surveyor.post(url, typed("area", f"0, 0\n400, 0\n400, {upper}\n0, {upper}"))
    surveyor.post(url, {"act": "use", "what": "share"})
    finding.refresh_from_db()
    assert (finding.amount, finding.unit) == (Decimal(100), "percent of area")


def test_a_share_of_the_panel_and_a_count_become_the_extent(surveyor, url, finding):
    surveyor.post(url, typed("area", "0, 0\n200, 0\n200, 300\n0, 300"))
    surveyor.post(url, typed("point", "20, 500"))
    surveyor.post(url, {"act": "use", "what": "share"})
    finding.refresh_from_db()
    assert (finding.amount, finding.unit) == (Decimal(25), "percent of area")
    surveyor.post(url, {"act": "use", "what": "count"})
    finding.refresh_from_db()
    assert (finding.amount, finding.unit, finding.of_total) == (Decimal(1), "count", None)


def test_what_is_not_drawn_cannot_be_used(surveyor, url, finding):
    for what in ("length", "", "\x00"):
        assert surveyor.post(url, {"act": "use", "what": what}).status_code == 302
    finding.refresh_from_db()
    assert finding.amount is None


@pytest.mark.parametrize("asked", ["?on=nonsense", f"?on={uuid7()}"])
def test_a_photograph_of_elsewhere_is_not_known(surveyor, url, asked):
    assert surveyor.get(url + asked).status_code == 404


# On photographs.
def test_on_a_plain_photograph_places_are_shares_and_nothing_is_measured(
    surveyor, url, finding, files
):
    photograph = ready_photograph(
        finding.survey.building, survey=finding.survey, opening=finding.opening, findings=[finding]
    )
    surveyor.post(f"{url}?on={photograph.pk}", typed("line", "10, 20\n30, 60"))
    mark = finding.marks.get()
    assert (mark.photograph, mark.points) == (photograph, [[0.1, 0.2], [0.3, 0.6]])
    page = surveyor.get(f"{url}?on={photograph.pk}")
    assert [row.amount for row in page.context["board"].rows] == [""]
    assert page.context["board"].offers == []
    response = surveyor.post(f"{url}?on={photograph.pk}", typed("point", "120, 10"))
    assert "beside the photograph" in summary(response)


def test_on_a_measured_photograph_lengths_and_shares_are_those_of_the_glass(
    surveyor, url, finding, measured
):
    on = f"{url}?on={measured.pk}"
    surveyor.post(on, typed("line", "100, 100\n100, 400"))
    surveyor.post(on, typed("area", "0, 0\n200, 0\n200, 300\n0, 300"))
    line, _area = finding.marks.order_by("id")
    assert line.points == [[0.3, pytest.approx(0.766667)], [0.3, pytest.approx(0.366667)]]
    board = surveyor.get(on).context["board"]
    assert board.straight
    assert [row.amount for row in board.rows] == ["300 mm", "600 cm²"]
    surveyor.post(on, {"act": "use", "what": "length"})
    finding.refresh_from_db()
    assert (finding.amount, finding.unit) == (Decimal(300), "mm")
    working = working_of(finding)
    told = {each.name: (each.value, each.source) for each in working.inputs}
    assert told["Photograph"] == ("The panel", "taken 2026-05-12")
    assert told["Known points"] == ("4 points of panel 1a", "taped")
    assert "Hartley" in working.source
    assert "plane" in working.caution
    assert finding.amount_working["where"] == str(measured.pk)
    surveyor.post(on, {"act": "use", "what": "share"})
    finding.refresh_from_db()
    assert (finding.amount, finding.unit) == (Decimal(25), "percent of area")


def test_a_place_outside_the_photograph_is_refused_on_the_straightened_one(
    surveyor, url, finding, measured
):
    response = surveyor.post(f"{url}?on={measured.pk}", typed("point", "5 m, 100"))
    assert response.status_code == 422
    assert "outside the photograph" in summary(response)


def test_the_straightened_picture_is_sent_to_readers_and_shows_the_panel_alone(reader, measured):
    response = reader.get(reverse("condition:photograph-rectified", args=[measured.pk]))
    assert response["Content-Type"] == "image/jpeg"
    assert response["Cache-Control"].startswith("private")
    picture = Image.open(BytesIO(response.content))
    # The panel and a margin of a twenty-fifth of its longer side.
    assert picture.height / picture.width == pytest.approx(648 / 448, abs=0.01)
    middles = [(x, y) for y in (0.25, 0.75) for x in (0.25, 0.75)]
    for (x, y), colour in zip(middles, QUARTERS, strict=True):
        at = (int(x * picture.width), int(y * picture.height))
        assert picture.getpixel(at) == pytest.approx(colour, abs=12)


def test_a_photograph_without_points_or_without_a_copy_has_no_straightened_one(
    reader, building, people, files
):
    plain = ready_photograph(building)
    points = measured_photograph(building, people["owner"], state="damaged")
    for photograph in (plain, points):
        address = reverse("condition:photograph-rectified", args=[photograph.pk])
        assert reader.get(address).status_code == 404


# The damage map, and what documents take from it.
def test_the_damage_map_shows_what_is_drawn_with_its_legend_and_names_the_rest(
    reader, finding, measured
):
    other = FindingFactory(
        survey=finding.survey, opening=finding.opening, kind=finding.kind, number=5
    )
    FindingMark.objects.create(finding=finding, stroke="point", points=[[100, 100]])
    FindingMark.objects.create(
        finding=finding, photograph=measured, stroke="line", points=[[0.2, 0.2], [0.4, 0.4]]
    )
    address = reverse("condition:damage-map", args=[finding.survey.pk, finding.opening.pk])
    for side in ("", "?from=outside"):
        page = reader.get(address + side)
        assert [each.letter for each in page.context["board"].legend] == ["G"]
        assert "Glass and paint" in summary(page)
        assert page.context["findings"] == [other]
        assert len(page.context["pictures"]) == 1


def test_the_damage_map_of_another_building_s_opening_is_not_known(reader, finding):
    elsewhere = OpeningFactory()
    address = reverse("condition:damage-map", args=[finding.survey.pk, elsewhere.pk])
    assert reader.get(address).status_code == 404


def test_documents_get_flat_marks_in_one_query(finding, count_queries):
    for n in range(3):
        FindingMark.objects.create(finding=finding, stroke="point", points=[[100 + n, 100]])
    FindingMark.objects.create(finding=finding, stroke="area", points="damaged")
    assert count_queries(lambda: marks_on_elevation([finding])) == 1
    drawn = marks_on_elevation([finding])
    marks = drawn.on(elevation_of(finding.opening).at_scale(20))
    assert [mark.text for mark in marks if mark.text] == ["G·4"] * 3
    assert (drawn.numbers, [sign.letter for sign in drawn.signs]) == ({4}, ["G"])
    json.dumps([mark.__dict__ for mark in marks])


def test_marks_go_with_a_finding_and_not_to_another_opening(finding, building):
    FindingMark.objects.create(finding=finding, stroke="point", points=[[100, 100]])
    assert why_it_stays(finding) == ""
    moved = replace(finding_data(finding), opening=OpeningFactory(building=building).pk, panel=None)
    change_finding(finding, moved, surveyor_at(building))
    assert not finding.marks.exists()


def test_damaged_points_kept_with_a_photograph_make_it_a_plain_one(
    surveyor, url, finding, measured
):
    PhotographScale.objects.update(points=[[1, 2], "x"])
    page = surveyor.get(f"{url}?on={measured.pk}")
    assert page.status_code == 200
    assert page.context["board"].sheet is None


def test_a_photograph_of_another_panel_gives_no_share_of_this_finding_s(
    surveyor, url, finding, measured
):
    on = f"{url}?on={measured.pk}"
    surveyor.post(on, typed("area", "0, 0\n200, 0\n200, 300\n0, 300"))
    assert [offer.what for offer in surveyor.get(on).context["board"].offers] == ["share"]
    finding.panel = finding.opening.panels.get(number="1b")
    finding.save()
    assert surveyor.get(on).context["board"].offers == []


def test_the_opening_s_page_leads_to_its_damage_maps(reader, finding):
    assert "Damage maps" not in summary(reader.get(finding.opening.get_absolute_url()))
    FindingMark.objects.create(finding=finding, stroke="point", points=[[100, 100]])
    page = summary(reader.get(finding.opening.get_absolute_url()))
    address = reverse("condition:damage-map", args=[finding.survey.pk, finding.opening.pk])
    assert address in page
    assert "1 mark" in page
