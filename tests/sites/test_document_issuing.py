"""Freezing a document: one row whoever comes second, one file, and data of one moment."""

import threading
from pathlib import Path

import pytest
from django.db import IntegrityError, connection

from condition.models import ConditionReport
from sites.documents.moment import repeatable_read
from sites.models import DocumentNumber, Studio
from sites.models.choices import DocumentKind
from sites.printing import Printed
from sites.services.issuing import Draft, freeze
from sites.services.numbers import reserve_number, today_at
from tests.factories import StudioFactory, SurveyFactory, UserFactory
from tests.sites.test_document_numbers import at_once

pytestmark = [pytest.mark.both_engines, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def survey(files):
    return SurveyFactory()


@pytest.fixture
def number(survey) -> DocumentNumber:
    return reserve_number(
        studio=survey.building.studio,
        kind=DocumentKind.REPORT,
        subject=survey.pk,
        dated=today_at(survey.building),
        user=UserFactory(),
    )


def freeze_report(survey, number: DocumentNumber, text: str) -> ConditionReport:
    return freeze(
        ConditionReport,
        number=number,
        building=survey.building,
        supersedes=None,
        draft=Draft({"schema": "test", "text": text}, "<p></p>", {}),
        printed=Printed(text.encode(), pages=1),
        survey=survey,
    )


def stored(files: Path) -> list[str]:
    return [path.name for path in files.rglob("*.pdf")]


def test_two_workers_with_one_number_get_one_row_and_leave_one_file(survey, number, files):
    names = iter(("first", "second", "third"))
    reports = at_once(3, lambda: freeze_report(survey, number, next(names)))
    assert len({report.pk for report in reports}) == ConditionReport.objects.count() == 1
    report = ConditionReport.objects.get()
    assert stored(files) == [f"{report.pk}.pdf"]
    assert (files / report.pdf.name).read_text() == report.snapshot["text"]


def test_the_file_of_an_issued_document_is_never_written_over(survey, number, files):
    first = freeze_report(survey, number, "as issued")
    again = freeze_report(survey, number, "another")
    assert again == first
    assert (files / first.pdf.name).read_text() == "as issued"


def test_a_row_that_is_refused_is_not_issued_and_its_number_stays_reserved(survey, number):
    with pytest.raises(IntegrityError):
        freeze(
            ConditionReport,
            number=number,
            building=survey.building,
            supersedes=None,
            draft=Draft({"schema": "test"}, "", {}),
            printed=Printed(b"x", pages=-1),
            survey=survey,
        )
    number.refresh_from_db()
    assert not number.issued
    assert not ConditionReport.objects.exists()
    assert freeze_report(survey, number, "whole").number == number.number


def test_what_others_write_meanwhile_is_not_seen_and_nobody_waits():
    StudioFactory()

    def add_another() -> None:
        StudioFactory()
        connection.close()

    writer = threading.Thread(target=add_another)
    with repeatable_read():
        assert Studio.objects.count() == 1
        writer.start()
        writer.join(timeout=10)
        assert not writer.is_alive()
        assert Studio.objects.count() == 1
    writer.join()
    assert Studio.objects.count() == 2


def test_one_moment_may_stand_inside_another():
    with repeatable_read(), repeatable_read():
        assert Studio.objects.count() == 0
