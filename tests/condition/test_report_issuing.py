"""Issuing a condition report: asked for once, done once however often it is tried, and frozen."""

import datetime as dt
import hashlib
import json
from io import BytesIO
from pathlib import Path

import jsonschema
import pikepdf
import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import DatabaseError, transaction
from django.utils import timezone

from condition.models import ConditionReport, Finding, Photograph
from condition.services import issuing
from condition.services.issuing import (
    SCHEMA_FILE,
    ReportNotReadyError,
    ask_for_report,
    issue_report,
    missing_for_report,
    recorded_after,
)
from sites.documents.canonical import canonical, digest
from sites.documents.words import day_words
from sites.jobs import run_now
from sites.models import DocumentNumber, Job
from sites.printing import Printed
from sites.services import issuing as shared_issuing
from sites.verify.documents import troubles_of
from tests.condition.reports import Visit
from tests.factories import InspectionFactory, PhotographFactory, SurveyFactory
from tests.progress import UnwatchedProgress

pytestmark = pytest.mark.django_db


class KilledError(BaseException):
    """What a worker meets when it is killed: nothing catches it."""


@pytest.fixture
def visit(files) -> Visit:
    return Visit()


@pytest.fixture
def quick_print(monkeypatch) -> None:
    """Printing itself is tested elsewhere: here a few bytes do."""

    def print_few_bytes(draft) -> Printed:
        return Printed(b"%PDF-1.7 " + digest(draft.snapshot).encode(), pages=3)

    monkeypatch.setattr(issuing, "print_draft", print_few_bytes)


def issue(visit: Visit, version: int = 1) -> ConditionReport:
    return issue_report(visit.survey, version, visit.user, UnwatchedProgress())


def again(report: ConditionReport) -> ConditionReport:
    """The report as it is read anew, its files not yet opened."""
    return ConditionReport.objects.get(pk=report.pk)


def kept(report: ConditionReport) -> bytes:
    with report.pdf.open("rb") as file:
        return file.read()


def test_a_report_is_asked_for_printed_and_issued(visit):
    job = run_now(ask_for_report(visit.survey, visit.user), "test")
    assert (job.state, job.problem) == ("done", "")
    report = ConditionReport.objects.get(pk=job.result["report"])
    assert report.number == f"CR-{report.dated.year}-0001"
    assert (report.version, report.supersedes, report.issued_by) == (1, None, visit.user)
    data = kept(report)
    assert report.pdf.name == f"{visit.studio.pk}/documents/{report.pk}.pdf"
    assert data.startswith(b"%PDF-1.7")
    assert report.pdf_sha256 == hashlib.sha256(data).hexdigest()
    assert report.pdf_bytes == len(data)
    assert report.snapshot_sha256 == digest(report.snapshot)
    assert report.pages > 3
    assert DocumentNumber.objects.get().issued


def test_asking_twice_is_one_job_and_asking_after_issue_is_the_next_version(visit, quick_print):
    first = ask_for_report(visit.survey, visit.user)
    assert ask_for_report(visit.survey, visit.user) == first
    run_now(first, "test")
    second = ask_for_report(visit.survey, visit.user)
    assert second != first
    assert run_now(second, "test").state == "done"
    assert [report.version for report in visit.survey.reports.order_by("version")] == [1, 2]


def test_a_new_version_keeps_the_number_and_supersedes_the_last(visit, quick_print):
    first, second = issue(visit), issue(visit, version=2)
    assert second.number == first.number
    assert second.supersedes == first
    first.refresh_from_db()
    assert first.is_superseded
    assert second.snapshot["document"]["supersedes"]["version"] == 1


def test_the_next_survey_of_the_studio_gets_the_next_number(visit, quick_print):
    first = issue(visit)
    other = SurveyFactory(building=visit.building)
    InspectionFactory(survey=other, opening=visit.openings["I"])
    visit.survey = other
    assert issue(visit).number == first.number[:-1] + "2"


def test_it_is_dated_as_the_day_is_at_the_building(visit, quick_print, monkeypatch):
    monkeypatch.setattr(
        "sites.services.numbers.timezone.now",
        lambda: dt.datetime(2026, 12, 31, 22, 0, tzinfo=dt.UTC),
    )
    visit.building.time_zone = "Pacific/Auckland"
    visit.building.save()
    report = issue(visit)
    assert (report.dated, report.number) == (dt.date(2027, 1, 1), "CR-2027-0001")


