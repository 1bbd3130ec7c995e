"""Reports at the edges: almost nothing in them, and the most awkward texts."""

import datetime as dt
from pathlib import Path

import outloud
import pytest
from django.utils import timezone

from condition.documents.consistency import contradictions
from condition.documents.images import fetch_images
from condition.documents.layout import report_html
from condition.models import Survey
from condition.services.report_snapshot import build_snapshot
from sites.models.choices import DocumentKind
from sites.services.issuing import Draft, print_draft
from sites.services.numbers import reserve_number
from tests.condition.reports import Visit, classed, report_of
from tests.factories import (
    FindingFactory,
    InspectionFactory,
    PanelFactory,
    SurveyFactory,
    UserFactory,
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
    assert "we looked at 1 of 1 windows." in text
    assert "No open danger is recorded." in text
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
    """The most pressing stand on it; the table goes on from the next page, and names every one."""
    visit = Visit(paper=paper)
    for number in range(40, 70):
        visit.finding(
            "sII",
            "slipped-glass",
            number,
            panel=PanelFactory(opening=visit.openings["sII"], number=f"{number}a"),
            hazard=True,
            made_safe="Roped off on both sides, the door beneath it locked." * (number % 3),
            **classed(3, 3, 2),
        )
    snapshot = report_of(visit.survey, timezone.now(), visit.user)
    assert contradictions(snapshot) == []
    lines = [line | {"anchor": ""} for line in snapshot["opening_lines"]]
    short = snapshot | {"openings": [], "opening_lines": lines, "general_photographs": []}
    file = tmp_path / "report.pdf"
    file.write_bytes(print_draft(Draft(short, report_html(short), {})).pdf)
    pages = page_texts(file)
    assert "Is anybody in danger today?" in pages[1]
    assert "What was not seen" in pages[1]
    assert "The other dangers" in pages[2]
    table = " ".join(pages).partition("All openings at a glance")[0]
    assert all(f"sII {number}a" in table for number in range(40, 70))
