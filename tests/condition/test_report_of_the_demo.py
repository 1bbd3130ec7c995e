"""The report of the demonstration's second survey, read as its committee will read it."""

import csv
import datetime as dt
import re
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import outloud
import pytest
from django.db import transaction

from condition.documents.build import build_snapshot
from condition.documents.consistency import contradictions
from condition.documents.consistency_of_page_one import findings_of
from condition.models import ReportTerms, Survey
from condition.services.issuing import report_draft
from condition.services.report_snapshot import judge
from restoration.demo.scenario import Scenario
from restoration.demo.workbooks import write_findings, write_register
from restoration.services.studios import open_studio
from restoration.services.visit_folder.bringing_in import bring_in
from sites.documents.vocabulary import terms_in
from sites.models import DocumentNumber
from sites.services.issuing import print_draft
from tests.condition.safety.dangers import unprinted_notice
from tests.factories import MembershipFactory, UserFactory
from tests.pdf_reading import page_texts, structure

# Printed once, so on one engine; the mark sets the database up where no other test asks for it.
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

NOW = dt.datetime(2026, 6, 1, 14, tzinfo=dt.UTC)
DEMO = Path(__file__).resolve().parents[2] / "fixtures" / "demo"


class WithoutPhotographs(Scenario):
    """The scenario, so that it is read in a moment: photographs are looked at elsewhere."""

    def table(self, name: str) -> list[dict[str, str]]:
        return [] if name == "photographs" else super().table(name)


@dataclass(frozen=True)
class Read:
    """The report's data, and its pages on one of the papers as text."""

    snapshot: dict
    pages: list[str]
    file: Path

    @cached_property
    def cells(self) -> list[str]:
        """The texts of all cells of its tables, each whole."""
        return [each.text for each in structure(self.file) if each.kind == "TD"]


@pytest.fixture(scope="module")
def survey_of(django_db_setup, django_db_blocker, tmp_path_factory):
    """A function that gives the report of 2026 on a paper; the database is as before."""
    made: dict[str, Read] = {}
    around = transaction.atomic()
    # As Django's own test case does: what is durable inside may be.
    around._from_testcase = True
    with django_db_blocker.unblock(), around:
        folder = tmp_path_factory.mktemp("demo")
        (folder / "photographs").mkdir()
        scenario = WithoutPhotographs()
        write_register(folder / "register.xlsx", scenario)
        write_findings(folder / "findings.xlsx", scenario)
        studio, user = open_studio("Larkmoor", currency="USD"), UserFactory()
        MembershipFactory(user=user, studio=studio, building=None, role="owner")
        bring_in(folder, studio, user, lambda line: None)
        survey = Survey.objects.select_related("building__studio").latest("day")
        # As full as page one gets: who may rely on it, and areas that are still closed.
        adviser = "The building committee, and the diocesan adviser it asks"
        ReportTerms.objects.create(building=survey.building, short_years=1, relied_on_by=adviser)
        for dangerous in survey.findings.filter(number__in=(33, 44)):
            unprinted_notice(dangerous.danger, user)
        for paper in ("Letter", "A4"):
            survey.building.paper = paper
            number = DocumentNumber(
                studio=studio,
                kind="CR",
                year=2026,
                serial=1,
                version=1,
                subject=survey.pk,
                dated=dt.date(2026, 6, 1),
                asked_by=user,
            )
            snapshot = build_snapshot(survey, number, None, judge, NOW)
            # On the other paper the first pages alone are looked at.
            printed = snapshot if paper == "Letter" else first_pages_of(snapshot)
            file = folder / f"{paper}.pdf"
            file.write_bytes(print_draft(report_draft(printed, {})).pdf)
            made[paper] = Read(snapshot, page_texts(file), file)
        transaction.set_rollback(True)
    return made.__getitem__


@pytest.fixture(params=["Letter", "A4"])
def page_one(survey_of, request) -> Read:
    """The report on either paper, for what is said of its page one."""
    return survey_of(request.param)


@pytest.fixture
def read(survey_of) -> Read:
    """The whole report, on its own paper."""
    return survey_of("Letter")


def first_pages_of(snapshot: dict) -> dict:
    lines = [line | {"anchor": ""} for line in snapshot["opening_lines"]]
    return snapshot | {"openings": [], "opening_lines": lines}


