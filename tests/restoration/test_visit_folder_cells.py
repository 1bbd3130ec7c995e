"""Reading one cell, and the layout of the sheets against the database they are written to."""

import datetime as dt
import re
from decimal import Decimal

import pytest
from django.apps import apps
from django.conf import settings
from hypothesis import assume, given
from hypothesis import strategies as st

from condition.models import DangerAct
from condition.models.choices import (
    AmountUnit,
    Extent,
    FallAnswer,
    MeasureFixedTo,
    MeasureTaken,
    Outcome,
    SeenFrom,
    Side,
)
from restoration.compute.visit_folder import cells, layout
from restoration.compute.visit_folder.cells import CellError
from restoration.compute.visit_folder.plan import finding_numbers
from restoration.compute.visit_folder.problems import alike, did_you_mean
from restoration.compute.visit_folder.spreadsheet_scan import cell_name
from restoration.models.choices import Option
from sites.models.choices import (
    BarKind,
    BuildingKind,
    FixingKind,
    FixingState,
    Head,
    Host,
    HostState,
    ItemKind,
    Level,
    Material,
    PanelPattern,
    Paper,
    Placement,
    ProtectiveGlazing,
    Units,
    WhoIsUnder,
)


@pytest.mark.parametrize(
    ("cell", "said"),
    [
        (2015.0, "2015"),
        (0.1 + 0.2, "0.3"),
        (34.375, "34.375"),
        (5551234567.0, "5551234567"),
        (True, "yes"),
        ("  a\r\nb\x00 ", "a\nb"),
        ("e\N{COMBINING ACUTE ACCENT}", "\N{LATIN SMALL LETTER E WITH ACUTE}"),
        ("=HYPERLINK(1)", "=HYPERLINK(1)"),
        ("<b>لوحة 🕯</b>", "<b>لوحة 🕯</b>"),
    ],
)
def test_a_cell_is_read_as_the_text_it_shows(cell, said):
    assert cells.words(cell) == said


@pytest.mark.parametrize(
    "cell", [dt.date(2026, 3, 8), dt.datetime(2026, 3, 8, 1), dt.time(3), dt.timedelta(hours=30)]
)
def test_a_number_that_the_spreadsheet_made_a_date_is_refused(cell):
    with pytest.raises(CellError, match="has made a date or time of this"):
        cells.words(cell)


def test_a_number_with_more_decimals_than_are_kept_is_refused_and_never_rounded():
    read = cells.number("0", "9", 2)
    assert [read(cell) for cell in ("1.25", 1.25, 1.5, 2)] == [
        Decimal("1.25"), Decimal("1.25"), Decimal("1.5"), 2
    ]  # fmt: skip
    for cell in ("1.2345", 1.2345, 0.0001):
        with pytest.raises(CellError, match="more than 2 decimal places"):
            read(cell)


@pytest.mark.parametrize("cell", ["Yes", " y ", "TRUE", True, 1.0, "1"])
def test_yes_is_read(cell):
    assert cells.yes_no(cell) is True


@pytest.mark.parametrize("cell", ["no", "N", "False", False, 0.0])
def test_no_is_read(cell):
    assert cells.yes_no(cell) is False


@pytest.mark.parametrize(
    "cell",
    ["2026-05-04", dt.date(2026, 5, 4), dt.datetime(2026, 5, 4, 10), "4 May 2026", " 2026-05-04 "],
)
def test_a_day_is_read(cell):
    assert cells.day(cell) == dt.date(2026, 5, 4)


@pytest.mark.parametrize("cell", ["2026-02-30", "May 2026", "04/05/2026", "soon", 46146.0, "1890s"])
def test_what_is_not_one_day_is_refused(cell):
    with pytest.raises(CellError):
        cells.day(cell)


@pytest.mark.parametrize(
    ("cell", "said"),
    [(1931.0, "1931"), ("c. 1931", "c. 1931"), (dt.date(1931, 5, 12), "1931-05-12")],
)
def test_an_old_date_stays_as_it_was_written(cell, said):
    assert cells.old_date(cell) == said


@pytest.mark.parametrize(
    ("cell", "mm"),
    [('34 3/8"', "873.125"), (873.0, "873"), ("2' 10 3/8\"", "873.125"), ("87,3 cm", "873")],
)
def test_a_length_is_read_and_a_bare_number_is_in_millimetres(cell, mm):
    assert cells.length(cell).mm == Decimal(mm)


