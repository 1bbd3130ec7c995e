"""Photographs received, stored as they came, filed once, and made into copies."""

import datetime as dt
import hashlib
from io import BytesIO
from pathlib import Path

import pytest
from django.core.files.storage import FileSystemStorage
from django.db import transaction
from django.utils import timezone
from PIL import Image

from condition.models import Photograph
from condition.services import photographs
from condition.services.photographs import prepare_photograph
from condition.services.recording.photographs import FiledElsewhereError, NotStoredError
from sites.errors import JobFailedError
from sites.jobs import run_now
from sites.models import Job
from sites.services.recording import NotRecordedError
from tests.condition.pictures import heic, jpeg, orientation_exif, quarters, taken_exif
from tests.condition.recorded import receive_photograph, surveyor_at
from tests.factories import BuildingFactory, FindingFactory, OpeningFactory, SurveyFactory

pytestmark = pytest.mark.django_db

BIG = quarters(size=(2000, 1200))


@pytest.fixture
def place(files):
    """Where the photographs of a test go: one finding with its survey, opening and building."""
    finding = FindingFactory()
    building = finding.survey.building
    return {"findings": [finding], "building": building, "user": surveyor_at(building)}


def receive(place, data: bytes, **changes) -> Photograph:
    wanted = {"file": BytesIO(data), "name": "IMG_0001.JPG"}
    return receive_photograph(**(wanted | place | changes))


def stored(files: Path) -> list[Path]:
    return [path for path in files.rglob("*") if path.is_file()]


def test_the_original_is_kept_byte_for_byte_under_its_key(place, files):
    data = jpeg(BIG)
    photograph = receive(place, data, name="../../west window.jpg", caption=" from the tower ")
    (path,) = stored(files)
    assert path.read_bytes() == data
    assert path.parent.name == str(photograph.pk)
    assert photograph.sha256 == hashlib.sha256(data).hexdigest()
    assert (photograph.name, photograph.caption) == ("west window.jpg", "from the tower")
    assert (photograph.width, photograph.height, photograph.bytes) == (2000, 1200, len(data))


def test_a_photograph_of_a_finding_is_of_its_survey_and_opening(place):
    photograph = receive(place, jpeg())
    (finding,) = place["findings"]
    assert (photograph.survey, photograph.opening) == (finding.survey, finding.opening)


def test_the_camera_s_clock_is_kept_as_written_and_the_moment_only_with_its_offset(place):
    local = receive(place, jpeg(exif=taken_exif(b"2026:05:04 10:15:00")))
    known = receive(place, jpeg(exif=taken_exif(b"2026:05:04 10:15:00", b"+02:00")))
    known.refresh_from_db()
    assert (local.taken_local, local.taken_at) == ("2026-05-04T10:15:00", None)
    assert known.taken_local == "2026-05-04T10:15:00+02:00"
    assert known.taken_at == dt.datetime(2026, 5, 4, 8, 15, tzinfo=dt.UTC)


def test_the_same_bytes_again_are_the_same_photograph(place, files):
    first = receive(place, jpeg())
    again = receive(place, jpeg(), name="another name.jpg")
    assert again == first
    assert len(stored(files)) == Photograph.objects.count() == 1


def test_another_building_has_its_own_copy_of_the_same_bytes(place):
    receive(place, jpeg())
    elsewhere = BuildingFactory(studio=place["building"].studio)
    receive(place, jpeg(), building=elsewhere, findings=(), user=None)
    assert Photograph.objects.count() == 2


def test_a_photograph_that_was_not_filed_is_filed_when_it_comes_again_with_a_finding(place):
    loose = receive(place, jpeg(), findings=())
    filed = receive(place, jpeg(), caption="the corner")
    loose.refresh_from_db()
    assert filed == loose
    assert (list(loose.findings.all()), loose.caption) == (place["findings"], "the corner")


def test_a_photograph_sent_again_with_another_finding_there_shows_both(place, files):
    (finding,) = place["findings"]
    other = FindingFactory(survey=finding.survey, opening=finding.opening, kind=finding.kind)
    receive(place, jpeg())
    receive(place, jpeg(), findings=[other])
    assert set(Photograph.objects.get().findings.all()) == {finding, other}
    assert len(stored(files)) == 1


def test_a_photograph_is_never_moved_to_a_finding_elsewhere(place, files):
    (finding,) = place["findings"]
    other = FindingFactory(survey=finding.survey, kind=finding.kind)
    receive(place, jpeg())
    with pytest.raises(FiledElsewhereError, match="already"):
        receive(place, jpeg(), findings=[other])
    assert Photograph.objects.get().findings.get() == finding
    assert len(stored(files)) == 1


def test_a_loose_photograph_is_not_moved_to_another_opening(place):
    survey = place["findings"][0].survey
    opening, other = OpeningFactory.create_batch(2, building=place["building"])
    receive(place, jpeg(), findings=(), survey=survey, opening=opening)
    with pytest.raises(FiledElsewhereError):
        receive(place, jpeg(), findings=(), survey=survey, opening=other)


@pytest.mark.parametrize("data", [b"", b"%PDF-1.7 not a photograph", b"<svg/>", jpeg()[:40]])
def test_what_is_no_photograph_is_refused_and_leaves_nothing(place, files, data):
    with pytest.raises(NotRecordedError):
        receive(place, data)
    assert not Photograph.objects.exists()
    assert not stored(files)