def rows(name: str) -> list[dict[str, str]]:
    with (DEMO / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


FOUND_2026 = [row for row in rows("findings.csv") if row["survey"] == "2026"]


def test_page_one_is_one_page_and_the_first_thing_after_the_cover(page_one):
    page = page_one.pages[1]
    assert (
        page.split("Church of the Kindled Lamp, Tamarack Weir")[1]
        .lstrip()
        .startswith(("CR-2026", "Is anybody"))
    )
    order = [
        "Is anybody in danger today?",
        "What could happen",
        "What was taken away",
        "Shut now",
        "To decide at the next meeting",
        "If you wait",
        "Every window, counted once",
        "Did the last repairs hold?",
        "What was not seen",
    ]
    places = [page.index(words) for words in order]
    assert places == sorted(places)


def test_classes_finding_numbers_and_word_lists_begin_on_page_two(page_one):
    page = page_one.pages[1]
    assert not re.search(r"(?i)\bfindings?\b|\bclass(es)?\b|\burgency\b", page)
    assert "Compared with the survey" not in page


def test_our_own_words_on_page_one_are_no_trade_words(page_one):
    """What people wrote stands as they wrote it; what we say needs no list of words."""
    first = page_one.snapshot["page_one"]
    ours = [first[name] for name in ("answer", "lead", "shut_words", "decide_words", "not_seen")]
    tasks = [task["words"] for each in page_one.snapshot["dangers"] for task in each["tasks"]]
    groups = [group["title"] for group in first["windows"]]
    found = {each["term"] for each in terms_in([*ours, *tasks, *groups])}
    # In the senses that everybody knows.
    assert found <= {"light", "survey", "repair"}


def test_every_danger_of_the_table_is_named_on_page_one_or_the_page_after(page_one):
    """Read off the demonstration's own table: what can come down, and was not answered no."""
    near = " ".join(page_one.pages[1:4])
    dangers = [row for row in FOUND_2026 if row["can it come down"] in ("now", "could")]
    assert len(dangers) == 6
    for row in dangers:
        part = row["item"] or row["panel"]
        assert f"{row['opening']} {part}".strip() in near
    taken = [row for row in dangers if row["measure"] == "taken away"]
    assert page_one.snapshot["page_one"]["taken_places"] == len(taken) == 2
    assert near.count("held by: The sexton.") == 2
    # Tape on the lead alone holds nothing; a batten tied to the bar does.
    held = {each["code"]: bool(each["held_by"]) for each in page_one.snapshot["dangers"]}
    for row in dangers:
        part = row["item"] or row["panel"]
        assert held[f"{row['opening']} {part}"] == (row["fixed to"] != "lead")


def test_the_four_questions_are_answered_on_it(page_one):
    """Can we open, who must do what before then, what is paid first, what if we do nothing."""
    page = page_one.pages[1]
    for words in (
        "is recorded as closed.",
        "No quote of ours waits for a decision",
        "What is held still needs its repair.",
    ):
        assert words in page
    first = page_one.snapshot["page_one"]
    loose = first["places"] - first["places_held"]
    assert ("keep people out from under there now" in page) == bool(loose)
    text = " ".join(page_one.cells)
    assert "Have it repaired by June 12, 2026" in text
    assert text.count("keeps people out now.") >= sum(not row["held"] for row in first["rows"])


# What became of each finding of 2015, read off the two tables by hand: its number of 2015, and
# that of 2026 where it was found again.
WORSE = {1, 4, 5, 6, 9, 10, 11, 12, 16, 18, 20}
THE_SAME, REPAIRED, GONE, NOT_LOOKED_AT = {8, 14, 19}, {7}, {13, 17}, {2, 3, 15}


def test_it_states_what_changed_in_eleven_years(read):
    change = read.snapshot["change"]
    assert (change["day"], change["interval"]) == ("2015-06-09", "almost 11 years")
    assert (change["findings_then"], change["findings_now"]) == (20, 56)
    states = {
        state: {row["earlier"] for row in change["rows"] if row["state"] == state}
        for state in ("worse", "same", "repaired", "gone", "not looked at", "better")
    }
    assert states == {
        "worse": WORSE,
        "same": THE_SAME,
        "repaired": REPAIRED,
        "gone": GONE,
        "not looked at": NOT_LOOKED_AT,
        "better": set(),
    }
    # The organ loft was locked in 2015: what was found in wII says nothing of a change.
    (first_look,) = (row for row in change["rows"] if row["state"] == "cannot be compared")
    assert (first_look["opening"], first_look["day"]) == ("wII", "")
    assert sum(row["state"] == "new" for row in change["rows"]) == 56 - 16 - 1
    assert change["sentence"].startswith("Compared with the survey of June 9, 2015")
    text = " ".join(read.pages)
    assert "All 39 11 3 0 2 1 1 3" in text


def test_what_became_of_single_things_stands_in_their_sections(read):
    told = " ".join(read.cells)
    # The bow of the east window: 14 mm over the same span in 2015, 22 mm now.
    assert (
        "Worse since June 9, 2015: condition class 1 then, 2 now; 14 mm out of plane then, "
        "22 mm out of plane now" in told
    )
    # Four ties renewed in 2016.
    assert "Repaired since June 9, 2015" in told
    # The soot of 2015 that nobody looked for again.
    assert "Not looked at: I 3c, surface deposit" in " ".join(read.pages)


def test_every_class_stands_with_its_reason(read):
    given = [f for f in findings_of(read.snapshot) if f["condition"] and f["condition"]["level"]]
    assert len(given) > 50
    assert all(f["reasons"]["because"] or f["reasons"]["why"] for f in given)


def test_the_times_are_those_agreed(read):
    legend = [row["within"] for row in read.snapshot["legend"]]
    assert legend == [
        "to be looked at again within 10 years",
        "within 5 years",
        "within 1 year",
        "within 1 month",
    ]
    assert "may be relied on until May 12, 2028" in " ".join(read.pages)


def test_no_figure_contradicts_another_in_data_or_on_paper(read):
    assert contradictions(read.snapshot) == []
    headed = Counter(
        number for text in read.cells for number in re.findall(r"^Finding (\d+) ", text)
    )
    assert headed == {str(finding["number"]): 1 for finding in findings_of(read.snapshot)}


@pytest.mark.published("ISO 14289-1 (PDF/UA-1) as checked by outloud")
def test_it_is_accessible(read):
    result = outloud.check(str(read.file))
    assert result.error is None
    assert [f"{found.rule} {found.message}" for found in result.findings] == []
