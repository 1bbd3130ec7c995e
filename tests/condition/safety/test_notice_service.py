"""A notice asked for and printed by the worker: what it names, and what stands meanwhile."""

from dataclasses import replace

import pytest

from condition.documents.notices import open_notices_told
from condition.models import AreaClosure, MakeSafeNotice
from condition.services import notices
from condition.services.notices import ask_for_notice, open_job
from sites.jobs import run_now
from sites.printing import Printed
from sites.services.issuing import Draft
from tests.condition.safety.dangers import WORDS, known_danger, reopened

pytestmark = [pytest.mark.django_db]


@pytest.fixture
def danger(building, files, monkeypatch):
    def print_few_bytes(snapshot, images):
        return Draft(snapshot, "", images), Printed(b"%PDF-1.7", pages=1)

    monkeypatch.setattr(notices, "print_on_one_page", print_few_bytes)
    return known_danger(building)


def test_a_printed_version_names_every_area_that_stands_closed(danger, people):
    run_now(ask_for_notice(danger, WORDS, 1, people["surveyor"]), "test")
    more = replace(WORDS, new_area="The vestry stair", told="The archdeacon.")
    job = run_now(ask_for_notice(danger, more, 2, people["surveyor"]), "test")
    assert (job.state, job.problem) == ("done", "")
    first, second = MakeSafeNotice.objects.order_by("version")
    assert first.snapshot["made_safe"]["area"] == WORDS.new_area
    named = {each["name"] for each in second.snapshot["made_safe"]["areas"]}
    assert named == {WORDS.new_area, "The vestry stair"}
    assert {each.notice for each in AreaClosure.objects.for_list()} == {second}


def test_a_notice_whose_areas_were_reopened_before_it_was_printed_is_not_printed(danger, people):
    job = ask_for_notice(danger, WORDS, 1, people["surveyor"])
    reopened(danger)
    job = run_now(job, "test")
    assert job.state == "failed"
    assert "opened again before the notice was printed" in job.problem
    assert not MakeSafeNotice.objects.exists()


def test_a_printing_that_failed_leaves_the_area_closed_and_without_a_number(
    danger, people, monkeypatch
):
    def fail(snapshot, images):
        raise notices.JobFailedError("No paper")

    monkeypatch.setattr(notices, "print_on_one_page", fail)
    run_now(ask_for_notice(danger, WORDS, 1, people["surveyor"]), "test")
    assert open_job(danger).state == "failed"
    survey = danger.findings.get().survey
    told = open_notices_told(AreaClosure.objects.standing().for_list(), survey, "en_GB")
    assert [(line.number, line.area) for line in told] == [
        ("notice being printed", WORDS.new_area.rstrip("."))
    ]


def test_the_report_gives_each_danger_its_areas_since_when_and_the_notice(danger, people):
    run_now(ask_for_notice(danger, WORDS, 1, people["surveyor"]), "test")
    later = replace(
        WORDS, new_area="The vestry stair", closed_at=WORDS.closed_at.replace(day=14), told="All."
    )
    run_now(ask_for_notice(danger, later, 2, people["surveyor"]), "test")
    survey = danger.findings.get().survey
    rows = AreaClosure.objects.standing().for_list().prefetch_related("danger__findings")
    (line,) = open_notices_told(rows, survey, "en_GB")
    assert line.number == MakeSafeNotice.objects.first().number
    assert line.day_words == "12 May 2026"
    assert line.area == f"{WORDS.new_area}; The vestry stair (since 14 May 2026)"
    assert line.finding == danger.findings.get().number
