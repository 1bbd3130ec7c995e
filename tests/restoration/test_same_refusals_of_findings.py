"""One table: the same wrong input gets the same refusals, whichever way it is recorded.

Each input goes through the service, the form, the check of a row of a visit folder and, where it
can be so, the answer to an earlier finding. What a way cannot say at all (a tick box is never
unanswered) is taken as that way reads it.
"""

import random
from dataclasses import replace
from decimal import Decimal

import pytest
from django.http import QueryDict
from django.urls import reverse

from condition.forms.findings import FindingForm
from condition.forms.inspections import InspectionForm
from condition.forms.photographs import PhotographForm
from condition.models import Finding, Inspection
from condition.services.answering import say_not_seen, say_still_there
from condition.services.recording.findings import check_finding, finding_data, record_finding
from condition.services.recording.inspections import check_inspection, record_inspection
from condition.services.recording.photographs import check_photograph, photograph_data
from restoration.compute.visit_folder.folder import FolderFile
from restoration.compute.visit_folder.photograph_places import PhotographPlaces
from restoration.compute.visit_folder.recorded import (
    FINDING_COLUMNS,
    INSPECTION_COLUMNS,
    known_in,
)
from restoration.compute.visit_folder.rows import (
    InspectionRow,
    PhotographRow,
    Rows,
)
from restoration.compute.visit_folder.subjects import Subjects
from sites.keys import uuid7
from tests.factories import (
    FindingFactory,
    InspectionFactory,
    PhotographFactory,
)
from tests.restoration.ways_to_record import (
    EACH,
    HERE,
    INPUTS,
    VOCABULARY,
    OpenForm,
    a_look,
    as_data,
    as_the_form_reads,
    church_of,
    drawn,
    finding_row,
    look_data,
    looks_there,
    of_folder,
    of_form,
    posted,
    posted_look,
    recorded_rows,
    refused_by,
    register,
    survey_rows,
    told,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def church(building):
    return church_of(building)


@pytest.mark.parametrize("seed", [20260512, 20150609])
def test_a_wrong_finding_is_refused_alike_by_service_form_and_folder(church, seed):
    rng, seen, wrong = random.Random(seed), set(), 0
    while wrong < INPUTS:
        given = drawn(rng)
        data = as_data(church, given)
        refusals = told(check_finding(data, church.user))
        if not refusals:
            continue
        wrong += 1
        seen |= {message for _field, message in refusals}
        if wrong % EACH == 0:
            assert refused_by(record_finding, data, uuid7(), church.user) == refusals, given
        row = finding_row(HERE, "new", **given)
        in_columns = {(FINDING_COLUMNS.get(name, name), text) for name, text in refusals}
        assert of_folder(church, [row]) == in_columns, given
        read = as_the_form_reads(data)
        form = OpenForm(posted(read), survey=church.surveys["now"], user=church.user)
        known = refusals if read == data else told(check_finding(read, church.user))
        boxes = {(FindingForm.boxes.get(name, name), text) for name, text in known}
        assert of_form(form) == boxes, given
    assert Finding.objects.count() == len(church.findings)
    # The inputs reach the rules: what they say stands in more than twenty different sentences.
    assert len(seen) > 20


def test_a_wrong_finding_is_refused_alike_where_an_earlier_one_is_answered(church):
    """What is copied from the earlier finding is held to the same rules as what is typed."""
    now = church.surveys["now"]
    answered = 0
    for kind, facts in (
        ("joint", {"hazard": True, "urgency_class": 0}),
        ("joint", {"recommendation_class": 3}),
        ("joint", {"hazard": True, "urgency_class": 0, "recommendation_class": 3}),
        ("joint", {"amount": Decimal(12), "unit": "percent of pieces"}),
        ("deposit", {"amount": Decimal(3), "unit": "count"}),
        ("tab", {"amount": Decimal("2.5"), "unit": "count", "recommendation_class": 3}),
    ):
        earlier = FindingFactory(
            survey=church.surveys["between"],
            opening=church.openings["nII"],
            kind=church.kinds[kind],
            **facts,
        )
        data = replace(finding_data(earlier), survey=now.pk, continues=earlier.pk)
        refusals = told(check_finding(data, church.user))
        assert refusals
        assert refused_by(say_still_there, now, earlier, church.user) == refusals
        answered += 1
    assert answered == 6
    assert now.findings.count() == 1


def test_a_finding_where_nothing_is_said_to_be_found_is_refused_by_form_and_answer(church):
    """In a folder the same two rows are named at the look, which has its own table below."""
    now, opening = church.surveys["now"], church.openings["nV"]
    InspectionFactory(survey=now, opening=opening, side="inside", seen_from="ladder")
    data = as_data(church, drawn(random.Random(1)) | {
        "opening": "nV", "panel": "7c", "item": "", "kind": "other", "side": "inside",
        "amount": None, "unit": "", "of": None, "hazard": False, "continues": None,
        "urgency_class": None, "recommendation_class": None, "subject_change": "",
    })  # fmt: skip
    expected = {("opening", "This survey says “nothing found” of nV. Take that away first.")}
    assert told(check_finding(data, church.user)) == expected
    assert of_form(FindingForm(posted(data), survey=now, user=church.user)) == expected
    assert (
        refused_by(say_still_there, now, church.findings["Finding 3 of 2015-06-09"], church.user)
        == expected
    )


@pytest.mark.parametrize("seed", [4, 9])
def test_a_wrong_look_is_refused_alike_by_service_form_and_folder(church, seed):
    # In the folder a finding is called by its key, on the screen by its number.
    church.findings = {"7": church.findings["Finding 7 of 2026-05-12"]}
    before = looks_there(church)
    rng, seen, wrong = random.Random(seed), set(), 0
    while wrong < INPUTS:
        given = a_look(rng)
        data = look_data(church, given)
        refusals = told(check_inspection(data, church.user))
        if not refusals:
            continue
        wrong += 1
        seen |= {message for _field, message in refusals}
        if wrong % EACH == 0:
            assert refused_by(record_inspection, data, uuid7(), church.user) == refusals, given
        in_columns = {(INSPECTION_COLUMNS.get(name, name), text) for name, text in refusals}
        row = InspectionRow(at=HERE, **given)
        assert of_folder(church, inspections=[*before, row]) == in_columns, given
        form = InspectionForm(posted_look(data), survey=church.surveys["now"], user=church.user)
        boxes = {(InspectionForm.boxes.get(name, name), text) for name, text in refusals}
        assert of_form(form) == boxes
    assert Inspection.objects.count() == len(before)
    assert len(seen) > 5


def test_a_place_that_could_not_be_seen_is_refused_without_a_reason_as_a_look_is(church):
    left = FindingFactory(survey=church.surveys["first"], opening=church.openings["nII"])
    refusals = refused_by(say_not_seen, church.surveys["now"], left, " ", "floor", church.user)
    assert refusals == {("reason", "Say why it was not inspected.")}


def test_a_photograph_of_two_openings_is_refused_alike_by_service_form_and_folder(church):
    now = church.surveys["now"]
    other = FindingFactory(survey=now, opening=church.openings["nV"], number=8)
    seven = church.findings["Finding 7 of 2026-05-12"]
    church.findings["Finding 8 of 2026-05-12"] = other
    photograph = PhotographFactory(building=church.building, survey=now)
    expected = "Finding 8 of 2026-05-12 is of opening nV, not nII."
    data = replace(photograph_data(photograph), findings=(seven.pk, other.pk))
    assert told(check_photograph(data)) == {("findings", expected)}
    post = QueryDict(mutable=True)
    post.setlist("place", [f"finding:{seven.pk}", f"finding:{other.pk}"])
    form = PhotographForm(post, instance=photograph, user=church.user)
    assert of_form(form) == {("place", expected)}
    rows = Rows(
        surveys=survey_rows(),
        findings=tuple(recorded_rows(church)),
        photographs=(
            PhotographRow(
                at=HERE,
                file="both.jpg",
                finding=("Finding 7 of 2026-05-12", "Finding 8 of 2026-05-12"),
                survey="",
                opening="",
                caption="",
            ),
        ),
    )
    known = register(church)
    subjects = Subjects(rows, known)
    files = {"both.jpg": FolderFile("both.jpg", "photographs/both.jpg")}
    context = known_in(rows, subjects, known, VOCABULARY)
    places = PhotographPlaces(files, rows, subjects, context)
    assert places.work_out() == []
    assert {(p.column, p.what) for p in places.problems} == {("finding", expected)}


@pytest.mark.parametrize("seed", [3, 11, 42])
def test_the_page_shows_what_the_service_refuses(church, client_of, seed):
    rng = random.Random(seed)
    while True:
        data = as_the_form_reads(as_data(church, drawn(rng) | {"continues": None}))
        if problems := check_finding(data, church.user):
            break
    url = reverse("condition:finding-add", args=[church.surveys["now"].pk])
    response = client_of(church.user).post(url, posted(data))
    assert response.status_code == 422
    assert of_form(response.context["form"]) == told(problems, FindingForm.boxes)
