"""One table: the same wrong input gets the same refusals, whichever way it is recorded.

Each input goes through the service, the form, the check of a row of a visit folder and, where it
can be so, the answer to an earlier finding. What a way cannot say at all (a tick box is never
unanswered) is taken as that way reads it.
"""

import datetime as dt
import random
from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

import pytest
from django.http import QueryDict
from django.urls import reverse

from condition.compute.recording.facts import FindingData, InspectionData
from condition.forms.choices import part_value
from condition.forms.findings import FindingForm
from condition.forms.inspections import InspectionForm
from condition.forms.photographs import PhotographForm
from condition.models import Finding, Inspection
from condition.services.answering import say_not_seen, say_still_there
from condition.services.recording.findings import check_finding, finding_data, record_finding
from condition.services.recording.inspections import check_inspection, record_inspection
from condition.services.recording.photographs import check_photograph, photograph_data
from restoration.compute.visit_folder.check_findings import FindingsCheck
from restoration.compute.visit_folder.folder import FolderFile
from restoration.compute.visit_folder.known import Known, KnownOpening, Vocabulary
from restoration.compute.visit_folder.photograph_places import PhotographPlaces
from restoration.compute.visit_folder.problems import Place
from restoration.compute.visit_folder.recorded import (
    FINDING_COLUMNS,
    INSPECTION_COLUMNS,
    known_in,
)
from restoration.compute.visit_folder.rows import (
    FindingRow,
    InspectionRow,
    PhotographRow,
    Rows,
    SurveyRow,
)
from restoration.compute.visit_folder.subjects import Subjects
from sites.keys import uuid7
from sites.services.recording import NotRecordedError
from tests.factories import (
    AttachedItemFactory,
    FindingFactory,
    FindingKindFactory,
    InspectionFactory,
    MembershipFactory,
    OpeningFactory,
    PanelFactory,
    PhotographFactory,
    SurveyFactory,
)

pytestmark = pytest.mark.django_db

INPUTS = 100
HERE = Place("findings.xlsx", "Findings", 99)
KINDS = {
    "joint": (["count"], False),
    "deposit": (["percent of area", "mm"], False),
    "tab": (["count"], True),
    "other": ([], False),
}
DAYS = {"first": dt.date(2015, 6, 9), "between": dt.date(2020, 3, 1), "now": dt.date(2026, 5, 12)}


@pytest.fixture
def church(building):
    """Two openings with a panel and an item each, three surveys, and what was found at them."""
    church = SimpleNamespace(building=building)
    church.user = MembershipFactory(building=building, role="surveyor").user
    church.openings = {
        name: OpeningFactory(building=building, number=name) for name in ("nII", "nV")
    }
    church.panels = {
        name: PanelFactory(opening=church.openings[at], number=name)
        for name, at in (("2a", "nII"), ("7c", "nV"))
    }
    church.items = {
        name: AttachedItemFactory(opening=church.openings[at], number=name)
        for name, at in (("P1", "nII"), ("Q1", "nV"))
    }
    church.kinds = {
        code: FindingKindFactory(
            studio=building.studio, code=code, name=code, units=units, danger=danger
        )
        for code, (units, danger) in KINDS.items()
    }
    church.surveys = {name: SurveyFactory(building=building, day=day) for name, day in DAYS.items()}
    church.findings = {}
    for number, survey, at, continues in (
        (1, "first", "nII", None),
        (2, "first", "nII", None),
        (3, "first", "nV", None),
        (4, "between", "nII", 2),
        (7, "now", "nII", None),
    ):
        row = FindingFactory(
            survey=church.surveys[survey],
            opening=church.openings[at],
            kind=church.kinds["other"],
            number=number,
            continues=church.findings.get(f"Finding {continues} of 2015-06-09"),
        )
        church.findings[f"Finding {number} of {DAYS[survey]}"] = row
    return church


# The inputs, by the names that a sheet would hold.
def drawn(rng):
    """One input: most values in order, some of them wrong in one of many ways."""

    def pick(*values, usual=None, odd=0.35):
        return rng.choice(values) if rng.random() < odd else usual

    part = rng.choice([("2a", ""), ("7c", ""), ("", "P1"), ("", "Q1"), ("", ""), ("", "")])
    earlier = [
        *(f"Finding {n} of 2015-06-09" for n in (1, 2, 3)),
        "Finding 4 of 2020-03-01",
        "Finding 7 of 2026-05-12",
    ]
    continues = rng.choices(earlier, k=rng.choice([0, 0, 1, 1, 2, 3]))
    return {
        "survey": "now",
        "opening": pick("nV", usual="nII"),
        "panel": part[0],
        "item": part[1],
        "kind": rng.choice(list(KINDS)),
        "side": rng.choice(["inside", "outside", "both"]),
        "extent": "grouped",
        "amount": pick(*map(Decimal, ("0", "2.5", "40", "101", "250")), odd=0.8),
        "unit": pick("count", "mm", "percent of area", "percent of pieces", usual="", odd=0.7),
        "of": pick(1, 30, odd=0.4),
        "diagnosis": pick("The lead is tired.", usual=""),
        "hazard": rng.choice([True, False, None]),
        "condition_class": pick(0, 3),
        "urgency_class": pick(0, 0, 2, odd=0.6),
        "recommendation_class": pick(3, 1, odd=0.6),
        "continues": tuple(continues) or None,
    }


