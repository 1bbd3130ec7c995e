"""Wrong inputs as each way of recording would be given them, and what each says of them."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

from django.http import QueryDict

from condition.compute.recording.facts import FindingData, InspectionData, KnownKind
from condition.forms.choices import part_value
from condition.forms.findings import FindingForm
from condition.models import Finding
from restoration.compute.visit_folder.check_findings import FindingsCheck
from restoration.compute.visit_folder.known import Known, KnownOpening, Vocabulary
from restoration.compute.visit_folder.problems import Place
from restoration.compute.visit_folder.recorded import (
    known_in,
)
from restoration.compute.visit_folder.rows import (
    FindingRow,
    InspectionRow,
    Rows,
    SurveyRow,
)
from restoration.compute.visit_folder.subjects import Subjects
from sites.services.recording import NotRecordedError
from tests.factories import (
    AttachedItemFactory,
    FindingFactory,
    FindingKindFactory,
    InspectionFactory,
    MembershipFactory,
    OpeningFactory,
    PanelFactory,
    SurveyFactory,
)

# Twice, each time from another seed. Each fifth is also tried to be recorded.
INPUTS = 50
EACH = 5
ABOUT_DANGER = ("because", "measure", "placed", "holder")
LOOK = ("side", "outcome", "seen_from", "reason")
HERE = Place("findings.xlsx", "Findings", 99)
KINDS = {
    "joint": (["count"], False),
    "deposit": (["percent of area", "mm"], False),
    "tab": (["count"], True),
    "tie": (["count"], False),
    "bow": (["mm out of plane"], False),
    "other": ([], False),
}
DAYS = {"first": dt.date(2015, 6, 9), "between": dt.date(2020, 3, 1), "now": dt.date(2026, 5, 12)}


def church_of(building):
    """Two openings with a panel and an item each, three surveys, and what was found at them."""
    church = SimpleNamespace(building=building)
    church.user = MembershipFactory(building=building, role="surveyor").user
    church.openings = {
        name: OpeningFactory(
            building=building,
            number=name,
            under_inside="people" if name == "nII" else "nobody",
            under_outside="nobody",
        )
        for name in ("nII", "nV")
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
            studio=building.studio,
            code=code,
            name=code,
            units=units,
            danger=danger,
            danger_when_all=code == "tie",
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
        "extent": pick("throughout", usual="grouped"),
        "amount": pick(*map(Decimal, ("0", "2.5", "30", "40", "101", "250")), odd=0.8),
        "unit": pick("count", "mm", "percent of area", "percent of pieces", usual="", odd=0.7),
        "of": pick(1, 30, odd=0.4),
        "not_measured": pick("not reached", usual="", odd=0.2),
        "diagnosis": pick("The lead is tired.", usual=""),
        "answer": rng.choice(["now", "could", "not judged", "no", None]),
        "because": pick("Pulled, steady.", usual=""),
        "measure": pick("held", "taken away", "told", usual="", odd=0.3),
        "placed": pick("In the vestry.", usual=""),
        "holder": pick("The warden.", usual=""),
        "condition_class": pick(0, 3),
        "urgency_class": pick(0, 0, 1, 2, odd=0.6),
        "recommendation_class": pick(3, 1, 0, odd=0.6),
        "continues": tuple(continues) or None,
        "subject_change": pick("It has spread.", usual=""),
        "seen_from": pick("ladder", "floor", usual=""),
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
                "side", "extent", "amount", "unit", "not_measured", "diagnosis", "answer",
                "because", "measure", "placed", "holder", "condition_class", "urgency_class",
                "recommendation_class", "subject_change", "seen_from",
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
        "not_measured": data.not_measured,
        "diagnosis": data.diagnosis,
        "continues": data.continues,
        "subject_change": data.subject_change,
        "seen_from": data.seen_from,
        "condition_class": data.condition_class,
        "urgency_class": data.urgency_class,
        "answer": data.answer,
        **{name: getattr(data, name) for name in ABOUT_DANGER},
        "recommendation_class": data.recommendation_class,
    }
    post.update({name: str(value) for name, value in values.items() if value is not None})
    post.setlist("also_from", [str(key) for key in data.also_from])
    return post


def as_the_form_reads(data):
    """A unit that is only offered says nothing; named once."""
    others = tuple(dict.fromkeys(data.also_from))
    unit = data.unit if data.amount is not None else ""
    return replace(data, unit=unit, also_from=tuple(sorted(others)))


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
        "because",
        "done",
        "keeper",
        "placed",
        "holder",
        "classes_reason",
        "not_measured",
        "subject_change",
    )
    values = dict.fromkeys(texts, "") | dict.fromkeys(
        ("side", "extent", "amount", "unit", "of", "part", "water", "span", "within", "answer",
         "measure", "fixed_to", "look_by", "condition_class", "urgency_class",
         "recommendation_class", "continues", "seen_from")
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
            frozenset(of(row, church.panels)),
            dict.fromkeys(of(row, church.items), ""),
            any(row.people_under(side) for side in ("inside", "outside")),
        )
        for number, row in church.openings.items()
    }
    return Known(openings)


VOCABULARY = Vocabulary(
    {
        code: KnownKind(code, tuple(units), danger, code == "tie")
        for code, (units, danger) in KINDS.items()
    },
    {},
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


def look_data(church, given):
    """The look as the service takes it."""
    return InspectionData(
        survey=church.surveys["now"].pk,
        opening=church.openings[given["opening"]].pk,
        panel=(given["panel"] and church.panels[given["panel"]].pk) or None,
        attached_item=(given["item"] and church.items[given["item"]].pk) or None,
        **{name: given[name] for name in LOOK},
    )


def posted_look(data):
    """The look as a page posts it."""
    part = part_value(data.panel, data.attached_item)
    return {"opening": str(data.opening), "part": part} | {
        name: getattr(data, name) for name in LOOK
    }


def looks_there(church):
    """Record a look at each opening, and return both as rows of the same folder."""
    rows = []
    for line, (opening, side) in enumerate((("nV", "inside"), ("nII", "both")), start=2):
        facts = {"side": side, "outcome": "not inspected", "reason": "Yew."}
        InspectionFactory(survey=church.surveys["now"], opening=church.openings[opening], **facts)
        at = Place("findings.xlsx", "Looked at", line)
        rows.append(
            InspectionRow(
                at=at, survey="now", opening=opening, panel="", item="", seen_from="floor", **facts
            )
        )
    return rows
