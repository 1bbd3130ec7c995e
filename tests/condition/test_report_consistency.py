"""A wrong figure planted in a report is caught, wherever it is planted."""

import copy
import datetime as dt
import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from condition.documents.consistency import contradictions
from condition.models import Finding, MakeSafeNotice
from condition.services import issuing
from condition.services.issuing import (
    SCHEMA_FILE,
    ContradictoryReportError,
    refuse_contradictions,
)
from condition.services.recording.closures import close_areas
from condition.services.report_snapshot import build_snapshot
from sites.models.choices import DocumentKind
from sites.services.numbers import reserve_number
from tests.condition.reports import Visit, classed
from tests.factories import DangerFactory, InspectionFactory, issued_fields

pytestmark = [pytest.mark.django_db, pytest.mark.one_engine]

Path_ = tuple[str | int, ...]
# Figures that stand once: what they count is not in the report.
COUNTED_ELSEWHERE = {"photographs_damaged", "shelf_months", "version"}
# Not figures of the survey: geometry of drawings, and the level whose words are a closed list.
NOT_FIGURES = {"drawing", "plan", "legend", "document"}


@pytest.fixture
def visit(files) -> Visit:
    made = Visit()
    hazard = made.survey.findings.get(number=1)
    MakeSafeNotice.objects.create(
        studio=made.studio,
        building=made.building,
        issued_by=made.user,
        danger=hazard.danger,
        finding=hazard,
        **issued_fields("MS-2026-0001"),
    )
    moment = dt.datetime(2026, 5, 12, 14, 30)
    close_areas(hazard.danger, (), "Two pews below", moment, 1)
    # Of no finding of this survey: told by telephone.
    DangerFactory(
        building=made.building, kind=made.kinds["slipped-glass"], opening=made.openings["NII"]
    )
    made.finding("I", "cracked-glass", 30, **classed(1, 0, 1))
    InspectionFactory(
        survey=made.survey,
        opening=made.openings["I"],
        panel=None,
        side="outside",
        outcome="not inspected",
        reason="Ivy",
    )
    return made


@pytest.fixture
def snapshot(visit) -> dict[str, Any]:
    number = reserve_number(
        studio=visit.studio,
        kind=DocumentKind.REPORT,
        subject=visit.survey.pk,
        dated=dt.date(2026, 5, 20),
        user=visit.user,
    )
    return build_snapshot(visit.survey, number, None)


def figures(data: Any, path: Path_ = ()) -> Iterator[Path_]:
    """The path to every whole number in a snapshot that counts or numbers something."""
    if isinstance(data, dict):
        for key, value in data.items():
            if key not in NOT_FIGURES | COUNTED_ELSEWHERE:
                yield from figures(value, (*path, key))
    elif isinstance(data, list):
        for place, value in enumerate(data):
            yield from figures(value, (*path, place))
    elif type(data) in (int, bool):
        yield path


def planted(snapshot: dict, path: Path_, change: Callable[[Any], Any]) -> dict:
    """A copy of the snapshot with one value changed."""
    copied = copy.deepcopy(snapshot)
    holder: Any = copied
    for step in path[:-1]:
        holder = holder[step]
    holder[path[-1]] = change(holder[path[-1]])
    return copied


def one_more(value: Any) -> Any:
    return not value if isinstance(value, bool) else value + 1


def test_a_true_report_contradicts_itself_nowhere(snapshot):
    assert snapshot["change"]["rows"]
    assert snapshot["notices"]
    assert contradictions(snapshot) == []


def test_every_single_figure_is_held_against_another(snapshot):
    """Each figure made one too high, one at a time: there is none that nobody checks."""
    paths = list(figures(snapshot))
    assert len(paths) > 150
    missed = [path for path in paths if not contradictions(planted(snapshot, path, one_more))]
    assert {tuple(step for step in path if isinstance(step, str)) for path in missed} <= UNCHECKED


# What a figure alone cannot contradict: whether the client agreed; whether the surveyor set the
# classes of an opening; marks on the items that are the register's own.
UNCHECKED = {
    ("terms", "agreed"),
    ("openings", "assessment", "is_set"),
    ("openings", "items", "may_fall"),
    ("openings", "items", "memorial"),
}


