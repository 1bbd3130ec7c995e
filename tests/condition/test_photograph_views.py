"""Photographs: sent, shown, captioned, sorted in, and the originals of those who may have them."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

from condition.models import Photograph
from condition.models.choices import PhotographState
from condition.services.photographs import prepare_photograph
from sites.models import Job
from tests.condition.pictures import jpeg, orientation_exif, quarters, taken_exif
from tests.condition.recorded import receive_photograph
from tests.factories import FindingFactory, OpeningFactory, SurveyFactory

pytestmark = pytest.mark.django_db


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def opening(building):
    return OpeningFactory(building=building, number="nIV", title="Ruth among the Barley")


@pytest.fixture
def receive(survey, files, people):
    """A function that keeps a photograph of the survey, of another colour each time."""
    colours = iter(range(5, 250, 5))

    def keep(**fields):
        data = jpeg(quarters([(next(colours), 30, 60)] * 4), exif=fields.pop("exif", b""))
        wanted = {
            "survey": survey,
            "name": "IMG_0431.JPG",
            "user": people["surveyor"],
        }
        return receive_photograph(building=survey.building, file=BytesIO(data), **(wanted | fields))

    return keep


def url_of(name, record):
    return reverse(f"condition:{name}", args=[record.pk])


def text_of(client, url) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return response.content.decode()


# Who may.
@pytest.mark.parametrize("name", ["photograph-edit", "photograph-original"])
def test_changing_and_originals_are_for_those_who_survey(reader, stranger, receive, name):
    url = url_of(name, receive())
    assert Client().get(url).status_code == 302
    assert reader.get(url).status_code == 403
    assert stranger.get(url).status_code == 404


@pytest.mark.parametrize("name", ["photograph-add", "photographs-sort"])
def test_sending_and_sorting_are_for_those_who_survey(reader, stranger, survey, name):
    url = url_of(name, survey)
    assert reader.post(url).status_code == 403
    assert stranger.post(url).status_code == 404


def test_everyone_of_the_building_sees_a_photograph_and_a_stranger_does_not(
    people, client_of, receive
):
    url = url_of("photograph", receive())
    expected = {role: 404 if role == "stranger" else 200 for role in people}
    assert {r: client_of(user).get(url).status_code for r, user in people.items()} == expected


# Sending.
def post_one(client, survey, data=None, **fields):
    photograph = SimpleUploadedFile("window.jpg", data or jpeg())
    return client.post(url_of("photograph-add", survey), {"photographs": photograph, **fields})


def test_photographs_may_be_sent_straight_to_a_finding(
    surveyor, survey, opening, files, django_capture_on_commit_callbacks
):
    finding = FindingFactory(survey=survey, opening=opening)
    there = f"finding:{finding.pk}"
    page = text_of(surveyor, f"{url_of('photograph-add', survey)}?place={there}")
    assert f'value="{there}" selected' in page
    with django_capture_on_commit_callbacks(execute=True):
        assert post_one(surveyor, survey, place=there).status_code == 200
    made = Photograph.objects.get()
    assert (made.findings.get(), made.opening) == (finding, opening)
    assert Job.objects.filter(task="prepare_photograph").count() == 1


@pytest.mark.parametrize("place", ["finding:{other}", "opening:{elsewhere}", "nonsense"])
def test_photographs_are_not_sent_to_what_is_not_of_this_survey(surveyor, survey, files, place):
    other = FindingFactory()
    asked = place.format(other=other.pk, elsewhere=other.opening_id)
    response = post_one(surveyor, survey, place=asked)
    assert response.status_code == 422
    assert "None was taken in" in response.content.decode()
    assert not Photograph.objects.exists()


def test_sending_nothing_is_said(surveyor, survey):
    response = surveyor.post(url_of("photograph-add", survey), {"place": ""})
    assert response.status_code == 422
    assert "Choose the photographs first." in response.content.decode()


def test_a_photograph_filed_elsewhere_is_not_moved_by_sending_it_again(
    surveyor, survey, opening, files
):
    first, second = FindingFactory(survey=survey, opening=opening), FindingFactory(survey=survey)
    post_one(surveyor, survey, place=f"finding:{first.pk}")
    response = post_one(surveyor, survey, place=f"finding:{second.pk}")
    assert response.status_code == 422
    assert "Here already, elsewhere" in response.content.decode()
    assert Photograph.objects.get().findings.get() == first


# The page.
def test_a_photograph_being_prepared_asks_again_until_it_is_there(surveyor, receive):
    photograph = receive()
    url = url_of("photograph", photograph)
    asked = {"HX-Request": "true"}
    waiting = surveyor.get(url, headers=asked).content.decode()
    assert f'hx-get="{url}"' in waiting
    assert "<html" not in waiting
    prepare_photograph(photograph)
    ready = surveyor.get(url, headers=asked).content.decode()
    assert "hx-get" not in ready
    assert "1600.jpg?studio=" in ready


def test_the_facts_of_a_photograph_are_told(reader, receive):
    exif = taken_exif(b"2026:05:04 10:15:00", b"-04:00")
    photograph = receive(exif=exif, caption="Upper left tab")
    text = text_of(reader, url_of("photograph", photograph))
    assert "4 May 2026, 10:15 (UTC-04:00)" in text
    assert photograph.sha256 in text
    assert "IMG_0431.JPG" in text
    assert "Upper left tab" in text


def test_a_place_in_the_original_is_told_to_be_taken_out(reader, receive):
    without, having = receive(), receive(exif=orientation_exif(1))
    Photograph.objects.filter(pk=having.pk).update(had_position=True)
    taken_out = "That was taken out of the copies"
    assert taken_out not in text_of(reader, url_of("photograph", without))
    assert taken_out in text_of(reader, url_of("photograph", having))


def test_the_original_comes_back_byte_for_byte_under_its_own_name(surveyor, receive):
    photograph = receive(name="östliches Fenster.jpg")
    response = surveyor.get(url_of("photograph-original", photograph))
    sent = response.getvalue()
    with photograph.original.open("rb") as kept:
        assert sent == kept.read()
    assert "%C3%B6stliches%20Fenster.jpg" in response["Content-Disposition"]


def test_an_original_that_is_gone_is_not_found(surveyor, receive):
    photograph = receive()
    photograph.original.delete(save=False)
    assert surveyor.get(url_of("photograph-original", photograph)).status_code == 404


def test_damage_is_told_in_the_words_it_was_recorded_with(reader, receive):
    photograph = receive()
    damaged = {"state": PhotographState.DAMAGED, "problem": "the file ends too early"}
    Photograph.objects.filter(pk=photograph.pk).update(**damaged)
    text = text_of(reader, url_of("photograph", photograph))
    assert "This photograph cannot be shown: the file ends too early." in text


# Sorting in.
def test_a_caption_and_a_place_are_saved(surveyor, survey, opening, receive):
    photograph = receive()
    finding = FindingFactory(survey=survey, opening=opening)
    posted = {"caption": "As found", "place": f"finding:{finding.pk}"}
    response = surveyor.post(url_of("photograph-edit", photograph), posted)
    assert response.url == url_of("photograph", photograph)
    photograph.refresh_from_db()
    assert (photograph.caption, photograph.findings.get()) == ("As found", finding)
    assert photograph.opening == opening


def test_a_photograph_may_be_taken_off_a_finding_again(surveyor, survey, opening, receive):
    photograph = receive(findings=[FindingFactory(survey=survey, opening=opening)])
    surveyor.post(url_of("photograph-edit", photograph), {"caption": "", "place": ""})
    photograph.refresh_from_db()
    assert (photograph.survey, photograph.opening) == (survey, None)
    assert not photograph.findings.exists()


def test_a_caption_too_long_comes_back_with_what_was_typed(surveyor, receive):
    photograph = receive()
    response = surveyor.post(url_of("photograph-edit", photograph), {"caption": "c" * 241})
    assert response.status_code == 422
    assert "c" * 241 in response.content.decode()


def test_ticked_photographs_are_filed_together(surveyor, survey, opening, receive):
    finding = FindingFactory(survey=survey, opening=opening)
    ticked, other = [receive(), receive()], receive()
    posted = {"photographs": [each.pk for each in ticked], "place": f"finding:{finding.pk}"}
    response = surveyor.post(url_of("photographs-sort", survey), posted, follow=True)
    assert "2 photographs are sorted in." in response.content.decode()
    assert set(finding.photographs.all()) == set(ticked)
    assert [each.key for each in response.context["tray"]] == [other.pk]


@pytest.mark.parametrize(
    ("posted", "said"),
    [
        ({"place": "{place}"}, "Tick the photographs first."),
        ({"photographs": "{mine}"}, "Choose what the ticked photographs show."),
        ({"photographs": "{theirs}", "place": "{place}"}, "is not one of the available choices"),
        ({"photographs": "x", "place": "{place}"}, "is not a valid"),
        ({"photographs": "{mine}", "place": "finding:1"}, "Select a valid choice"),
    ],
)
def test_sorting_says_what_is_missing_and_files_nothing(
    surveyor, survey, opening, receive, posted, said
):
    mine, theirs = receive(), receive(survey=SurveyFactory(building=survey.building))
    keys = {"mine": mine.pk, "theirs": theirs.pk, "place": f"opening:{opening.pk}"}
    sent = {name: text.format(**keys) for name, text in posted.items()}
    response = surveyor.post(url_of("photographs-sort", survey), sent, follow=True)
    assert said in response.content.decode()
    assert not Photograph.objects.filter(opening__isnull=False).exists()