@pytest.mark.faults
@pytest.mark.parametrize(
    ("module", "step"),
    [
        (issuing, "reserve_number"),
        (issuing, "build_snapshot"),
        (issuing, "report_html"),
        (issuing, "fetch_images"),
        (issuing, "print_draft"),
        (shared_issuing.default_storage, "save"),
        (shared_issuing, "_insert"),
        (issuing, "freeze"),
    ],
)
def test_killed_after_any_step_and_run_again_there_is_one_report(
    visit, quick_print, monkeypatch, module, step
):
    done = getattr(module, step)

    def die(*args, **fields):
        done(*args, **fields)
        raise KilledError(step)

    with monkeypatch.context() as patch:
        patch.setattr(module, step, die)
        with pytest.raises(KilledError):
            issue(visit)
    reserved = DocumentNumber.objects.get()
    report = issue(visit)
    assert list(ConditionReport.objects.all()) == [report]
    assert report.number == reserved.number
    assert DocumentNumber.objects.get().issued
    assert hashlib.sha256(kept(report)).hexdigest() == report.pdf_sha256


def test_a_file_left_by_a_killed_worker_belongs_to_no_report(visit, quick_print):
    orphan = default_storage.save(
        f"{visit.studio.pk}/documents/left.pdf", ContentFile(b"half a file")
    )
    report = issue(visit)
    assert report.pdf.name != orphan
    assert not ConditionReport.objects.filter(pdf=orphan).exists()


def test_a_document_that_cannot_be_printed_tells_why_and_keeps_its_number(visit, monkeypatch):
    with monkeypatch.context() as patch:
        # The storage that was whole a moment ago is not there any more.
        patch.setattr(issuing, "fetch_images", lambda snapshot, folder: {})
        job = run_now(ask_for_report(visit.survey, visit.user), "test")
    assert job.state == "failed"
    assert "photograph's file is missing or damaged: Photograph" in job.problem
    assert "finding 4 (failed solder joint)" in job.problem
    assert not ConditionReport.objects.exists()
    number = DocumentNumber.objects.get()
    assert not number.issued
    again = run_now(ask_for_report(visit.survey, visit.user), "test")
    assert again.state == "done"
    assert ConditionReport.objects.get().number == number.number


def test_nothing_recorded_and_photographs_not_ready_are_named(user):
    survey = SurveyFactory()
    PhotographFactory(building=survey.building, survey=survey)
    PhotographFactory(building=survey.building, survey=survey)
    with pytest.raises(ReportNotReadyError) as refused:
        ask_for_report(survey, user)
    assert refused.value.missing == missing_for_report(survey)
    assert "Nothing is recorded yet" in str(refused.value)
    assert "2 photographs are still being prepared" in str(refused.value)
    assert not Job.objects.exists()


def test_a_survey_that_found_nothing_can_be_reported(user):
    survey = SurveyFactory()
    InspectionFactory(survey=survey)
    assert missing_for_report(survey) == []


def test_what_is_changed_later_changes_nothing_issued(visit, quick_print):
    report = issue(visit)
    Finding.objects.filter(survey=visit.survey, number=4).update(note="Written afterwards")
    report.refresh_from_db()
    assert "Written afterwards" not in str(report.snapshot)
    assert digest(report.snapshot) == report.snapshot_sha256


@pytest.mark.both_engines
def test_an_issued_report_cannot_be_changed_or_deleted(visit, quick_print):
    report = issue(visit)
    with pytest.raises(DatabaseError, match="condition report"), transaction.atomic():
        ConditionReport.objects.filter(pk=report.pk).update(pages=99)
    with pytest.raises(DatabaseError, match="condition report"), transaction.atomic():
        ConditionReport.objects.filter(pk=report.pk).delete()
    report.refresh_from_db()
    assert report.pages == 3


# What is recorded while it is being printed.
def test_a_finding_saved_while_the_report_is_printing_is_not_lost_from_sight(visit, monkeypatch):
    def print_slowly(draft) -> Printed:
        visit.finding("sII", "slipped-glass", 70, hazard=True)
        return Printed(b"%PDF-1.7", pages=3)

    monkeypatch.setattr(issuing, "print_draft", print_slowly)
    report = issue(visit)
    assert '"number": 70' not in json.dumps(report.snapshot)
    told = recorded_after(report)
    assert "findings recorded: 1" in told
    assert "entries about dangers: 1" in told


def test_nothing_is_said_to_have_come_after_where_nothing_did(visit, quick_print):
    assert recorded_after(issue(visit)) == []


def test_what_was_changed_or_removed_since_is_said(visit, quick_print):
    report = issue(visit)
    Finding.objects.filter(survey=visit.survey, number=4).update(note="Written afterwards")
    Finding.objects.filter(survey=visit.survey, number=5).delete()
    InspectionFactory(survey=visit.survey, opening=visit.openings["I"])
    assert recorded_after(report) == ["findings changed or removed: 2", "looks recorded: 1"]