@pytest.mark.parametrize(
    ("place", "wrong", "told"),
    [
        ("page_one.places", 4, "page one, places"),
        ("page_one.windows.0.count", 9, "page one, group now"),
        ("page_one.windows.1.by", "2030-01-01", "page one, group soon, the day"),
        ("openings.0.findings.0.state", "better", "each finding now"),
        ("openings.0.findings.0.hazard", True, "finding 6"),
        ("notices.0.finding", 2, "is not in the list"),
    ],
)
def test_a_planted_error_is_named_by_its_place(snapshot, place, wrong, told):
    path = tuple(int(step) if step.isdigit() else step for step in place.split("."))
    found = contradictions(planted(snapshot, path, lambda _: wrong))
    assert any(told in each for each in found), found


def test_a_finding_left_out_of_its_section_is_missed_in_three_places(snapshot):
    fewer = copy.deepcopy(snapshot)
    fewer["openings"][1]["findings"].pop()
    told = " ".join(contradictions(fewer))
    for place in ("the counts", "the list of openings, nII", "what changed"):
        assert place in told


def loose(data: dict) -> dict:
    """The danger that nothing holds."""
    return next(each for each in data["dangers"] if not each["held_by"])


def held(data: dict) -> dict:
    return next(each for each in data["dangers"] if each["held_by"])


def drop_danger(data: dict) -> None:
    data["dangers"].remove(loose(data))


def drop_row(data: dict) -> None:
    data["page_one"]["rows"].pop()


def drop_danger_and_row(data: dict) -> None:
    gone = loose(data)
    data["dangers"].remove(gone)
    rows = data["page_one"]["rows"]
    data["page_one"]["rows"] = [row for row in rows if row["danger"] != gone["id"]]


def soften(standing: str) -> Callable[[dict], None]:
    return lambda data: loose(data).update(standing=standing)


def call_it_held(data: dict) -> None:
    loose(data)["held_by"] = "held"


def call_the_row_held(data: dict) -> None:
    for row in data["page_one"]["rows"]:
        row["held"] = True


def swap(name: str) -> Callable[[dict], None]:
    def change(data: dict) -> None:
        one, other = loose(data), held(data)
        one[name], other[name] = other[name], one[name]

    return change


def swap_rows(data: dict) -> None:
    one, other = data["page_one"]["rows"][:2]
    one["where"], other["where"] = other["where"], one["where"]


def swap_findings(data: dict) -> None:
    """Two findings change windows: no count differs."""
    one, other = data["openings"][0]["findings"], data["openings"][1]["findings"]
    one[0], other[0] = other[0], one[0]


PLANTED: dict[str, Callable[[dict], Any]] = {
    "a danger dropped": drop_danger,
    "a row of page one dropped": drop_row,
    "a danger dropped everywhere": drop_danger_and_row,
    "softened to sleeping": soften("sleeping"),
    "softened to only people let in": soften("only people let in"),
    "softened to may be lost": soften("may be lost"),
    "softened to no": soften("answered no"),
    "softened to ended": soften("ended"),
    "its answer softened": lambda data: loose(data).update(falls="no"),
    "who is under it softened": lambda data: loose(data).update(under="nobody"),
    "held by nothing that holds": call_it_held,
    "held on page one alone": call_the_row_held,
    "its last day put off": lambda data: loose(data)["tasks"][-1].update(by="2040-01-01"),
    "nobody keeps people out": lambda data: loose(data)["tasks"].pop(0),
    "places swapped": swap("where"),
    "places swapped on page one": swap_rows,
    "codes swapped": swap("code"),
    "windows of dangers swapped": swap("opening"),
    "findings of dangers swapped": swap("findings"),
    "an open notice missing": lambda data: data["notices"].clear(),
    "another notice at its danger": lambda data: held(data).update(notice="MS-1"),
    "a closure missing": lambda data: data["page_one"]["shut"].clear(),
    "a closure missing at its danger": lambda data: held(data)["closed"].clear(),
    "the closed area changed": lambda data: data["page_one"]["shut"][0].update(area="One pew"),
    "the area of a notice changed": lambda data: data["notices"][0].update(area="One pew"),
    "cautions emptied": lambda data: data["cautions"].clear(),
    "the cautions of a window emptied": lambda data: [
        opening["cautions"].clear() for opening in data["openings"]
    ],
    "findings moved to other windows": swap_findings,
    "a window in two groups": lambda data: data["page_one"]["windows"][1]["windows"].append("nV"),
    "a window in a milder group": lambda data: data["page_one"]["windows"][3]["windows"].append(
        data["page_one"]["windows"][0]["windows"].pop()
    ),
}


@pytest.mark.parametrize("name", PLANTED)
def test_what_is_planted_in_a_report_stops_it_before_it_is_issued(snapshot, name):
    wrong = copy.deepcopy(snapshot)
    PLANTED[name](wrong)
    with pytest.raises(ContradictoryReportError):
        refuse_contradictions(wrong)


