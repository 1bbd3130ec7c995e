"""Reports at the edges: almost nothing in them, and the most awkward texts."""

import datetime as dt
from pathlib import Path

import outloud
import pytest

from condition.documents.consistency import contradictions
from condition.documents.images import fetch_images
from condition.documents.layout import report_html
from condition.models import MakeSafeNotice, Survey
from condition.services.recording.closures import close_areas
from condition.services.report_snapshot import build_snapshot
from sites.models.choices import DocumentKind
from sites.services.issuing import Draft, print_draft
from sites.services.numbers import reserve_number
from tests.condition.reports import Visit, classed
from tests.factories import (
    FindingFactory,
    InspectionFactory,
    SurveyFactory,
    UserFactory,
    issued_fields,
)
from tests.pdf_reading import page_texts, reach

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]
AWKWARD = (
    "<script>alert(1)</script> & “quoted” {{ braces }} {% now %} "
    "<img src='file:///etc/passwd' alt='x'>"
)


def printed(survey: Survey, folder: Path) -> Path:
    number = reserve_number(
        studio=survey.building.studio,
        kind=DocumentKind.REPORT,
        subject=survey.pk,
        dated=dt.date(2026, 5, 20),
        user=UserFactory(),
    )
    snapshot = build_snapshot(survey, number, None)
    images = fetch_images(snapshot, folder)
    file = folder / "report.pdf"
    file.write_bytes(print_draft(Draft(snapshot, report_html(snapshot), images)).pdf)
    return file


def errors(file: Path) -> list[str]:
    result = outloud.check(str(file))
    assert result.error is None
    return [f"{each.rule} {each.message}" for each in result.findings if each.severity == "error"]


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
def test_a_survey_of_one_look_makes_an_accessible_report(tmp_path):
    file = printed(InspectionFactory(survey=SurveyFactory()).survey, tmp_path)
    assert errors(file) == []
    text = " ".join(page_texts(file))
    assert "we looked at 1 of 1 windows and logged 0 findings" in text
    assert "Nothing was marked on the day as a danger or as urgent." in text
    assert "Every registered opening was looked at." in text


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
def test_a_survey_of_one_finding_makes_an_accessible_report(tmp_path):
    file = printed(FindingFactory(survey=SurveyFactory()).survey, tmp_path)
    assert errors(file) == []


def test_awkward_texts_are_printed_as_they_were_typed_and_fetch_nothing(tmp_path):
    survey = SurveyFactory(surveyors=AWKWARD, client=AWKWARD, method=AWKWARD)
    survey.building.name = AWKWARD
    survey.building.save()
    FindingFactory(survey=survey, note=AWKWARD, position=AWKWARD, opening__title=AWKWARD[:200])
    text = " ".join(page_texts(printed(survey, tmp_path)))
    assert text.count("<script>alert(1)</script> & “quoted” {{ braces }} {% now %}") >= 4


def test_texts_longer_than_a_page_are_printed_whole(tmp_path):
    note = " ".join(f"word{number}" for number in range(4000))
    file = printed(FindingFactory(survey=SurveyFactory(), note=note).survey, tmp_path)
    text = " ".join(page_texts(file))
    assert all(f"word{number}" in text for number in (0, 1999, 3999))


def test_a_word_longer_than_its_column_stays_on_the_page(tmp_path):
    survey = SurveyFactory(surveyors="x" * 200)
    FindingFactory(survey=survey, note="W" * 400, opening__number="n" * 24)
    file = printed(survey, tmp_path)
    assert "".join(page_texts(file)).count("W") >= 400
    assert reach(file) < 0.92


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_page_one_stays_one_page_however_much_is_dangerous(tmp_path, paper, files):
    """As many entries are listed as fit, the words on the page explained; the rest are counted."""
    visit = Visit(paper=paper)
    slept = "Roped off on both sides, the door beneath it locked and a notice hung there. " * 3
    for number in range(40, 52):
        hazard = visit.finding(
            "sII", "slipped-glass", number, hazard=True, made_safe=slept[:240], **classed(3, 3, 2)
        )
        if number < 44:
            MakeSafeNotice.objects.create(
                studio=visit.studio,
                building=visit.building,
                issued_by=visit.user,
                danger=hazard.danger,
                finding=hazard,
                **issued_fields(f"MS-2026-00{number}"),
            )
            moment = dt.datetime(2026, 5, 12, 14, 30)
            close_areas(hazard.danger, (), slept[:240], moment, 1)
    number = reserve_number(
        studio=visit.studio,
        kind=DocumentKind.REPORT,
        subject=visit.survey.pk,
        dated=dt.date(2026, 5, 20),
        user=visit.user,
    )
    snapshot = build_snapshot(visit.survey, number, None)
    assert contradictions(snapshot) == []
    now = snapshot["groups"][0]
    assert 0 < len(now["listed"]) < now["count"] == 15
    lines = [line | {"anchor": ""} for line in snapshot["opening_lines"]]
    short = snapshot | {"openings": [], "opening_lines": lines, "general_photographs": []}
    file = tmp_path / "report.pdf"
    file.write_bytes(print_draft(Draft(short, report_html(short), {})).pdf)
    pages = page_texts(file)
    assert "For the committee" in pages[1]
    assert "Words on this page." in pages[1]
    assert "All openings at a glance" in pages[2]
