"""Series of numbers: what was left out, given twice, never issued or taken away is named."""

import datetime as dt

import pytest

from sites.models import DocumentNumber, Job
from sites.verify.numbers import Series, all_series, read_series
from tests.factories import ConditionReportFactory, StudioFactory, SurveyFactory, UserFactory
from tests.sites.issued import number_of

pytestmark = pytest.mark.django_db
RESERVED = "it was reserved on 2026-06-01 and never issued"


@pytest.fixture
def studio():
    return StudioFactory()


@pytest.fixture
def report(studio):
    """A function that issues a report under a number, and keeps that number."""

    def make(serial: int, **changed):
        survey = changed.pop("survey", None) or SurveyFactory(building__studio=studio)
        document = ConditionReportFactory(
            survey=survey,
            number=f"CR-2026-{serial:04d}",
            version=changed.get("version", 1),
            supersedes=changed.pop("supersedes", None),
        )
        if changed.pop("numbered", True):
            number_of(document, **changed)
        return document

    return make


def wrong(studio) -> list[str]:
    (series,) = [each for each in all_series() if each.studio_id == studio.pk]
    return read_series(series).wrong


def reserved(studio, serial: int) -> DocumentNumber:
    return DocumentNumber.objects.create(
        studio=studio,
        kind="CR",
        year=2026,
        serial=serial,
        subject=SurveyFactory(building__studio=studio).pk,
        dated=dt.date(2026, 6, 1),
        asked_by=UserFactory(),
    )


def test_a_whole_series_has_nothing_wrong(studio, report):
    first = report(1)
    report(1, survey=first.survey, version=2, supersedes=first)
    report(2)
    assert wrong(studio) == []
    other = StudioFactory()
    reserved(other, 1)
    assert [str(each) for each in all_series()] == ["CR-2026", "CR-2026"]
    assert wrong(studio) == []


def test_a_number_that_was_passed_over_is_named(studio, report):
    report(1), report(4)
    assert wrong(studio) == [
        "CR-2026-0002 version 1: there is no such number, though later ones were given",
        "CR-2026-0003 version 1: there is no such number, though later ones were given",
    ]


def test_a_version_that_was_passed_over_is_named(studio, report):
    first = report(1)
    report(1, survey=first.survey, version=3, supersedes=first)
    assert wrong(studio) == [
        "CR-2026-0001 version 2: there is no such version, though a later one was issued"
    ]


def test_a_number_given_to_two_surveys_is_named(studio, report):
    first = report(1)
    report(1, version=2, supersedes=first)
    assert wrong(studio) == [
        "CR-2026-0001 version 2: the number was given before, to something else"
    ]


def test_a_survey_with_two_numbers_is_named(studio, report):
    first = report(1)
    report(2, survey=first.survey)
    assert wrong(studio) == ["CR-2026-0002 version 1: the same has the number CR-2026-0001 already"]


def test_a_number_reserved_and_never_issued_is_named_unless_it_is_being_printed(studio, report):
    report(1)
    number = reserved(studio, 2)
    (found,) = wrong(studio)
    assert found.startswith(f"CR-2026-0002 version 1: {RESERVED}")
    job = Job.objects.create(
        studio=studio, task="issue_report", key=f"issue_report:{number.subject}:1", arguments={}
    )
    assert wrong(studio) == []
    Job.objects.filter(pk=job.pk).update(state="failed")
    assert wrong(studio) == [found]


def test_an_issued_number_whose_row_was_taken_away_is_named(studio, report):
    report(1)
    number = reserved(studio, 2)
    number.issued = True
    number.save()
    assert wrong(studio) == ["CR-2026-0002 version 1: it was issued, and its row is gone"]


def test_a_document_beyond_the_highest_number_kept_is_named_with_the_next_number(studio, report):
    report(1), report(2, numbered=False)
    assert wrong(studio) == [
        "CR-2026-0002 version 1: it is issued, and its number is kept nowhere",
        "CR-2026-0002 is issued, and the next number given would be CR-2026-0002",
    ]


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"issued": False}, "it is issued, and its number is still kept as not"),
        ({"asked_by": "another"}, "its number was asked for by somebody else"),
        ({"subject": "another"}, "its number was given to something else"),
    ],
)
def test_a_number_that_says_otherwise_than_its_document_is_named(studio, report, changed, says):
    another = UserFactory()
    values = {"another": another if "asked_by" in changed else another.pk}
    report(1, **{name: values.get(value, value) for name, value in changed.items()})
    assert wrong(studio) == [f"CR-2026-0001 version 1: {says}"]


def test_a_document_whose_number_has_no_such_shape_is_no_series(studio):
    ConditionReportFactory(survey__building__studio=studio, number="the first")
    assert list(all_series()) == []
    assert read_series(Series(studio.pk, "CR", 2026)).wrong == []