def as_data(church, given):
    """The input as the service takes it."""
    named = given["continues"] or ()
    earlier = [church.findings[name].pk for name in named]
    return FindingData(
        survey=church.surveys[given["survey"]].pk,
        opening=church.openings[given["opening"]].pk,
        panel=(given["panel"] and church.panels[given["panel"]].pk) or None,
        attached_item=(given["item"] and church.items[given["item"]].pk) or None,
        kind=church.kinds[given["kind"]].pk,
        of_total=given["of"],
        continues=earlier[0] if earlier else None,
        also_from=tuple(earlier[1:]),
        **{
            name: given[name]
            for name in (
                "side", "extent", "amount", "unit", "diagnosis", "hazard", "condition_class",
                "urgency_class", "recommendation_class",
            )
        },
    )  # fmt: skip


class OpenForm(FindingForm):
    """The form with every finding among its choices, so that none is stopped by the list."""

    def _earlier(self):
        return Finding.objects.select_related("survey", "kind", "opening", "panel", "attached_item")


def posted(data):
    """The input as a page posts it."""
    post = QueryDict(mutable=True)
    values = {
        "opening": data.opening,
        "part": part_value(data.panel, data.attached_item),
        "kind": data.kind,
        "side": data.side,
        "extent": data.extent,
        "amount": data.amount,
        "unit": data.unit,
        "of_total": data.of_total,
        "diagnosis": data.diagnosis,
        "continues": data.continues,
        "condition_class": data.condition_class,
        "urgency_class": data.urgency_class,
        "recommendation_class": data.recommendation_class,
    }
    post.update({name: str(value) for name, value in values.items() if value is not None})
    post.setlist("also_from", [str(key) for key in data.also_from])
    if data.hazard:
        post["hazard"] = "on"
    return post


def as_the_form_reads(data):
    """A tick box is never unanswered; a unit that is only offered says nothing; named once."""
    others = tuple(dict.fromkeys(data.also_from))
    unit = data.unit if data.amount is not None else ""
    return replace(data, hazard=bool(data.hazard), unit=unit, also_from=tuple(sorted(others)))


def told(problems, names=None):
    return {((names or {}).get(each.field, each.field), str(each.message)) for each in problems}


def of_form(form):
    return {(box, message) for box, messages in form.errors.items() for message in messages}


def refused_by(record, *args):
    try:
        record(*args)
    except NotRecordedError as refusal:
        return told(refusal.problems)
    return set()


def survey_rows():
    blank = dict.fromkeys(
        ("purpose", "client", "method", "access", "weather", "limits", "distribution"), ""
    )
    return tuple(
        SurveyRow(at=HERE, survey=name, date=day, surveyors="A", **blank)
        for name, day in DAYS.items()
    )


def finding_row(at, name, **given):
    texts = (
        "panel",
        "item",
        "position",
        "datum",
        "diagnosis",
        "note",
        "made_safe",
        "classes_reason",
    )
    values = dict.fromkeys(texts, "") | dict.fromkeys(
        ("side", "extent", "amount", "unit", "of", "part", "water", "span", "within", "hazard",
         "condition_class", "urgency_class", "recommendation_class", "continues")
    )  # fmt: skip
    return FindingRow(at=at, finding=name, **values | given)


def recorded_rows(church):
    """The findings that are recorded, as rows of the same folder."""
    by_key = {row.pk: name for name, row in church.findings.items()}
    return [
        finding_row(
            Place("findings.xlsx", "Findings", 1),
            name,
            survey=next(n for n, day in DAYS.items() if day == row.survey.day),
            opening=row.opening.number,
            kind="other",
            continues=(by_key[row.continues_id],) if row.continues_id else None,
        )
        for name, row in church.findings.items()
    ]


def register(church):
    def of(opening, rows):
        return [name for name, row in rows.items() if row.opening == opening]

    openings = {
        number: KnownOpening(
            frozenset(of(row, church.panels)), dict.fromkeys(of(row, church.items), "")
        )
        for number, row in church.openings.items()
    }
    return Known(openings)


VOCABULARY = Vocabulary(
    {code: frozenset(units) for code, (units, _danger) in KINDS.items()},
    {},
    frozenset(code for code, (_units, danger) in KINDS.items() if danger),
)