def test_who_is_under_it_is_held_against_where_a_danger_stands(snapshot):
    """Softened in one place alone: it stands where it stood, only the answer is another."""
    wrong = copy.deepcopy(snapshot)
    loose(wrong)["under"] = "nobody"
    (told,) = contradictions(wrong)
    assert "its answers say otherwise" in told


def test_no_sentence_of_a_translation_blocks_an_issue(snapshot):
    """Every text that we put into words, with other figures in it: read by people alone."""
    other = copy.deepcopy(snapshot)
    page = other["page_one"]
    for name in ("answer", "lead", "shut_words", "decide_words", "repairs", "not_seen"):
        page[name] = "99 and 7"
    page["waiting"] = ["99 and 7"]
    other["change"]["sentence"] = "99 and 7"
    for line in other["opening_lines"]:
        line["outcome"] = "99 and 7"
    for row in other["legend"]:
        row["within"] = "99 and 7"
    for opening in other["openings"]:
        for finding in opening["findings"]:
            finding["label"] = "ninety-nine"
    assert contradictions(other) == []


def test_a_report_that_contradicts_itself_is_not_issued(visit, snapshot, monkeypatch, caplog):
    snapshot["counts"]["dangers"] += 1
    with pytest.raises(ContradictoryReportError, match="fault of the program"):
        refuse_contradictions(snapshot)
    assert "dangers: it says 4, and 3 are there" in caplog.text


def test_issuing_looks_before_it_prints(visit, monkeypatch):
    """Planted on its way from the database, a wrong figure reaches no page and no row."""
    true = issuing.build_snapshot

    def wrong(*args: Any) -> dict[str, Any]:
        built = true(*args)
        built["counts"]["findings"] += 1
        return built

    monkeypatch.setattr(issuing, "build_snapshot", wrong)
    monkeypatch.setattr(issuing, "print_draft", lambda draft: pytest.fail("it was printed"))
    from tests.condition.test_report_issuing import issue

    with pytest.raises(ContradictoryReportError):
        issue(visit)
    assert not visit.survey.reports.exists()


# The schema.
@pytest.fixture(scope="module")
def schema() -> dict[str, Any]:
    return json.loads(Path(SCHEMA_FILE).read_text(encoding="utf-8"))


@pytest.mark.published("JSON Schema, draft 2020-12, as implemented by jsonschema")
def test_the_schema_is_one_and_the_data_keeps_to_it(schema, snapshot):
    jsonschema.Draft202012Validator.check_schema(schema)
    errors = list(jsonschema.Draft202012Validator(schema).iter_errors(snapshot))
    assert [f"{each.json_path}: {each.message}" for each in errors] == []
    assert schema["properties"]["schema"]["const"] == snapshot["schema"]


@pytest.mark.parametrize(
    ("place", "wrong"),
    [
        ("counts.findings", "nine"),
        ("counts.findings", -1),
        ("openings.0.findings.0.condition.level", 4),
        ("change.rows.0.state", "perhaps"),
        ("survey.day", "12 May 2026"),
        ("schema", "saddlebar/condition-report/3"),
    ],
)
def test_the_schema_refuses_what_is_not_a_report(schema, snapshot, place, wrong):
    path = tuple(int(step) if step.isdigit() else step for step in place.split("."))
    validator = jsonschema.Draft202012Validator(schema)
    assert not validator.is_valid(planted(snapshot, path, lambda _: wrong))


def test_the_schema_knows_every_field_and_asks_for_it(schema, snapshot):
    for name in snapshot:
        fewer = {key: value for key, value in snapshot.items() if key != name}
        assert not jsonschema.Draft202012Validator(schema).is_valid(fewer)
    extra = snapshot | {"something": 1}
    assert not jsonschema.Draft202012Validator(schema).is_valid(extra)


def test_a_survey_that_follows_none_has_no_changes(visit, snapshot):
    Finding.objects.filter(survey=visit.survey).update(continues=None)
    visit.building.surveys.exclude(pk=visit.survey.pk).get().findings.all().delete()
    number = reserve_number(
        studio=visit.studio,
        kind=DocumentKind.REPORT,
        subject=visit.survey.pk,
        dated=dt.date(2026, 5, 20),
        user=visit.user,
    )
    alone = build_snapshot(visit.survey, number, None)
    assert alone["change"] is None
    assert contradictions(alone) == []