@pytest.mark.parametrize("number", [873.125, 1.25, 12.5, 1.0, 999.999])
def test_a_spreadsheets_own_number_is_never_in_doubt(number):
    said = Decimal(str(number))
    assert cells.number("0", "1000", 3)(number) == said
    assert cells.length(number).mm == said
    # What is kept as typed is read as the same length again.
    assert cells.length(cells.length(number).typed).mm == said
    assert [each.mm for each in cells.lengths(number)] == [said]


@pytest.mark.parametrize("text", ["1.250", "1,250", "-12.500"])
def test_the_text_of_a_number_with_two_readings_is_asked_about(text):
    for read in (cells.number("-99999", "99999", 3), cells.whole(0, 9999)):
        with pytest.raises(CellError, match="can be read as"):
            read(text)


@pytest.mark.parametrize("text", ["1.052,50", "1 052,50", "1,052.50"])
def test_the_text_of_a_number_is_read_in_any_habit(text):
    assert cells.number("0", "99999", 2)(text) == Decimal("1052.5")


def test_older_numbers_come_with_whose_they_are():
    read = cells.number_and_system(
        "12: parish list of 1962 ;W4: Dr A: 1931; 12: parish list of 1962"
    )
    assert read == (("12", "parish list of 1962"), ("W4", "Dr A: 1931"))
    with pytest.raises(CellError, match="does not say whose"):
        cells.number_and_system("12")


@given(st.one_of(st.text(), st.floats(), st.booleans(), st.integers(), st.dates(), st.times()))
def test_no_cell_breaks_a_reader(cell):
    readers = {
        column.read
        for table in (*layout.REGISTER, *layout.FINDINGS_BOOK)
        for column in table.columns
    }
    assume(not isinstance(cell, str) or cell.strip())
    refused = 0
    for read in readers:
        try:
            read(cell)
        except CellError as error:
            refused += bool(str(error))
    # There is nothing that each column takes: a list of words, a date, a number.
    assert refused > 0


@pytest.mark.parametrize(
    ("row", "column", "name"), [(1, 1, "A1"), (5, 26, "Z5"), (7, 27, "AA7"), (9, 16384, "XFD9")]
)
def test_cells_are_named_as_spreadsheets_do(row, column, name):
    assert cell_name(row, column) == name


def test_headings_and_codes_are_alike_whatever_their_case_and_hyphens():
    assert alike(" Sill_Height* :") == alike("sill-height") == "sill height"
    assert did_you_mean("hieght", ["width", "height"]) == 'Did you mean "height"?'
    assert did_you_mean("zzz", ["width", "height"]) == "There is: width, height."
    assert did_you_mean("zzz", []) == "There is none."


@pytest.mark.parametrize(
    ("keys", "numbers"),
    [
        (["2026-014", "2026-002"], [14, 2]),
        (["A", "B"], [1, 2]),
        (["n-1", "s-1"], [1, 2]),
        (["x-0", "x-1"], [1, 2]),
        (["7", "7a"], [1, 2]),
        ([], []),
    ],
)
def test_findings_keep_the_numbers_of_their_keys_where_those_are_different(keys, numbers):
    assert finding_numbers(keys) == dict(zip(keys, numbers, strict=True))


# ---- the layout against the tables -----------------------------------------------------------

MODELS = {
    "Building": "sites.Building",
    "People": "sites.BuildingPerson",
    "Openings": "sites.Opening",
    "Panels": "sites.Panel",
    "Walls": "sites.PlanWall",
    "Bars": "sites.Bar",
    "Attached items": "sites.AttachedItem",
    "Fixings": "sites.Fixing",
    "Surveys": "condition.Survey",
    "Findings": "condition.Finding",
    "Looked at": "condition.Inspection",
    "Photographs": "condition.Photograph",
    "Actions": "restoration.RepairAction",
    "Shared costs": "restoration.SharedCost",
}
# Columns that name another row, or are not kept under that name.
ELSEWHERE = {
    "opening", "panel", "item", "survey", "finding", "kind", "continues", "file", "wall", "rows",
    "older_numbers", "option", "plan_wall", "x1", "y1", "x2", "y2", "light_widths", "sure",
}  # fmt: skip
RENAMED = {"date": "day", "of": "of_total"}
# Of a finding, what is kept with its danger, and by what name there.
OF_DANGER = {
    name: {"done": "because"}.get(name, name)
    for name in (
        "answer", "because", "measure", "fixed_to", "done", "keeper", "look_by", "placed",
        "holder",
    )
}  # fmt: skip


