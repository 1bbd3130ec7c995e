"""What a form, the drawing editor, a visit folder and the service say of what is typed."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal

from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.check_findings import FindingsCheck
from restoration.compute.visit_folder.check_register import check_register
from restoration.compute.visit_folder.known import Known, Vocabulary
from restoration.compute.visit_folder.recorded import known_in
from restoration.compute.visit_folder.rows import Rows
from restoration.compute.visit_folder.subjects import Subjects
from restoration.compute.visit_folder.tables import read_table
from restoration.compute.visit_folder.workbooks import RawSheet
from restoration.forms.actions import ActionForm
from restoration.models import RepairAction
from sites.compute import record_fields as rules
from sites.compute.lengths import parse_length
from sites.forms.attached import FixingForm, ItemForm
from sites.forms.came import PanelLeadsForm
from sites.forms.drawing import WindowForms
from sites.forms.opening import OpeningForm, PanelForm
from sites.forms.proofs import LetteringForm
from sites.keys import uuid7
from sites.models import AttachedItem, Fixing, Opening, Panel
from sites.services.drawing_editor.sheet import Sheet
from tests.factories import (
    ActionKindFactory,
    AttachedItemFactory,
    EstimateFactory,
    OpeningFactory,
)
from tests.restoration.wrong_inputs import CHOSEN, TRACERY, WINDOW


def from_folder(kind, typed):
    """What a visit folder refuses, by the names of the values."""
    names = {column.target: column.name for column in kind.table.columns}
    opening, _ = read_table(layout.OPENINGS, sheet(layout.OPENINGS, headed(WINDOW)))
    beside = {"opening": "nII", "item": "P1", "finding": "f1"}
    if kind.table is layout.ACTIONS:
        beside = {"finding": "f1", "kind": "replace-tie"}
    elif kind.table is layout.OPENINGS:
        beside = {}
    cells = {names[name]: text for name, text in {**beside, **typed}.items() if name in names}
    rows, wrong = read_table(kind.table, sheet(kind.table, cells))
    problems = [*wrong, *checked(kind.table, opening, rows)]
    attributes = {column.name: column.target for column in kind.table.columns}
    found = {}
    for problem in problems:
        if problem.sheet == kind.table.name:
            said = f"{problem.what} {problem.possible}".strip()
            found.setdefault(attributes.get(problem.column, ""), said)
    return found


def headed(typed):
    return {name.replace("_", " "): text for name, text in typed.items()}


def sheet(table, cells):
    return RawSheet("x.xlsx", table.name, (tuple(cells), tuple(cells.values())))


def checked(table, openings, rows):
    if table is layout.ACTIONS:
        finding_names = {column.target: column.empty for column in layout.FINDINGS.columns}
        at = replace(rows[0].at, sheet="Findings")
        values = {**finding_names, "finding": "f1", "opening": "nII", "survey": "s"}
        finding = layout.FINDINGS.make(at=at, **values)
        building = layout.BUILDING.make(
            at=at, **{column.target: "" for column in layout.BUILDING.columns} | {"currency": "EUR"}
        )
        everything = Rows(building=building, actions=rows, findings=(finding,), openings=openings)
        subjects, vocabulary = Subjects(everything, Known()), Vocabulary({}, {"replace-tie": "tie"})
        known = known_in(everything, subjects, Known(), vocabulary)
        checks = FindingsCheck(everything, subjects, known, vocabulary, dt.date(2026, 1, 1))
        return list(checks.problems())
    sheets = {layout.PANELS: "panels", layout.ITEMS: "items", layout.FIXINGS: "fixings"}
    items, _ = read_table(
        layout.ITEMS,
        sheet(layout.ITEMS, {"opening": "nII", "number": "P1", "kind": "plaque"}),
    )
    everything = Rows(openings=openings, items=items)
    if table is layout.OPENINGS:
        everything = Rows(openings=rows)
    elif table is layout.ITEMS:
        everything = replace(everything, items=rows)
    else:
        everything = replace(everything, **{sheets[table]: rows})
    return list(check_register(everything, Subjects(everything, Known())))


def from_service(kind, typed, parents):
    values = {}
    for name, text in typed.items():
        try:
            values[name] = typed_value(rules.rules_of(kind.data)[name], text)
        except ValueError as error:
            return {name: str(error)}
    data = replace(kind.data(**values), **parents)
    return {each.field: str(each.message) for each in kind.recording.check(data, uuid7())}


def typed_value(rule, text):
    if isinstance(rule, rules.Size):
        return parse_length(text) if text else None
    if isinstance(rule, rules.Sizes):
        return tuple(parse_length(part) for part in text.split(";"))
    if isinstance(rule, rules.Whole):
        return int(text) if text else None
    if isinstance(rule, rules.Number):
        return Decimal(text) if text else None
    return text


def errors_of(form, boxes):
    names = {box: name for name, box in boxes.items()}
    return {names.get(box, box): said[0] for box, said in form.errors.items()}


class Forms:
    """The forms that make each kind of record, by the boxes they have."""

    def __init__(self, building, user):
        self.user = user
        self.building = building
        stored = {name: text for name, text in WINDOW.items() if name != "lights"}
        self.opening = OpeningFactory(building=building, number="nI", lights=2)
        for name in ("width", "height", "springing"):
            setattr(self.opening, f"{name}_typed", stored[name])
            setattr(self.opening, f"{name}_mm", Decimal(stored[name]))
        self.opening.head = stored["head"]
        self.opening.save()
        self.item = AttachedItemFactory(opening=self.opening)
        self.estimate = EstimateFactory(building=building, rate_book__currency="EUR")
        self.kind = ActionKindFactory(studio=building.studio, unit="tie")

    def parents(self, name):
        return {
            "opening": {"building": self.building.pk},
            "fixing": {"item": self.item.pk},
            "action": {
                "estimate": self.estimate.pk, "kind": self.kind.pk, "opening": self.opening.pk
            },
        }.get(name, {"opening": self.opening.pk})  # fmt: skip

    def answers(self, name, typed, case):
        """What each form with boxes for the case says, by the names of the values."""
        made = {
            "opening": [(OpeningForm, Opening(building=self.building))],
            "panel": [(each, Panel(opening=self.opening)) for each in (PanelForm, PanelLeadsForm)],
            "item": [
                (each, AttachedItem(opening=self.opening)) for each in (ItemForm, LetteringForm)
            ],
            "fixing": [(FixingForm, Fixing(item=self.item))],
            "action": [(ActionForm, RepairAction(estimate=self.estimate))],
        }[name]
        for form_class, record in made:
            posted = {**CHOSEN, "where": str(self.opening.pk), **typed}
            more = {"estimate": self.estimate} if form_class is ActionForm else {}
            if form_class is ActionForm:
                posted["kind"] = str(self.kind.pk)
            if form_class in (PanelLeadsForm, LetteringForm):
                record.number = typed.get("number", "Z9")
            form = form_class(posted, instance=record, user=self.user, **more)
            if case.keys() <= form.fields.keys():
                yield form_class.__name__, errors_of(form, form.boxes)

    def editor(self, name, typed):
        boxes = {"wall": "north", "level": "ground", "head": "two-centred", "lights": "1"}
        if name == "opening":
            window = self.window({**boxes, **typed}, [], [])
            if typed.keys() <= window.form.fields.keys():
                yield "editor", errors_of(window.form, window.form.boxes)
        elif name in ("panel", "item"):
            given = {**TRACERY, **typed} if name == "panel" else typed
            row = {"x_mm": "x", "y_mm": "y", "turn_degrees": "turn"}
            cells = {row.get(field, field): text for field, text in given.items()}
            rows = [[cells], []] if name == "panel" else [[], [cells]]
            window = self.window({**boxes, **WINDOW}, *rows)
            form = [*window.tracery, *window.plaques][0]
            half_a_place = name == "panel" and len({"x_mm", "y_mm"} & typed.keys()) == 1
            if cells.keys() <= form.fields.keys() and not half_a_place:
                yield "editor", errors_of(form, form.boxes)

    def window(self, boxes, tracery, plaques):
        sheet = Sheet(boxes=boxes, tracery=tracery, plaques=plaques)
        return WindowForms(sheet, Opening(building=self.building), self.user)
