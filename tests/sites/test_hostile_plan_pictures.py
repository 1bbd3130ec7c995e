"""Hostile and odd files sent as the picture under a plan: refused in words, or a plain picture."""

from io import BytesIO

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from PIL import Image

from sites.models import PlanPicture
from tests.condition.hostile import BOMBS, DAMAGED, RAW, SCRIPT, TWO_IN_ONE, UNREADABLE, WRONG_TYPES
from tests.condition.odd_photographs import TURNED
from tests.condition.pictures import jpeg, png

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

WIDE = {"60,000 px wide by its header": lambda: png((60_000, 1), 8, 0, bytes(60_001))}
# One of each way to be damaged: a file cut short takes the same way wherever it is cut.
CUT = {name: make for name, make in DAMAGED.items() if "%" not in name or "75%" in name}
REFUSED = WRONG_TYPES | RAW | BOMBS | UNREADABLE | WIDE | CUT


@pytest.fixture
def send(owner, building, files):
    """A function that sends a file as the plan's picture, under a name that says PNG."""
    url = reverse("sites:plan-picture-add", args=[building.pk])

    def post(data, name="plan.png"):
        return owner.post(url, {"picture": SimpleUploadedFile(name, data)})

    return post


@pytest.mark.parametrize("name", REFUSED)
def test_what_is_no_sound_picture_is_refused_in_words_and_nothing_is_kept(send, files, name):
    response = send(REFUSED[name]())
    assert response.status_code == 422
    ((said,),) = response.context["picture_form"].errors.values()
    assert len(said) > 25
    assert said.endswith(".")
    assert "is kept" not in said
    assert not PlanPicture.objects.exists()
    assert not [path for path in files.rglob("*") if path.is_file()]


@pytest.mark.parametrize("name", TWO_IN_ONE | TURNED)
def test_what_is_sound_is_shown_upright_as_a_plain_jpeg_of_ours(send, owner, name):
    assert send((TWO_IN_ONE | TURNED)[name]()).status_code == 302
    picture = PlanPicture.objects.get()
    response = owner.get(reverse("sites:plan-picture", args=[picture.pk]))
    sent = response.getvalue()
    assert SCRIPT not in sent
    assert response["Content-Type"] == "image/jpeg"
    with Image.open(BytesIO(sent)) as shown:
        assert (shown.format, shown.mode) == ("JPEG", "RGB")
        assert shown.size == (picture.width_px, picture.height_px)
        assert not shown.getexif()


def test_a_name_that_climbs_names_nothing_in_the_store(send, files):
    assert send(jpeg(), "../../../settings.py.png").status_code == 302
    (stored,) = [path for path in files.rglob("*") if path.is_file()]
    assert stored.suffix == ".jpg"
    assert "settings" not in stored.name


def test_a_refused_picture_leaves_the_older_one(send, files):
    send(jpeg())
    older = PlanPicture.objects.get()
    assert send(SCRIPT).status_code == 422
    assert PlanPicture.objects.get() == older
    assert older.file.storage.exists(older.file.name)