def columns_and_fields():
    for table in (*layout.REGISTER, *layout.FINDINGS_BOOK):
        model = apps.get_model(MODELS[table.name])
        for column in table.columns:
            if column.target not in ELSEWHERE:
                target = RENAMED.get(column.target, column.target)
                if table.name == "Findings" and target in OF_DANGER:
                    yield table, column, DangerAct._meta.get_field(OF_DANGER[target])
                    continue
                names = {field.name for field in model._meta.fields}
                name = target if target in names else f"{target}_typed"
                yield table, column, model._meta.get_field(name)


def accepted(column, value) -> bool:
    try:
        return bool(column.read(value)) or column.read(value) == 0
    except CellError:
        return False


def test_no_text_is_longer_than_the_database_keeps():
    checked = 0
    for table, column, field in columns_and_fields():
        longest = field.max_length
        if column.empty == "" and longest:
            assert accepted(column, "x" * longest), (table.name, column.name)
            assert not accepted(column, "x" * (longest + 1)), (table.name, column.name)
            checked += 1
    assert checked > 20


CHOICES = [
    (layout.BUILDING, "kind", BuildingKind, ()),
    (layout.BUILDING, "paper", Paper, ()),
    (layout.BUILDING, "units", Units, ()),
    (layout.OPENINGS, "level", Level, ()),
    (layout.OPENINGS, "head", Head, (Head.POINTS,)),
    (layout.OPENINGS, "light head", Head, (Head.POINTS,)),
    (layout.PANELS, "shape", Head, (Head.POINTS,)),
    (layout.PANELS, "pattern", PanelPattern, ()),
    (layout.BARS, "kind", BarKind, ()),
    (layout.OPENINGS, "protective glazing", ProtectiveGlazing, ()),
    (layout.ITEMS, "kind", ItemKind, ()),
    (layout.ITEMS, "material", Material, ()),
    (layout.ITEMS, "placement", Placement, ()),
    (layout.BUILDING, "under inside", WhoIsUnder, ()),
    (layout.OPENINGS, "under outside", WhoIsUnder, ()),
    (layout.FIXINGS, "kind", FixingKind, ()),
    (layout.FIXINGS, "state", FixingState, ()),
    (layout.FIXINGS, "holds on to", Host, ()),
    (layout.FIXINGS, "host state", HostState, ()),
    (layout.FINDINGS, "side", Side, (Side.UNKNOWN,)),
    (layout.FINDINGS, "extent", Extent, ()),
    (layout.FINDINGS, "unit", AmountUnit, ()),
    (layout.FINDINGS, "can it come down", FallAnswer, ()),
    (layout.FINDINGS, "from", SeenFrom, ()),
    (layout.FINDINGS, "measure", MeasureTaken, ()),
    (layout.FINDINGS, "fixed to", MeasureFixedTo, ()),
    (layout.LOOKS, "outcome", Outcome, ()),
    (layout.LOOKS, "from", SeenFrom, ()),
    (layout.ACTIONS, "option", Option, ()),
]


@pytest.mark.parametrize(("table", "name", "choices", "left_out"), CHOICES)
def test_the_lists_of_a_column_are_those_of_the_database(table, name, choices, left_out):
    column = next(column for column in table.columns if column.name == name)
    for value in choices.values:
        assert accepted(column, value) == (value not in left_out)
    assert not accepted(column, "none of these")


@pytest.mark.parametrize(
    ("table", "name", "highest"),
    [
        (layout.FINDINGS, "amount", "99999999"),
        (layout.ACTIONS, "quantity", "1000000"),
        (layout.ACTIONS, "difficulty", "10"),
        (layout.ACTIONS, "lump sum", "10000000000"),
    ],
)
def test_the_highest_numbers_fit_the_database(table, name, highest):
    column = next(column for column in table.columns if column.name == name)
    field = apps.get_model(MODELS[table.name])._meta.get_field(column.target)
    assert accepted(column, highest)
    assert len(highest) <= field.max_digits - field.decimal_places
    assert not accepted(column, str(int(highest) + 1))


def test_the_readme_names_every_column_of_every_sheet():
    readme = (settings.BASE_DIR / "README.md").read_text("utf-8").splitlines()
    for table in (*layout.REGISTER, *layout.FINDINGS_BOOK):
        (row,) = [line for line in readme if re.match(rf"\| {table.name}( \(.*?\))? \| ", line)]
        said = re.split(r"[,;|(]|\band\b|\balso\b", row.replace("\\*", "").replace(")", ","))
        missing = set(table.headings) - {each.strip() for each in said}
        assert missing == set(), table.name
