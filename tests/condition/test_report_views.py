"""Issuing a report from its survey, and the page of a report as it was issued."""

import pytest
from django.core.files.base import ContentFile
from django.test import Client
from django.urls import reverse

from condition.models import ConditionReport
from sites.models import Job
from sites.models.job import JobState
from tests.factories import (
    ConditionReportFactory,
    FindingFactory,
    OpeningFactory,
    PhotographFactory,
    SurveyFactory,
    issued_fields,
)

pytestmark = pytest.mark.django_db

SNAPSHOT = {
    "document": {"issued_by": "Ines as she was called then"},
    "dangers": [
        {
            "id": "1",
            "what": "Loose item: <b>it hangs</b>.",
            "happens": "It can come down now.",
            "held_words": "Wired to the bar. Since 12 May 2026.",
            "seen_again": True,
        }
    ],
    "page_one": {
        "places": 1,
        "answer": "Yes, at one place.",
        "lead": "One place is held for the time being.",
        "moment_words": "20 May 2026, 14:05",
        "rows": [
            {
                "danger": "1",
                "group": "danger",
                "place": 1,
                "where": "Over the font",
                "code": "nIV P1",
            }
        ],
        "shut": [{"area": "The font pew"}],
        "windows": [
            {"count": 3, "title": "to be seen to now", "by": "x", "by_words": "by 12 June"}
        ],
        "repairs": "",
        "not_seen": "On 12 May 2026 we looked at 14 of 16 windows.",
    },
}


@pytest.fixture
def survey(building):
    opening = OpeningFactory(building=building)
    return FindingFactory(survey__building=building, opening=opening).survey


@pytest.fixture
def report(survey, files):
    fields = issued_fields("CR-2026-0007", snapshot=SNAPSHOT)
    fields["pdf"] = ContentFile(b"%PDF-1.7 the report", name="report.pdf")
    return ConditionReportFactory(survey=survey, **fields)


@pytest.fixture
def issue_url(survey):
    return reverse("condition:report-issue", args=[survey.pk])


def text_of(client, url) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return response.content.decode()


# Issuing.
def test_issuing_is_for_those_who_may_issue(people, client_of, issue_url):
    expected = {
        "owner": 302,
        "estimator": 302,
        "surveyor": 403,
        "bench": 403,
        "committee": 403,
        "reader": 403,
        "stranger": 404,
    }
    got = {role: client_of(user).post(issue_url).status_code for role, user in people.items()}
    assert got == expected
    assert Client().post(issue_url).url.startswith("/accounts/login/")


def test_asking_for_a_report_shows_how_far_it_is(owner, survey, issue_url):
    text = owner.post(issue_url, follow=True).content.decode()
    job = Job.objects.get(task="issue_report")
    assert f'hx-get="{reverse("sites:job", args=[job.pk])}"' in text
    assert '<button class="btn btn-primary" type="submit">Issue' not in text
    owner.post(issue_url)
    assert Job.objects.filter(task="issue_report").count() == 1


def test_somebody_else_is_told_who_is_having_it_printed(owner, estimator, survey, issue_url):
    owner.post(issue_url)
    text = text_of(estimator, survey.get_absolute_url())
    assert "is having the report printed" in text
    assert "hx-get" not in text


def test_a_failed_printing_says_why_and_may_be_tried_again(owner, survey, issue_url):
    owner.post(issue_url)
    Job.objects.update(state=JobState.FAILED, problem="The disk is full.")
    text = text_of(owner, survey.get_absolute_url())
    assert "The disk is full." in text
    assert "Issue the report" in text


def test_what_is_missing_for_a_report_is_said(owner, building, survey, issue_url):
    empty = SurveyFactory(building=building)
    url = reverse("condition:report-issue", args=[empty.pk])
    assert "Nothing is recorded yet" in owner.post(url, follow=True).content.decode()
    PhotographFactory(building=building, survey=survey)
    text = owner.post(issue_url, follow=True).content.decode()
    assert "1 photograph is still being prepared" in text
    assert not Job.objects.filter(task="issue_report").exists()


