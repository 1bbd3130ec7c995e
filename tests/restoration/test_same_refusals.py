"""A form, the drawing editor, a visit folder and the service refuse the same input alike.

Most of the wrong inputs follow from what the data of a record declares, some are of several values
that are at odds. Each is asked of every path that has a box or a column for it.
"""

import datetime as dt
import html
import random
from dataclasses import dataclass, field, fields, replace
from decimal import Decimal

import pytest

from restoration.compute.estimate_rules import ActionData
from restoration.compute.visit_folder import layout
from restoration.compute.visit_folder.check_findings import FindingsCheck
from restoration.compute.visit_folder.check_register import check_register
from restoration.compute.visit_folder.known import Known, Vocabulary
from restoration.compute.visit_folder.rows import Rows
from restoration.compute.visit_folder.subjects import Subjects
from restoration.compute.visit_folder.tables import read_table
from restoration.compute.visit_folder.workbooks import RawSheet
from restoration.forms.actions import ActionForm
from restoration.models import RepairAction
from restoration.services.action_recording import ACTIONS
from sites.compute import record_fields as rules
from sites.compute.lengths import parse_length
from sites.compute.register_data import FixingData, ItemData, OpeningData, PanelData
from sites.forms.attached import FixingForm, ItemForm
from sites.forms.came import PanelLeadsForm
from sites.forms.drawing import WindowForms
from sites.forms.opening import OpeningForm, PanelForm
from sites.forms.proofs import LetteringForm
from sites.keys import uuid7
from sites.models import AttachedItem, Fixing, Opening, Panel
from sites.services.drawing_editor.sheet import Sheet
from sites.services.register_recording import FIXINGS, ITEMS, OPENINGS, PANELS
from tests.factories import (
    ActionKindFactory,
    AttachedItemFactory,
    EstimateFactory,
    OpeningFactory,
)

pytestmark = pytest.mark.django_db

WINDOW = {"number": "nII", "width": "1000", "height": "2000", "head": "two-centred",
          "springing": "1200", "lights": "2"}  # fmt: skip
# What a page has chosen of itself.
CHOSEN = {"wall": "north", "level": "ground", "protective_glazing": "none", "material": "brass",
          "host_state": "weak", "lettering": "bold", "alignment": "left",
          "option": "must"}  # fmt: skip
# What a value is never given without.
BESIDE = {
    "x_mm": {"y_mm": "500"},
    "y_mm": {"x_mm": "500"},
    "lump_sum": {"lump_sum_reason": "agreed"},
    "lump_sum_reason": {"lump_sum": "100"},
}
TRACERY = {"number": "A1", "shape": "roundel", "x_mm": "500", "y_mm": "1500", "width": "200"}


@dataclass(frozen=True)
class Kind:
    """A kind of record: its data, its good values as they are typed, its sheet, its service."""

    data: type
    good: dict[str, str]
    table: layout.Table
    recording: object
    # Values at odds: what is typed, beside what is good.
    odds: tuple[dict[str, str], ...] = ()
    # Not every path has these lists: an outline by corners, a wall of other words, the spelling.
    left_out: tuple[str, ...] = field(default=())


KINDS = {
    "opening": Kind(
        OpeningData,
        WINDOW,
        layout.OPENINGS,
        OPENINGS,
        (
            {"springing": "2000"},
            {"springing": "2500"},
            {"head": "semicircular"},
            {"head": "segmental", "springing": "1000"},
            {"light_widths": "400; 500; 600"},
            {"light_widths": "400"},
            {"light_widths": "600; 700"},
            {"mullion": "1000"},
            {"mullion": "1200", "lights": "3"},
            {"light_head": "two-centred", "light_springing": "2400"},
            {"height": "300"},
        ),
        ("wall",),
    ),
    "panel": Kind(
        PanelData,
        {"number": "3b"},
        layout.PANELS,
        PANELS,
        (
            {"x_mm": "500"},
            {"y_mm": "500"},
            {**TRACERY, "x_mm": "5000"},
            {**TRACERY, "y_mm": "3000"},
            {**TRACERY, "x_mm": "10", "y_mm": "1990"},
            {**TRACERY, "width": "1500", "shape": "rectangle"},
            {**TRACERY, "shape": "ellipse", "height": "70000"},
            {"pieces": "10", "crossings": "10"},
            {"pieces": "10", "ringed_pieces": "10"},
            {"pieces": "10", "plated_pieces": "11"},
            {"pieces": "10", "crossings": "400", "plated_pieces": "12"},
        ),
    ),
    "item": Kind(
        ItemData,
        {"number": "P7", "kind": "plaque"},
        layout.ITEMS,
        ITEMS,
        (
            {"x_mm": "500"},
            {"y_mm": "500"},
            {"x_mm": "2500", "y_mm": "500"},
            {"x_mm": "-1500", "y_mm": "500"},
            {"x_mm": "500", "y_mm": "4500"},
            {"x_mm": "9000", "y_mm": "9000"},
        ),
    ),
    "fixing": Kind(
        FixingData,
        {"kind": "strap", "count": "2", "state": "sound", "holds_on_to": "lead"},
        layout.FIXINGS,
        FIXINGS,
    ),
    "action": Kind(
        ActionData,
        {"difficulty": "1", "phase": "1"},
        layout.ACTIONS,
        ACTIONS,
        (
            {"quantity": "1.5"},
            {"lump_sum": "100"},
            {"lump_sum_reason": "agreed"},
            {"lump_sum": "100.005", "lump_sum_reason": "agreed"},
            {"lump_sum": "100.005", "quantity": "2.5"},
        ),
        ("option",),
    ),
}  # fmt: skip