# The copy for keeping.
def test_the_copy_for_keeping_is_issued_with_the_report(visit):
    job = run_now(ask_for_report(visit.survey, visit.user), "test")
    report = ConditionReport.objects.get(pk=job.result["report"])
    with report.archival.open("rb") as file:
        data = file.read()
    assert report.archival.name == f"{visit.studio.pk}/documents/{report.pk}-archival.pdf"
    assert report.archival_sha256 == hashlib.sha256(data).hexdigest()
    assert report.archival_bytes == len(data)
    with pikepdf.open(BytesIO(data)) as pdf:
        inside = {name: pdf.attachments[name].get_file().read_bytes() for name in pdf.attachments}
        with pdf.open_metadata() as metadata:
            assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "A")
        assert len(pdf.pages) == report.pages
    assert inside == {
        "snapshot.json": canonical(report.snapshot),
        "condition-report-5.schema.json": SCHEMA_FILE.read_bytes(),
    }
    # The schema that goes with the data is one the data keeps to.
    schema = json.loads(inside["condition-report-5.schema.json"])
    jsonschema.Draft202012Validator(schema).validate(json.loads(inside["snapshot.json"]))


def test_verifying_knows_the_copy_for_keeping(visit, monkeypatch):
    monkeypatch.setattr(
        issuing,
        "print_draft",
        lambda draft: Printed(b"%PDF-1.7 to read", pages=3, archival=b"%PDF-1.7 to keep"),
    )
    report = issue(visit)
    assert troubles_of(again(report)) == []
    Path(report.archival.path).write_bytes(b"%PDF-1.7 not it")
    assert troubles_of(again(report)) == [
        "its file has been changed: 15 bytes now, 16 when it was kept"
    ]
    Path(report.archival.path).unlink()
    assert troubles_of(again(report)) == [f"its file is missing: {report.archival.name}"]


@pytest.mark.both_engines
def test_the_copy_for_keeping_is_frozen_with_the_row(visit, quick_print):
    report = issue(visit)
    with pytest.raises(DatabaseError, match="condition report"), transaction.atomic():
        ConditionReport.objects.filter(pk=report.pk).update(archival="another.pdf")


@pytest.mark.faults
def test_a_second_worker_leaves_no_second_copy(visit, monkeypatch):
    """Both print; the row of the first stands, and both files of the second go."""
    monkeypatch.setattr(
        issuing, "print_draft", lambda draft: Printed(b"%PDF-1.7", pages=1, archival=b"%PDF-1.7 k")
    )
    stored = []
    store = shared_issuing._store
    monkeypatch.setattr(
        shared_issuing, "_store", lambda name, data: stored.append(store(name, data)) or stored[-1]
    )
    freeze = issuing.freeze

    def twice(table, **fields):
        freeze(table, **fields)
        return freeze(table, **fields)

    monkeypatch.setattr(issuing, "freeze", twice)
    report = issue(visit)
    assert len(stored) == 4
    there = [name for name in stored if default_storage.exists(name)]
    assert sorted(there) == sorted([report.pdf.name, report.archival.name])


# Photographs that went bad in storage, at the moment that is printed for ever.
def of_finding_4(visit) -> Photograph:
    return visit.survey.photographs.filter(findings__number=4).first()


def entry_of(report: ConditionReport, photograph: Photograph) -> dict:
    shown = [each for opening in report.snapshot["openings"] for each in opening["photographs"]]
    (entry,) = [each for each in shown if each["id"] == str(photograph.pk)]
    return entry


def test_a_damaged_original_is_found_as_the_report_is_issued_and_said_under_its_copy(
    visit, quick_print
):
    sound, damaged = entry_of(issue(visit), of_finding_4(visit)), of_finding_4(visit)
    Path(damaged.original.path).write_bytes(b"not what was received")
    entry = entry_of(issue(visit, 2), damaged)
    day = day_words(timezone.now().date(), "en_GB")
    assert entry["own_caption"].endswith(
        f"the original was found damaged or lost on {day}; this copy was made before"
    )
    assert entry["own_caption"].startswith(sound["own_caption"])
    assert entry["sha256"] == sound["sha256"]


def test_a_lost_copy_is_made_again_as_the_report_is_issued(visit, quick_print):
    photograph = of_finding_4(visit)
    (copy,) = photograph.renditions.filter(size=800)
    Path(copy.file.path).unlink()
    entry = entry_of(issue(visit), photograph)
    assert Path(copy.file.path).exists()
    assert "damaged" not in entry["own_caption"]


def test_a_photograph_nothing_is_left_of_is_counted_and_not_printed(visit, quick_print):
    photograph = of_finding_4(visit)
    for path in Path(photograph.original.path).parent.glob("*"):
        if path.name == Path(photograph.original.path).name or str(photograph.pk) in str(path):
            path.unlink()
    photograph.renditions.all().delete()
    report = issue(visit)
    assert str(photograph.pk) not in str(report.snapshot)
    assert report.snapshot["counts"]["photographs_damaged"] == 1
