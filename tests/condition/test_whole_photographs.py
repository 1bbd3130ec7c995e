"""Photographs that went bad in storage: named where they are used, and mended where they can be."""

import datetime as dt
from dataclasses import replace
from io import BytesIO, StringIO
from pathlib import Path

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone

from condition.documents.images import fetch_copies
from condition.models import MakeSafeNotice, Photograph
from condition.photo_urls import signed_url
from condition.services import notices
from condition.services.notices import ask_for_notice
from condition.services.photographs import prepare_photograph
from condition.services.whole_photographs import AT_ONCE, photographs_kept, read_photograph
from condition.views.pictures import picture_of
from sites.jobs import run_now
from sites.models import Change, Job
from sites.printing import Printed
from sites.services.issuing import Draft
from tests.condition.pictures import jpeg, quarters
from tests.condition.recorded import receive_photograph
from tests.condition.safety.dangers import WORDS
from tests.factories import (
    DangerFactory,
    FindingFactory,
    OpeningFactory,
    PhotographFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db
BIG = quarters(size=(1000, 600))


@pytest.fixture
def place(files, building, people):
    finding = FindingFactory(
        survey=SurveyFactory(building=building), opening=OpeningFactory(building=building)
    )
    return {"building": building, "findings": [finding], "user": people["surveyor"]}


@pytest.fixture
def send(place):
    """A function that sends the photograph of a finding; the same each time."""

    def receive() -> Photograph:
        return receive_photograph(
            **place,
            survey=None,
            opening=None,
            file=BytesIO(jpeg(BIG)),
            name="IMG_0001.JPG",
            caption="Lower tab",
        )

    return receive


@pytest.fixture
def photograph(send):
    made = send()
    prepare_photograph(made)
    return read_anew(made)


def read_anew(photograph: Photograph) -> Photograph:
    return Photograph.objects.get(pk=photograph.pk)


def original(photograph: Photograph) -> Path:
    return Path(photograph.original.path)


def copy_of(photograph: Photograph, size: int) -> Path:
    return original(photograph).parent / f"{size}.jpg"


def flip_a_byte(path: Path) -> None:
    data = bytearray(path.read_bytes())
    data[len(data) // 2] ^= 1
    path.write_bytes(data)


def verify() -> tuple[int, str]:
    out = StringIO()
    try:
        call_command("verify_documents", stdout=out)
    except SystemExit as ended:
        return int(ended.code or 0), out.getvalue()
    return 0, out.getvalue()


def page(client, photograph) -> str:
    return client.get(reverse("condition:photograph", args=[photograph.pk])).content.decode()


# Read and named.
def test_a_whole_photograph_is_counted_and_nothing_changes(photograph):
    before = Change.objects.count()
    assert verify()[0] == 0
    assert "photographs with their copies: 1 read, 0 wrong\n" in verify()[1]
    assert Change.objects.count() == before


def test_a_damaged_original_is_named_noted_and_kept_with_who_found_it(photograph):
    began = timezone.now()
    flip_a_byte(original(photograph))
    code, told = verify()
    length = photograph.bytes
    assert code == 1
    assert f"photograph {photograph.pk}, Lower tab (" in told
    assert f"its original has been changed: {length} bytes now, {length} when it was kept\n" in told
    found = read_anew(photograph)
    assert found.damage.startswith("its original has been changed")
    assert found.damage_found_at >= began
    assert found.state == "ready"
    assert Change.objects.latest("pk").actor == "verify_documents"


def test_damage_keeps_the_day_it_was_found_and_goes_when_the_file_is_whole_again(photograph):
    data = original(photograph).read_bytes()
    original(photograph).unlink()
    assert verify()[0] == 1
    first = read_anew(photograph).damage_found_at
    assert verify()[0] == 1
    assert read_anew(photograph).damage_found_at == first
    original(photograph).write_bytes(data)
    assert verify()[0] == 0
    assert (read_anew(photograph).damage, read_anew(photograph).damage_found_at) == ("", None)


@pytest.mark.parametrize("harm", [Path.unlink, flip_a_byte])
def test_a_lost_or_damaged_copy_is_made_again_from_a_whole_original(photograph, harm):
    was = copy_of(photograph, 800).read_bytes()
    harm(copy_of(photograph, 800))
    code, told = verify()
    assert code == 0
    assert "lost or damaged copies were made again: 800 px" in told
    assert "1 read, 0 wrong, 1 mended" in told
    assert copy_of(photograph, 800).read_bytes() == was
    assert "mended" not in verify()[1]


def test_a_copy_is_never_made_from_a_damaged_original(photograph):
    flip_a_byte(original(photograph))
    copy_of(photograph, 800).unlink()
    code, told = verify()
    assert code == 1
    assert "copies are lost too, and cannot be made again: 800 px" in told
    assert not copy_of(photograph, 800).exists()
    # It is shown by the copies that are left, and no page asks for the one that is gone.
    assert [each.size for each in photograph.renditions.all()] == [400, 1600]
    shown = picture_of(read_anew(photograph), photograph.building.studio_id, 800)
    assert "/1600" in shown.image_url


def test_a_photograph_with_nothing_left_is_called_damaged_until_it_is_brought_back(photograph):
    data = original(photograph).read_bytes()
    for path in original(photograph).parent.iterdir():
        path.unlink()
    assert verify()[0] == 1
    gone = read_anew(photograph)
    assert (gone.state, gone.problem) == ("damaged", gone.damage)
    original(photograph).write_bytes(data)
    assert verify()[0] == 0
    back = read_anew(photograph)
    assert (back.state, back.damage, back.problem) == ("ready", "", "")
    assert copy_of(photograph, 1600).exists()


def test_what_arrived_damaged_is_whole_as_long_as_its_bytes_are_as_received(place):
    cut = jpeg(BIG)[:-4000]
    photograph = receive_photograph(
        **place, survey=None, opening=None, file=BytesIO(cut), name="x.jpg", caption=""
    )
    prepare_photograph(photograph)
    assert photograph.state == "damaged"
    assert verify()[0] == 0
    flip_a_byte(original(photograph))
    assert verify()[0] == 1
    # What was wrong with it when it came is still told.
    assert read_anew(photograph).problem == photograph.problem


def test_more_photographs_than_are_in_memory_at_once_are_all_read_once(building):
    made = {PhotographFactory(building=building).pk for _ in range(AT_ONCE + 2)}
    PhotographFactory()
    read = [photograph.pk for photograph in photographs_kept(building)]
    assert len(read) == AT_ONCE + 2
    assert set(read) == made


def test_a_disk_that_fails_for_now_is_no_damage(photograph, monkeypatch):
    def fail(*args):
        raise OSError(5, "Input/output error")

    with monkeypatch.context() as patch:
        patch.setattr(photograph.original.storage.__class__, "_open", fail)
        code, told = verify()
    assert code == 1
    assert "it cannot be read at present: " in told
    assert read_anew(photograph).damage == ""


# Where it is used.
def test_its_page_says_what_is_wrong_since_when_and_what_to_do(reader, surveyor, photograph):
    assert "is not as it was received" not in page(reader, photograph)
    flip_a_byte(original(photograph))
    read_photograph(photograph)
    day = dt.date.today()
    text = page(reader, photograph)
    assert "The original of this photograph is not as it was received." in text
    assert f"Found on {day.day} {day:%B %Y}: Its original has been changed" in text
    assert "What is shown here is a copy made before" in text
    assert "Save what is left of the original" in page(surveyor, photograph)


def test_its_page_says_so_where_nothing_can_be_shown(reader, photograph):
    for path in original(photograph).parent.iterdir():
        path.unlink()
    read_photograph(photograph)
    text = page(reader, photograph)
    assert "No copy of it is left either" in text
    assert "<img" not in text.split("photograph-large")[1].split("</figure>")[0]


def test_lists_of_a_finding_mark_it(reader, photograph):
    flip_a_byte(original(photograph))
    read_photograph(photograph)
    finding = photograph.findings.get()
    for url in (finding.get_absolute_url(), finding.survey.get_absolute_url()):
        assert "Its original is damaged or lost" in reader.get(url).content.decode()


def test_the_review_names_it_and_today_lists_it(surveyor, photograph):
    review = reverse("condition:survey-review", args=[photograph.survey_id])
    assert "originals-lost" not in surveyor.get(review).content.decode()
    flip_a_byte(original(photograph))
    read_photograph(photograph)
    text = surveyor.get(review).content.decode()
    assert "The original of one photograph is damaged or lost in storage" in text
    assert reverse("condition:photograph", args=[photograph.pk]) in text
    today = surveyor.get(reverse("today")).content.decode()
    assert "Original damaged or lost" in today
    assert "Its original has been changed" in today or "its original has been changed" in today


def test_a_damaged_original_is_never_sent_under_its_own_name(surveyor, photograph):
    url = reverse("condition:photograph-original", args=[photograph.pk])
    flip_a_byte(original(photograph))
    response = surveyor.get(url)
    assert response.getvalue()
    assert 'filename="damaged IMG_0001.JPG"' in response["Content-Disposition"]
    assert read_anew(photograph).damage


@pytest.mark.parametrize("left", [True, False])
def test_a_notice_is_issued_all_the_same_and_says_it(photograph, people, monkeypatch, left):
    def print_few_bytes(snapshot, images):
        return Draft(snapshot, "", images), Printed(b"%PDF-1.7", pages=1)

    monkeypatch.setattr(notices, "print_on_one_page", print_few_bytes)
    finding = photograph.findings.get()
    danger = DangerFactory(
        building=photograph.building, opening=finding.opening, opened_on=WORDS.done_on
    )
    photograph.findings.update(danger=danger)
    if left:
        flip_a_byte(original(photograph))
    else:
        for path in original(photograph).parent.iterdir():
            path.unlink()
    words = replace(WORDS, photograph=photograph.pk)
    job = run_now(ask_for_notice(danger, words, 1, people["surveyor"]), "test")
    assert (job.state, job.problem) == ("done", "")
    snapshot = MakeSafeNotice.objects.get().snapshot
    if left:
        assert "the original was found damaged or lost on" in snapshot["picture"]["caption"]
    else:
        assert snapshot["picture"] is None
        assert snapshot["picture_note"] == (
            "The photograph is damaged in storage and cannot be shown."
        )


# Mended on the spot.
def test_asking_for_a_lost_copy_has_it_made_again(client, photograph):
    url = signed_url(photograph.pk, 400, photograph.building.studio_id)
    copy_of(photograph, 400).unlink()
    for _ in range(3):
        assert client.get(url).status_code == 404
    job = Job.objects.get(key__contains=" again ")
    assert run_now(job, "test").state == "done"
    answer = client.get(url)
    assert answer.getvalue()
    assert answer.status_code == 200


def test_the_same_photograph_sent_again_puts_its_original_back(send, photograph):
    data = original(photograph).read_bytes()
    flip_a_byte(original(photograph))
    read_photograph(photograph)
    assert send().pk == photograph.pk
    assert original(photograph).read_bytes() == data
    assert (read_anew(photograph).damage, read_anew(photograph).state) == ("", "ready")
    assert verify()[0] == 0


@pytest.mark.django_db(transaction=True)
def test_sent_again_it_gets_its_copies_back_too(send, photograph):
    for path in original(photograph).parent.iterdir():
        path.unlink()
    read_photograph(photograph)
    assert read_anew(photograph).state == "damaged"
    send()
    run_now(Job.objects.get(key__contains=" again "), "test")
    assert read_anew(photograph).state == "ready"
    assert verify()[0] == 0


def test_a_document_prints_the_nearest_copy_where_one_is_lost(photograph, tmp_path):
    photograph.renditions.filter(size=800).delete()
    found = fetch_copies([photograph.pk], tmp_path)
    assert list(found) == [f"photo:{photograph.pk}/800"]
    assert (
        found[f"photo:{photograph.pk}/800"].read_bytes() == copy_of(photograph, 1600).read_bytes()
    )