def wrong_values(rule):
    """Texts that cannot be, for a value of one rule; the numbers are drawn by a seed."""
    drawn = random.Random(repr(rule))
    if rule.required:
        yield ""
    if isinstance(rule, rules.OldDateWords):
        yield from ("31/02/1998", "yesteryear")
    elif isinstance(rule, rules.Words):
        yield "x" * (rule.longest + drawn.randint(1, 9))
    elif isinstance(rule, rules.Choice):
        yield "none of these"
    elif isinstance(rule, rules.Whole):
        yield str(rule.highest + drawn.randint(1, 99))
        yield str(rule.lowest - 1)
    elif isinstance(rule, rules.Number):
        yield str(rule.highest + drawn.randint(1, 99))
        yield str(rule.lowest - drawn.randint(1, 9))
        yield f"{rule.highest - 1}.{'0' * rule.places}7"
    elif isinstance(rule, rules.Size):
        yield from ("-4", "wide")


def cases_of(kind):
    columns = {column.target for column in kind.table.columns}
    single = [
        {**BESIDE.get(name, {}), name: text}
        for name, rule in rules.rules_of(kind.data).items()
        if name in columns and name not in kind.left_out and not isinstance(rule, rules.Key)
        for text in wrong_values(rule)
        # The boxes of a place round it to a hundredth of a millimetre: it may be typed in inches.
        if not (name in ("x_mm", "y_mm") and text.endswith("7") and "." in text)
    ]
    return [*single, *kind.odds]


def leaves_open(kind, case):
    """Whether it is an empty cell, which says nothing: the record is as it is of itself."""
    needed = {column.target for column in kind.table.columns if column.required}
    return any(not text and name not in needed for name, text in case.items())


def test_there_are_more_than_a_hundred_wrong_inputs():
    assert sum(len(cases_of(kind)) for kind in KINDS.values()) > 100


# ---- the paths ------------------------------------------------------------------------------


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
        checks = FindingsCheck(everything, subjects, Known(), vocabulary, dt.date(2026, 1, 1))
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


@pytest.mark.parametrize("name", KINDS)
def test_every_path_refuses_the_same_input_in_the_same_words(name, building, user):
    kind, forms = KINDS[name], Forms(building, user)
    different, asked = [], 0
    for case in cases_of(kind):
        typed = {**kind.good, **case}
        expected = from_service(kind, typed, forms.parents(name))
        assert expected, case
        answers = list(forms.answers(name, typed, case))
        if not leaves_open(kind, case):
            answers += [("folder", from_folder(kind, typed)), *forms.editor(name, typed)]
        asked += len(answers)
        different += [(case, path, said, expected) for path, said in answers if said != expected]
    assert "\n".join(map(str, different)) == ""
    assert asked > len(cases_of(kind)), "no form was asked"


@pytest.mark.parametrize("name", KINDS)
def test_what_is_right_is_refused_by_none(name, building, user):
    kind, forms = KINDS[name], Forms(building, user)
    assert from_service(kind, kind.good, forms.parents(name)) == {}
    assert from_folder(kind, kind.good) == {}
    for path, errors in (*forms.answers(name, kind.good, {}), *forms.editor(name, kind.good)):
        assert errors == {}, path


@pytest.mark.parametrize(
    ("name", "address", "wrong"),
    [
        ("opening", "buildings/{building}/openings/add/", {"springing": "2000"}),
        ("panel", "openings/{opening}/panels/add/", {"pieces": "0"}),
        ("item", "openings/{opening}/items/add/", {"installed": "31/02/1998"}),
        ("fixing", "items/{item}/fixings/add/", {"count": "501"}),
        ("action", "estimates/{estimate}/actions/add/", {"quantity": "1.5"}),
    ],
)
def test_a_page_says_what_the_service_says(name, address, wrong, owner, building, user):
    kind, forms = KINDS[name], Forms(building, user)
    typed = {**kind.good, **wrong}
    places = {each: getattr(forms, each).pk for each in ("building", "opening", "item", "estimate")}
    posted = {**CHOSEN, "where": str(forms.opening.pk), **typed}
    if name == "action":
        posted["kind"] = str(forms.kind.pk)
    answer = owner.post("/" + address.format(**places), posted)
    assert answer.status_code == 422
    (message,) = from_service(kind, typed, forms.parents(name)).values()
    assert message in html.unescape(answer.content.decode())


def test_every_value_is_as_its_column():
    for kind in KINDS.values():
        model = kind.recording.model
        for each in fields(kind.data):
            rule = rules.rules_of(kind.data).get(each.name)
            name = f"{each.name}_typed" if isinstance(rule, rules.Size) else each.name
            column = model._meta.get_field(name)
            if isinstance(rule, rules.Choice):
                listed = {value for value, _ in column.choices}
                assert set(rule.values) == listed, (model, name)
                assert rule.required or column.blank
            elif isinstance(rule, rules.Words) and column.max_length:
                assert rule.longest == column.max_length, (model, name)
            elif isinstance(rule, rules.Number):
                assert rule.places == column.decimal_places
                whole = column.max_digits - column.decimal_places
                assert len(str(int(rule.highest))) <= whole
            elif isinstance(rule, rules.Size):
                assert column.max_length == rules.LONGEST_LENGTH
