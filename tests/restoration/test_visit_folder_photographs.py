"""A folder's photographs and its rate book, and how many queries taking it in costs."""

import pytest
from django.db import connection

from condition.models import Photograph
from restoration.models import Estimate
from restoration.services.studios import open_studio
from restoration.services.visit_folder.bringing_in import bring_in
from tests.condition.pictures import jpeg, quarters
from tests.factories import FindingFactory, MembershipFactory
from tests.restoration.visit_folders import (
    SMALL_FINDINGS,
    SMALL_PHOTOGRAPHS,
    SMALL_REGISTER,
    changed,
    picture,
    problems_of,
    quietly,
    small_folder,
)

# Reading and matching: what the database holds to is tried by `test_visit_folder_writing.py`.
pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]


@pytest.fixture
def studio(files):
    return open_studio("Alder Lane Glass")


@pytest.fixture
def take_in(studio, user):
    """A function that takes a folder in, quietly."""
    return quietly(studio, user)


def test_the_same_photograph_twice_in_one_place_is_taken_in_once(take_in, tmp_path):
    photographs = SMALL_PHOTOGRAPHS | {"2026-001 again.jpg": SMALL_PHOTOGRAPHS["2026-001 a.jpg"]}
    brought = take_in(small_folder(tmp_path, photographs=photographs))
    assert brought.counts["photographs"] == Photograph.objects.count() == 4


def test_the_same_photograph_in_two_places_is_a_problem(take_in, tmp_path):
    photographs = SMALL_PHOTOGRAPHS | {"2026-002 b.jpg": SMALL_PHOTOGRAPHS["2026-001 a.jpg"]}
    (problem,) = problems_of(take_in, small_folder(tmp_path, photographs=photographs))
    assert "the same photograph as photographs/2026-001 a.jpg, which goes to 2026-001" in problem


@pytest.mark.parametrize(
    ("data", "message"),
    [
        (b"", "This file is empty"),
        (b"%PDF-1.7", "looks like a PDF document"),
        (jpeg(quarters(size=(900, 700)))[:-3000], "This photograph is damaged"),
    ],
)
def test_a_photograph_that_is_not_whole_is_a_problem(take_in, tmp_path, files, data, message):
    root = small_folder(tmp_path / "visit", photographs=SMALL_PHOTOGRAPHS | {"2026-002.jpg": data})
    (problem,) = problems_of(take_in, root)
    assert problem.startswith("photographs/2026-002.jpg: ")
    assert message in problem
    assert not Photograph.objects.exists()


def test_a_currency_without_a_rate_book_is_a_problem_only_where_there_are_actions(
    take_in, tmp_path
):
    register = changed(SMALL_REGISTER, "Building", 2, "currency", "CHF")
    (problem,) = problems_of(take_in, small_folder(tmp_path / "a", register=register))
    assert "Building, row 2, currency: The studio has no rate book in CHF" in problem
    findings = {
        name: rows
        for name, rows in SMALL_FINDINGS.items()
        if name not in ("Actions", "Shared costs")
    }
    take_in(small_folder(tmp_path / "b", register=register, findings=findings))
    assert not Estimate.objects.exists()


def test_kinds_of_another_studio_are_not_known(take_in, tmp_path):
    FindingFactory(kind__code="dragon-bite")
    findings = changed(SMALL_FINDINGS, "Findings", 3, "kind", "dragon-bite")
    (problem,) = problems_of(take_in, small_folder(tmp_path, findings=findings))
    assert 'Kind of finding "dragon-bite" is not known.' in problem


def test_queries_do_not_grow_with_the_rows(take_in, tmp_path, count_queries):
    few = count_queries(lambda: take_in(_folder_of(tmp_path / "few", 20, 1)))
    many = count_queries(lambda: take_in(_folder_of(tmp_path / "many", 200, 2)))
    # Only as many more as batches of rows need: a batch is limited by the database.
    batch = connection.features.max_query_params or 32_000
    assert many - few <= 40 + 3 * 200 * 30 // batch


def _folder_of(root, count, number):
    register = {
        "Building": [SMALL_REGISTER["Building"][0], [f"Church {number}", "Fen", "USD", "UTC"]],
        "Openings": [["number"], *([f"W{place}"] for place in range(count))],
    }
    findings = {
        "Surveys": SMALL_FINDINGS["Surveys"],
        "Findings": [
            ["finding", "survey", "opening", "kind"],
            *([f"f-{n}", "2026", f"W{n}", "cracked-glass"] for n in range(1, count)),
        ],
    }
    return small_folder(root, register=register, findings=findings, photographs={})


def test_progress_is_told_as_photographs_are_looked_at(studio, user, tmp_path):
    photographs = {f"2026-001 {number}.jpg": picture(number) for number in range(25)}
    heading = SMALL_FINDINGS["Photographs"][0]
    findings = {**SMALL_FINDINGS, "Photographs": [heading]}
    told = []
    MembershipFactory(studio=studio, user=user, building=None)
    bring_in(
        small_folder(tmp_path / "visit", findings=findings, photographs=photographs),
        studio, user, told.append,
    )  # fmt: skip
    assert "looked at 10 of 25 photographs" in told
    assert "looked at 25 of 25 photographs" in told
    assert told[-1] == "prepared 25 of 25 photographs"