def test_limits_are_those_of_the_settings(place, settings):
    settings.PHOTOGRAPH_MAX_PIXELS = 1000
    with pytest.raises(NotRecordedError, match="96 x 64"):
        receive(place, jpeg())


def test_a_survey_of_another_building_is_refused_and_no_file_stays(place, files):
    stranger = SurveyFactory()
    with pytest.raises(NotRecordedError, match="not known here"):
        receive(place, jpeg(), findings=(), survey=stranger)
    assert not stored(files)


def test_a_file_that_storage_cuts_short_is_noticed_and_taken_away(place, files, monkeypatch):
    def cut(self, name, content):
        content.file = BytesIO(content.read()[:100])
        return save(self, name, content)

    save = FileSystemStorage._save
    monkeypatch.setattr(FileSystemStorage, "_save", cut)
    with pytest.raises(NotStoredError):
        receive(place, jpeg())
    assert not stored(files)
    assert not Photograph.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_inside_a_transaction_a_photograph_is_not_received(place, files):
    with pytest.raises(RuntimeError, match="durable"), transaction.atomic():
        receive(place, jpeg())
    assert not stored(files)


def test_copies_are_asked_for_once_the_photograph_is_in(place, django_capture_on_commit_callbacks):
    with django_capture_on_commit_callbacks(execute=True):
        photograph = receive(place, jpeg())
        assert not Job.objects.exists()
    with django_capture_on_commit_callbacks(execute=True):
        receive(place, jpeg())
    job = Job.objects.get()
    run_now(job, "test")
    job.refresh_from_db()
    photograph.refresh_from_db()
    assert (job.state, photograph.state) == ("done", "ready")
    assert job.result == {"state": "ready"}


def test_a_job_for_a_photograph_that_is_gone_says_so(place):
    photograph = receive(place, jpeg())
    photographs.ask_to_prepare(photograph, place["user"])
    photograph.delete()
    job = run_now(Job.objects.get(), "test")
    assert (job.state, job.problem) == ("failed", "The photograph is no longer there.")


@pytest.mark.parametrize("make", [jpeg, heic])
def test_copies_are_upright_and_never_larger_than_the_photograph(place, make):
    photograph = receive(place, make(BIG, exif=orientation_exif(6)))
    prepare_photograph(photograph)
    sizes = {row.size: (row.width, row.height) for row in photograph.renditions.all()}
    assert sizes == {1600: (960, 1600), 800: (480, 800), 400: (240, 400)}
    for row in photograph.renditions.all():
        with row.file.open() as file, Image.open(file) as copy:
            assert copy.size == (row.width, row.height)
            assert not copy.getexif()


def test_preparing_twice_changes_nothing(place, files):
    photograph = receive(place, jpeg(BIG))
    prepare_photograph(photograph)
    before = {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in stored(files)}
    prepare_photograph(Photograph.objects.get())
    assert {p: (p.stat().st_mtime_ns, p.read_bytes()) for p in stored(files)} == before
    assert len(before) == 4


def test_a_lost_copy_is_made_again_under_the_same_name(place, files):
    photograph = receive(place, jpeg(BIG))
    prepare_photograph(photograph)
    lost = Path(photograph.renditions.get(size=800).file.path)
    lost.unlink()
    prepare_photograph(photograph)
    assert lost.exists()
    assert len(stored(files)) == 4


def test_a_copy_left_by_an_attempt_that_stopped_is_written_over(place, files, monkeypatch):
    photograph = receive(place, jpeg(BIG))

    def stop(rows):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(photographs.Rendition.objects, "bulk_create", stop)
        with pytest.raises(KeyboardInterrupt):
            prepare_photograph(photograph)
    prepare_photograph(Photograph.objects.get())
    names = {path.name for path in stored(files)}
    assert names == {"original.jpeg", "1600.jpg", "800.jpg", "400.jpg"}


def test_a_truncated_photograph_is_kept_as_received_and_called_damaged(place, files):
    data = jpeg(BIG)[:-4000]
    photograph = receive(place, data)
    prepare_photograph(photograph)
    photograph.refresh_from_db()
    assert photograph.state == "damaged"
    assert "cannot be read" in photograph.problem
    assert [path.read_bytes() for path in stored(files)] == [data]


def test_a_photograph_over_limits_lowered_since_is_kept_and_called_damaged(place, settings):
    photograph = receive(place, jpeg())
    settings.PHOTOGRAPH_MAX_PIXELS = 1000
    prepare_photograph(photograph)
    assert photograph.state == "damaged"
    assert "96 x 64" in photograph.problem


def test_an_original_lost_before_its_copies_were_made_is_said_to_be_missing(place, files):
    photograph = receive(place, jpeg())
    Path(photograph.original.path).unlink()
    with pytest.raises(JobFailedError, match=r"its original is missing.* from the backup"):
        prepare_photograph(photograph)
    photograph.refresh_from_db()
    assert photograph.damage.startswith("its original is missing: ")
    # Not for ever "being prepared", which holds up the report.
    assert photograph.state == "damaged"


def test_who_sent_it_and_when_is_kept(place):
    photograph = receive(place, jpeg())
    assert photograph.recorded_by == place["user"]
    assert timezone.now() - photograph.received_at < dt.timedelta(minutes=1)