def of_folder(church, findings=(), inspections=()):
    """What the check of a visit folder says of the rows that stand at HERE."""
    rows = Rows(
        surveys=survey_rows(),
        findings=(*recorded_rows(church), *findings),
        inspections=tuple(inspections),
    )
    known = register(church)
    subjects = Subjects(rows, known)
    context = known_in(rows, subjects, known, VOCABULARY)
    problems = FindingsCheck(rows, subjects, context, VOCABULARY, dt.date(2026, 6, 1)).problems()
    return {(p.column, p.what) for p in problems if Place(p.file, p.sheet, p.row) == HERE}


def test_a_wrong_finding_is_refused_alike_by_service_form_and_folder(church):
    rng, seen, wrong = random.Random(20260512), set(), 0
    while wrong < INPUTS:
        given = drawn(rng)
        data = as_data(church, given)
        refusals = told(check_finding(data, church.user))
        if not refusals:
            continue
        wrong += 1
        seen |= {message for _field, message in refusals}
        assert refused_by(record_finding, data, uuid7(), church.user) == refusals, given
        row = finding_row(HERE, "new", **given)
        in_columns = {(FINDING_COLUMNS.get(name, name), text) for name, text in refusals}
        assert of_folder(church, [row]) == in_columns, given
        read = as_the_form_reads(data)
        form = OpenForm(posted(read), survey=church.surveys["now"], user=church.user)
        boxes = told(check_finding(read, church.user), FindingForm.boxes)
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
        "urgency_class": None, "recommendation_class": None,
    })  # fmt: skip
    expected = {("opening", "This survey says “nothing found” of nV. Take that away first.")}
    assert told(check_finding(data, church.user)) == expected
    assert of_form(FindingForm(posted(data), survey=now, user=church.user)) == expected
    assert (
        refused_by(say_still_there, now, church.findings["Finding 3 of 2015-06-09"], church.user)
        == expected
    )


def a_look(rng):
    part = rng.choice([("2a", ""), ("7c", ""), ("", "P1"), ("", "Q1"), ("", ""), ("", "")])
    return {
        "survey": "now",
        "opening": rng.choice(["nII", "nV"]),
        "panel": part[0],
        "item": part[1],
        "side": rng.choice(["inside", "outside", "both"]),
        "outcome": rng.choice(["nothing found", "not inspected"]),
        "seen_from": rng.choice(["floor", "ladder"]),
        "reason": rng.choice(["", "", "The loft was locked."]),
    }


def test_a_wrong_look_is_refused_alike_by_service_form_and_folder(church):
    now = church.surveys["now"]
    # In the folder a finding is called by its key, on the screen by its number.
    church.findings = {"7": church.findings["Finding 7 of 2026-05-12"]}
    recorded = {"survey": "now", "panel": "", "item": "", "seen_from": "floor", "reason": "Yew."}
    there = [
        {"opening": opening, "side": side, "outcome": "not inspected"}
        for opening, side in (("nV", "inside"), ("nII", "both"))
    ]
    for each in there:
        InspectionFactory(
            survey=now,
            opening=church.openings[each["opening"]],
            side=each["side"],
            outcome=each["outcome"],
            reason="Yew.",
        )
    earlier = [InspectionRow(at=HERE, **recorded | each) for each in there]
    earlier = [
        replace(row, at=Place("findings.xlsx", "Looked at", 2 + n)) for n, row in enumerate(earlier)
    ]
    rng, seen, wrong = random.Random(4), set(), 0
    while wrong < INPUTS:
        given = a_look(rng)
        data = InspectionData(
            survey=now.pk,
            opening=church.openings[given["opening"]].pk,
            panel=(given["panel"] and church.panels[given["panel"]].pk) or None,
            attached_item=(given["item"] and church.items[given["item"]].pk) or None,
            **{name: given[name] for name in ("side", "outcome", "seen_from", "reason")},
        )
        refusals = told(check_inspection(data, church.user))
        if not refusals:
            continue
        wrong += 1
        seen |= {message for _field, message in refusals}
        assert refused_by(record_inspection, data, uuid7(), church.user) == refusals, given
        row = InspectionRow(at=HERE, **given)
        in_columns = {(INSPECTION_COLUMNS.get(name, name), text) for name, text in refusals}
        assert of_folder(church, inspections=[*earlier, row]) == in_columns, given
        post = {
            "opening": str(data.opening),
            "part": part_value(data.panel, data.attached_item),
            **{name: given[name] for name in ("side", "outcome", "seen_from", "reason")},
        }
        form = InspectionForm(post, survey=now, user=church.user)
        assert of_form(form) == told(check_inspection(data, church.user), InspectionForm.boxes)
    assert Inspection.objects.count() == len(there)
    assert len(seen) > 5
    no_reason = {("reason", "Say why it was not inspected.")}
    left = FindingFactory(
        survey=church.surveys["first"], opening=church.openings["nII"], side="outside"
    )
    assert refused_by(say_not_seen, now, left, " ", "floor", church.user) == no_reason


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
