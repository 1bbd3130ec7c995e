"""What is agreed on a building's reports: times, shelf life, who may rely on them."""

import datetime as dt

import pytest
from django.core.files.base import ContentFile
from django.urls import reverse

from condition.documents.changes import apart
from condition.documents.terms import months_after, terms_of, within
from condition.models import ReportTerms
from condition.models.choices import UrgencyClass
from tests.factories import ConditionReportFactory, InspectionFactory, SurveyFactory, issued_fields

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("day", "months", "expected"),
    [
        (dt.date(2026, 5, 12), 24, dt.date(2028, 5, 12)),
        (dt.date(2026, 1, 31), 1, dt.date(2026, 2, 28)),
        (dt.date(2023, 8, 31), 6, dt.date(2024, 2, 29)),
        (dt.date(2026, 12, 15), 1, dt.date(2027, 1, 15)),
    ],
)
def test_a_report_holds_as_many_months_from_the_day_of_the_visit(day, months, expected):
    assert months_after(day, months) == expected


@pytest.mark.parametrize(
    ("earlier", "later", "expected"),
    [
        (dt.date(2015, 6, 9), dt.date(2026, 5, 12), "almost 11 years"),
        (dt.date(2015, 6, 9), dt.date(2026, 6, 9), "11 years"),
        (dt.date(2025, 6, 9), dt.date(2026, 6, 8), "11 months"),
        (dt.date(2026, 5, 1), dt.date(2026, 5, 31), "30 days"),
        (dt.date(2026, 5, 1), dt.date(2026, 5, 2), "1 day"),
        (dt.date(2020, 5, 1), dt.date(2022, 2, 1), "1 year"),
    ],
)
def test_how_far_apart_two_visits_are_is_said_in_whole_units(earlier, later, expected):
    assert apart(earlier, later) == expected


def test_what_is_agreed_is_said_with_its_times():
    survey = SurveyFactory(day=dt.date(2026, 5, 12), client="The vestry")
    agreed = ReportTerms(building=survey.building, short_years=3, relied_on_by="The insurer")
    terms = terms_of(survey, agreed, "en_GB")
    assert (terms.agreed, terms.until_words, terms.relied_on_by) == (
        True,
        "12 May 2028",
        "The insurer",
    )
    assert [within(terms, level) for level in UrgencyClass.values] == [
        "to be looked at again within 10 years",
        "within 5 years",
        "within 3 years",
        "within 1 month",
    ]


def test_without_an_agreement_no_day_is_named_and_the_studios_words_stand():
    survey = SurveyFactory(client="The vestry")
    terms = terms_of(survey, None, "en_GB")
    assert (terms.agreed, terms.until, terms.relied_on_by) == (False, "", "The vestry")
    assert terms.limits == survey.building.studio.reliance


# The form.
FORM = {
    "immediate_months": "2",
    "short_years": "3",
    "intermediate_years": "6",
    "long_years": "12",
    "shelf_months": "36",
    "relied_on_by": "The diocese",
}


@pytest.fixture
def url(building):
    return reverse("condition:report-terms", args=[building.pk])


def test_the_terms_are_set_and_changed_on_one_page(owner, building, url):
    assert owner.get(url).status_code == 200
    assert owner.post(url, FORM).status_code == 302
    assert owner.post(url, FORM | {"short_years": "1"}).status_code == 302
    terms = ReportTerms.objects.get(building=building)
    assert (terms.short_years, terms.long_years, terms.relied_on_by) == (1, 12, "The diocese")


@pytest.mark.parametrize(
    ("changed", "told"),
    [
        ({"short_years": "9"}, "Each later term must be at least as long as the one before."),
        ({"short_years": "0"}, "Each later term must be at least as long as the one before."),
        ({"long_years": "-3"}, "greater than or equal to 0"),
        ({"long_years": "99999999999"}, "less than or equal to"),
        ({"shelf_months": "NaN"}, "is not a number"),
        ({"shelf_months": ""}, "This must be filled in."),
        ({"relied_on_by": "a\x00b"}, "Null characters are not allowed."),
        ({"relied_on_by": "x" * 241}, "at most 240 characters"),
    ],
)
def test_terms_that_cannot_be_come_back_with_what_to_mend(owner, url, changed, told):
    response = owner.post(url, FORM | changed)
    assert response.status_code == 422
    assert told in response.content.decode()
    assert not ReportTerms.objects.exists()


def test_the_page_of_the_survey_leads_to_the_terms(owner, building, url):
    survey = SurveyFactory(building=building)
    InspectionFactory(survey=survey, opening__building=building)
    assert url in owner.get(survey.get_absolute_url()).content.decode()


# Who gets the report, and the copy for keeping.
def test_who_gets_the_report_is_written_with_the_survey(owner, building):
    survey = SurveyFactory(building=building)
    url = reverse("condition:survey-edit", args=[survey.pk])
    response = owner.post(
        url,
        {
            "day": survey.day.isoformat(),
            "surveyors": survey.surveyors,
            "distribution": "The vestry\nThe diocesan office",
        },
    )
    assert response.status_code == 302
    survey.refresh_from_db()
    assert survey.distribution.splitlines() == ["The vestry", "The diocesan office"]


def test_the_copy_for_keeping_is_saved_under_a_name_of_its_own(reader, building, files):
    report = ConditionReportFactory(
        survey=SurveyFactory(building=building),
        **issued_fields("CR-2026-0007"),
        archival=ContentFile(b"%PDF-1.7 to keep", name="keep.pdf"),
    )
    response = reader.get(reverse("condition:report-archival", args=[report.pk]))
    assert response.headers["Content-Disposition"] == (
        'attachment; filename="CR-2026-0007-v1-archival.pdf"'
    )
    assert b"".join(response.streaming_content) == b"%PDF-1.7 to keep"
    page = reader.get(report.get_absolute_url()).content.decode()
    assert "Save the copy for keeping" in page


def test_a_report_issued_before_there_was_such_a_copy_offers_none(reader, building, files):
    report = ConditionReportFactory(survey=SurveyFactory(building=building))
    assert reader.get(reverse("condition:report-archival", args=[report.pk])).status_code == 404
    page = reader.get(report.get_absolute_url()).content.decode()
    assert "copy for keeping" not in page.lower()


def test_terms_agreed_earlier_stay_as_they_were(owner, building, url):
    then = dt.date(2019, 3, 2)
    ReportTerms.objects.create(building=building, short_years=3, in_force_from=then)
    assert owner.post(url, FORM).status_code == 302
    assert owner.post(url, FORM | {"short_years": "1"}).status_code == 302
    rows = ReportTerms.objects.in_force(building)
    assert [row.short_years for row in rows] == [1, 3]
    assert rows[1].in_force_from == then