def test_the_survey_says_what_was_recorded_after_the_report(owner, survey, files):
    printed = SNAPSHOT | {"moment": "2026-05-20T14:05:00+01:00", "openings": []}
    report = ConditionReportFactory(
        survey=survey, **issued_fields("CR-2026-0008", snapshot=printed)
    )
    text = text_of(owner, survey.get_absolute_url())
    assert report.number in text
    assert "Recorded after the moment that the last report shows" in text
    assert "findings recorded: 1" in text


# The page.
def test_everyone_of_the_building_reads_a_report_and_a_stranger_does_not(people, client_of, report):
    expected = {role: 404 if role == "stranger" else 200 for role in people}
    for url in (report.get_absolute_url(), reverse("condition:report-pdf", args=[report.pk])):
        got = {}
        for role, user in people.items():
            response = client_of(user).get(url)
            response.getvalue()
            got[role] = response.status_code
        assert got == expected


def test_the_page_tells_what_was_issued_not_what_is_so_today(committee, survey, report):
    survey.findings.update(note="Changed since")
    text = text_of(committee, report.get_absolute_url())
    for words in (
        "Yes, at one place.",
        "As recorded by 20 May 2026, 14:05",
        "Over the font",
        "Loose item: &lt;b&gt;it hangs&lt;/b&gt;.",
        "Wired to the bar. Since 12 May 2026.",
        "The font pew",
        "On 12 May 2026 we looked at 14 of 16 windows.",
    ):
        assert words in text
    assert "Ines as she was called then" in text


def test_the_page_tells_the_document_s_number_digest_and_state(reader, report):
    text = text_of(reader, report.get_absolute_url())
    assert "Condition report CR-2026-0007" in text
    assert report.pdf_sha256 in text
    assert "Current" in text


def test_a_superseded_report_points_to_the_current_one(owner, survey, report):
    newer = ConditionReportFactory(
        survey=survey, number=report.number, version=2, supersedes=report
    )
    old = text_of(owner, report.get_absolute_url())
    assert "This version has been superseded by version 2" in old
    assert newer.get_absolute_url() in old
    assert "Something in it is no longer right" not in old
    new = text_of(owner, newer.get_absolute_url())
    assert "version 1 of 1 June 2026" in new
    assert "Something in it is no longer right" in new


def test_who_may_not_issue_is_not_told_how(committee, report):
    assert "no longer right" not in text_of(committee, report.get_absolute_url())


# The file.
@pytest.mark.parametrize(("query", "way"), [("", "inline"), ("?download=1", "attachment")])
def test_the_pdf_is_read_in_place_or_saved_under_its_number(reader, report, query, way):
    response = reader.get(reverse("condition:report-pdf", args=[report.pk]) + query)
    assert response.getvalue() == b"%PDF-1.7 the report"
    assert response["Content-Type"] == "application/pdf"
    assert response["Content-Disposition"] == f'{way}; filename="CR-2026-0007-v1.pdf"'
    assert response["X-Content-Type-Options"] == "nosniff"
    assert "default-src 'none'" in response["Content-Security-Policy"]
    assert response["Cache-Control"] == "private, no-store"


def test_a_pdf_that_is_gone_is_not_found(reader, report):
    report.pdf.storage.delete(report.pdf.name)
    assert reader.get(reverse("condition:report-pdf", args=[report.pk])).status_code == 404


def test_queries_do_not_grow_with_the_versions(owner, survey, count_queries):
    made = ConditionReportFactory(survey=survey)
    url = made.get_absolute_url()
    few = count_queries(lambda: owner.get(url))
    for version in (2, 3, 4):
        made = ConditionReportFactory(
            survey=survey, number=made.number, version=version, supersedes=made
        )
    assert ConditionReport.objects.count() == 4
    assert count_queries(lambda: owner.get(url)) <= few
