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

from condition.documents.consistency import contradictions, findings_of, group_of
from condition.models import ReportTerms, Survey
from condition.services.issuing import report_draft
from condition.services.report_snapshot import build_snapshot
from restoration.demo.scenario import Scenario
from restoration.demo.workbooks import write_findings, write_register
from restoration.services.studios import open_studio
from restoration.services.visit_folder.bringing_in import bring_in
from sites.documents.vocabulary import _read, words_in
from sites.models import DocumentNumber
from sites.services.issuing import print_draft
from tests.condition.safety.dangers import unprinted_notice
from tests.factories import MembershipFactory, UserFactory
from tests.pdf_reading import page_texts, structure

# Printed once, so on one engine; the mark sets the database up where no other test asks for it.
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

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
            unprinted_notice(dangerous, user)
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
            snapshot = build_snapshot(survey, number, None)
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


def test_page_one_is_one_page(page_one):
    """The page after the cover is the committee's, whole, and the next is another part's."""
    assert "For the committee" in page_one.pages[1]
    assert "Words on this page." in page_one.pages[1]
    assert "The building and its windows" in page_one.pages[2]
    assert "Words on this page." not in page_one.pages[2]


def test_page_one_uses_no_trade_word_that_it_does_not_explain(page_one):
    """Each word of the glossary on the page stands with its meaning in a few words at its foot."""
    page, _, words = page_one.pages[1].partition("Words on this page.")
    explained = {each["term"] for each in page_one.snapshot["words"]}
    assert {each["term"] for each in words_in([page, words])} <= explained
    for each in page_one.snapshot["words"]:
        assert f"{each['term']}: {each['meaning']}" in words
    # The names of the kinds of damage are the trade's: the page says them in other words.
    kinds = {finding["kind"] for finding in findings_of(page_one.snapshot)}
    mended = {
        entry["text"]
        for group in page_one.snapshot["groups"]
        if group["key"] == "mended"
        for entry in group["listed"]
    }
    assert not [kind for kind in kinds if kind in page and f"{kind}." not in mended]


def test_words_that_count_as_everyday_have_no_trade_sense_there(page_one):
    """What is left unexplained has the sense that it has outside the trade."""
    page = page_one.pages[1]
    everyday = [each["term"] for each in _read("glossary.toml")["term"] if each.get("everyday")]
    there = {term for term in everyday if re.search(rf"\b{term}s?\b", page)}
    # "a light touch" and "the second light from the left", "one leaf of the west door", "survey".
    assert there <= {"light", "leaf", "survey", "tower", "access", "in place"}


def test_the_counts_of_page_one_are_those_of_the_findings(page_one):
    """Counted again from the demonstration's own table, without the code under test."""
    now = [row for row in FOUND_2026 if row["hazard"] == "yes" or row["urgency class"] == "3"]
    nothing = ("0", "0")
    mended = [
        row
        for row in FOUND_2026
        if (row["condition class"], row["recommendation class"]) == nothing and row not in now
    ]
    others = [row for row in FOUND_2026 if row not in now and row not in mended]
    soon = [row for row in others if row["urgency class"] == "2"]
    hazards = [row for row in FOUND_2026 if row["hazard"] == "yes"]
    page = page_one.pages[1]
    assert f"logged {len(FOUND_2026)} findings" in page
    assert f"{len(now)} Dangers, and what is urgent" in page
    assert f"{len(hazards)} findings can hurt someone." in page
    assert f"{len(soon)} To be done within 1 year of the visit" in page
    assert f"{len(others) - len(soon)} Can wait longer" in page
    assert f"{len(mended)} Found mended or gone" in page
    assert len(now) + len(others) + len(mended) == len(FOUND_2026) == 56


def test_its_order_is_by_danger(page_one):
    page = page_one.pages[1]
    places = [
        page.index(words)
        for words in (
            "Dangers, and what is urgent",
            "To be done within",
            "Can wait longer",
            "Found mended",
        )
    ]
    assert places == sorted(places)
    listed = [
        number
        for group in page_one.snapshot["groups"]
        for entry in group["listed"]
        for number in entry["findings"]
    ]
    by_number = {finding["number"]: finding for finding in findings_of(page_one.snapshot)}
    keys = ["now", "soon", "can-wait", "mended", "not-judged"]
    order = [keys.index(group_of(by_number[number])) for number in listed]
    assert order == sorted(order)
    dangers = [number for number in listed if by_number[number]["hazard"]]
    assert listed[: len(dangers)] == dangers
    assert len(dangers) == sum(row["hazard"] == "yes" for row in FOUND_2026)


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
    assert (
        "Compared with the survey of June 9, 2015, almost 11 years before: 39 new, 11 worse, "
        "3 the same, 2 gone, 1 found repaired, 1 cannot be compared, 3 not looked at."
        in read.pages[1]
    )
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
    assert "may be relied on until May 12, 2028" in read.pages[1]


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
