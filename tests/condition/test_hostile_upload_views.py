"""Hostile and odd files through the real page: a clear word or a right picture, never a 500."""

from io import BytesIO

import pytest
from django.conf import settings as project
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from condition.models import Photograph
from condition.models.choices import PhotographState
from condition.services.photographs import prepare_photograph
from condition.services.uploads import MOST_AT_ONCE
from tests.condition.hostile import (
    BOMBS,
    DAMAGED,
    ODD_SIZES,
    RAW,
    SCRIPT,
    TWO_IN_ONE,
    UNREADABLE,
    WRONG_TYPES,
)
from tests.condition.odd_photographs import KINDS_OF_PIXEL, METADATA, TURNED
from tests.condition.pictures import jpeg, quarters
from tests.factories import SurveyFactory

pytestmark = pytest.mark.django_db

# One bomb's header is sound: it is taken in, and found out when its copies are to be made.
LATE_BOMB = "png text bomb behind the picture"
REFUSED = {k: v for k, v in (WRONG_TYPES | RAW | BOMBS | UNREADABLE).items() if k != LATE_BOMB}
KEPT_DAMAGED = DAMAGED | {LATE_BOMB: BOMBS[LATE_BOMB]}
SHOWN = KINDS_OF_PIXEL | METADATA | TURNED | TWO_IN_ONE | ODD_SIZES
NAMES = {
    "climbing": ("../../../settings.py.jpg", "settings.py.jpg"),
    "climbing in the other slashes": ("..\\..\\win.ini.jpg", "win.ini.jpg"),
    "markup": ("<img src=x onerror=alert(1)>.jpg", "&lt;img src=x onerror=alert(1)&gt;.jpg"),
    "a name of dots": ("...", "unnamed photograph"),
    "turned round": ("\u202egpj.exe", "gpj.exe"),
    "very long": ("w" * 400 + ".jpg", "….jpg"),
    "a formula": ("=cmd|calc!A1.jpg", "=cmd|calc!A1.jpg"),
    "other letters": ("Wójcikowska окно 窓.jpg", "Wójcikowska окно 窓.jpg"),
    "nothing at all behind the dot": ("window.", "window."),
}


@pytest.fixture
def survey(building):
    return SurveyFactory(building=building)


@pytest.fixture
def send(surveyor, survey, files):
    """A function that sends files as the page does, and returns the response."""
    url = reverse("condition:photograph-add", args=[survey.pk])

    def post(*sent: tuple[str, bytes]):
        photographs = [SimpleUploadedFile(name, data) for name, data in sent]
        return surveyor.post(url, {"photographs": photographs, "place": ""})

    return post


def outcome_of(response):
    (outcome,) = response.context["outcomes"]
    return outcome


def fetched(client, photograph):
    """Return the copy at the address that the photograph's own page shows."""
    page = client.get(reverse("condition:photograph", args=[photograph.pk]))
    assert page.status_code == 200
    return client.get(page.context["picture"].image_url)


@pytest.mark.parametrize("name", REFUSED)
def test_what_cannot_be_taken_in_is_refused_in_words(send, files, name):
    response = send((f"{name}.jpg", REFUSED[name]()))
    outcome = outcome_of(response)
    assert response.status_code == 422
    assert not outcome.is_in
    assert len(outcome.reason) > 30
    assert outcome.reason.endswith(".")
    assert "Not taken in" in response.content.decode()
    assert not Photograph.objects.exists()
    assert not [path for path in files.rglob("*") if path.is_file()]


@pytest.mark.parametrize("name", KEPT_DAMAGED)
def test_what_is_damaged_is_kept_and_said_to_be(send, surveyor, name):
    data = KEPT_DAMAGED[name]()
    assert send((name, data)).status_code == 200
    photograph = Photograph.objects.get()
    prepare_photograph(photograph)
    assert photograph.state == PhotographState.DAMAGED
    text = surveyor.get(reverse("condition:photograph", args=[photograph.pk])).content.decode()
    assert "This photograph cannot be shown" in text
    assert "<img" not in text
    original = surveyor.get(reverse("condition:photograph-original", args=[photograph.pk]))
    assert original.getvalue() == data


@pytest.mark.parametrize("name", SHOWN)
def test_what_is_sound_is_shown_as_a_plain_jpeg_of_ours(send, surveyor, name):
    data = SHOWN[name]()
    assert send((name, data)).status_code == 200
    photograph = Photograph.objects.get()
    prepare_photograph(photograph)
    assert photograph.state == PhotographState.READY
    copy = fetched(surveyor, photograph).getvalue()
    assert SCRIPT not in copy
    with Image.open(BytesIO(copy)) as picture:
        assert (picture.format, picture.mode) == ("JPEG", "RGB")
        assert max(picture.size) <= 1600
        assert not picture.getexif()


@pytest.mark.parametrize("what", NAMES)
def test_a_name_from_outside_is_text_and_never_a_path(send, files, what):
    name, shown = NAMES[what]
    response = send((name, jpeg()))
    assert response.status_code == 200
    assert shown in response.content.decode()
    (stored,) = [path for path in files.rglob("*") if path.is_file()]
    assert stored.name == "original.jpeg"
    assert stored.parent.name == str(Photograph.objects.get().pk)


def test_each_of_several_has_its_own_outcome(send):
    sound = jpeg()
    response = send(("a.jpg", sound), ("b.jpg", b"no picture"), ("c.jpg", sound), ("d.jpg", b""))
    fates = [(each.name, each.fate.value) for each in response.context["outcomes"]]
    assert fates == [
        ("a.jpg", "received"),
        ("b.jpg", "refused"),
        ("c.jpg", "already here"),
        ("d.jpg", "refused"),
    ]
    assert Photograph.objects.count() == 1


def test_more_than_are_taken_at_once_are_named(send):
    sent = [(f"{n}.jpg", jpeg(quarters([(4 * n, 9, 9)] * 4))) for n in range(MOST_AT_ONCE + 2)]
    response = send(*sent)
    refused = [each.name for each in response.context["outcomes"] if not each.is_in]
    assert refused == [f"{MOST_AT_ONCE}.jpg", f"{MOST_AT_ONCE + 1}.jpg"]
    assert "send this one in another go" in response.content.decode()
    assert Photograph.objects.count() == MOST_AT_ONCE


def test_more_files_than_a_request_may_have_is_no_crash(send):
    too_many = project.DATA_UPLOAD_MAX_NUMBER_FILES + 1
    assert send(*[(f"{n}.jpg", b"x") for n in range(too_many)]).status_code == 400
    assert not Photograph.objects.exists()


def test_a_disk_that_takes_no_more_is_said_and_nothing_is_half_kept(send, files, monkeypatch):
    def full(*args, **kwargs):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("django.core.files.storage.FileSystemStorage._save", full)
    outcome = outcome_of(send(("a.jpg", jpeg())))
    assert "The server's disk did not take it" in outcome.reason
    assert not Photograph.objects.exists()
    assert not [path for path in files.rglob("*") if path.is_file()]


def test_an_original_is_sent_to_be_saved_and_runs_nothing(send, surveyor):
    send(("polyglot.html", TWO_IN_ONE["jpeg then html"]()))
    photograph = Photograph.objects.get()
    response = surveyor.get(reverse("condition:photograph-original", args=[photograph.pk]))
    response.getvalue()
    assert response["Content-Type"] == "image/jpeg"
    assert response["Content-Disposition"].startswith("attachment;")
    assert response["X-Content-Type-Options"] == "nosniff"
    assert response["Content-Security-Policy"] == "default-src 'none'; sandbox"
