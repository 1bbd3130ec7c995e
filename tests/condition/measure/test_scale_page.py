"""The known points of a photograph: placed, judged, refused in words."""

import pytest
from django.urls import reverse

from condition.models import PhotographScale
from sites.keys import uuid7
from tests.condition.measure.rows import ready_photograph

pytestmark = pytest.mark.django_db


def corners(**changes):
    at = {"u_1": "10", "v_1": "90", "u_2": "90", "v_2": "90"}
    return (
        {"key": str(uuid7())} | at | {"u_3": "90", "v_3": "10", "u_4": "10", "v_4": "10"} | changes
    )


@pytest.fixture
def scale_url(finding, files):
    photograph = ready_photograph(
        finding.survey.building, survey=finding.survey, opening=finding.opening
    )
    return reverse("condition:photograph-scale", args=[photograph.pk])


def test_four_corners_of_a_panel_of_recorded_size_make_a_photograph_measurable(
    surveyor, scale_url, finding
):
    assert surveyor.post(scale_url, corners(panel=str(finding.panel.pk))).status_code == 302
    scale = PhotographScale.objects.get()
    assert scale.points == [
        [0.1, 0.9, 0, 0],
        [0.9, 0.9, 400, 0],
        [0.9, 0.1, 400, 600],
        [0.1, 0.1, 0, 600],
    ]
    assert scale.known_from == "the recorded size of panel 1a"
    page = surveyor.get(scale_url)
    assert "four points always agree" in page.content.decode()
    assert page.context["sheet"].judged.mm_per_px == pytest.approx((400 / 640 * 600 / 480) ** 0.5)


def test_points_placed_again_take_the_place_of_the_old_and_can_be_taken_away(surveyor, scale_url):
    surveyor.post(scale_url, corners(width="640", height="480"))
    surveyor.post(scale_url, corners(u_1="12", width="320", height="240"))
    scale = PhotographScale.objects.get()
    assert scale.points[0] == [0.12, 0.9, 0, 0]
    assert scale.points[2] == [0.9, 0.1, 320, 240]
    surveyor.post(scale_url, {"act": "forget"})
    assert not PhotographScale.objects.exists()


def test_a_fifth_point_tells_how_well_they_agree_and_warns(surveyor, scale_url):
    fifth = {"u_5": "50", "v_5": "50", "x_5": "340", "y_5": "240"}
    surveyor.post(scale_url, corners(width="640", height="480", **fifth))
    sheet = surveyor.get(scale_url).context["sheet"]
    assert sheet.judged.fit.spare == 1
    assert any("point 5" in warning for warning in sheet.judged.warnings)


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, "Give the width and the height"),
        ({"width": "640", "height": "480", "u_2": "50", "v_2": "50"}, "lie in a line"),
        (
            {"width": "640", "height": "480", "u_2": "90", "v_2": "10", "u_3": "90", "v_3": "90"},
            "changed about",
        ),
        ({"width": "640", "height": "480", "u_4": "", "v_4": ""}, "Four points are needed"),
        ({"width": "640", "height": "480", "v_4": ""}, "Both numbers of a place"),
        ({"width": "640", "height": "nan"}, "nan"),
        ({"width": "640", "height": "480", "u_1": "1e99"}, "is not a number"),
        (
            {"width": "640", "height": "480", "u_6": "50", "v_6": "40"},
            "where this point is on the window",
        ),
        ({"width": "640", "height": "480", "x_6": "50"}, "where this point is on the photograph"),
        ({"width": "640", "height": "480", "panel": str(uuid7())}, "Select a valid choice"),
        ({"width": "640", "height": "480", "u_1": "\x00"}, "Null characters"),
    ],
)
def test_points_that_cannot_be_are_refused_in_words(surveyor, scale_url, changes, said):
    response = surveyor.post(scale_url, corners(**changes))
    assert response.status_code == 422
    assert said in response.content.decode()
    assert not PhotographScale.objects.exists()
