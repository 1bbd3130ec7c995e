"""The sheets of the two workbooks: every column, what it holds, and how long it may be.

Lengths and lists are those of the database, which is not known here; a test compares them.
"""

from typing import Final

from restoration.compute.estimate_rules import ActionData
from restoration.compute.visit_folder.cells import (
    Reader,
    choice,
    country,
    currency,
    day,
    email,
    language,
    length,
    lengths,
    lines,
    number,
    number_and_system,
    old_date,
    separated,
    text,
    time_zone,
    whole,
    yes_no,
)
from restoration.compute.visit_folder.rows import (
    ActionRow,
    BarRow,
    BuildingRow,
    FindingRow,
    FixingRow,
    InspectionRow,
    ItemRow,
    OpeningRow,
    PanelRow,
    PersonRow,
    PhotographRow,
    SharedCostRow,
    SurveyRow,
    WallRow,
)
from restoration.compute.visit_folder.tables import Column, Table
from sites.compute.record_fields import (
    LONGEST_PROSE,
    Choice,
    Number,
    OldDateWords,
    Rule,
    Sizes,
    Whole,
    Words,
    rules_of,
)
from sites.compute.register_data import BarData, FixingData, ItemData, OpeningData, PanelData

MOST_COUNTED: Final = 1_000_000
# An outline by its corners is drawn in the program; a spreadsheet names the other shapes.
DRAWN_ALONE: Final = ("points",)


def columns_of(data: type, *attributes: str) -> tuple[Column, ...]:
    """Columns of a record's values, headed by their names, with the limits its data gives them."""
    return tuple(
        column_of(data, attribute, attribute.replace("_", " ")) for attribute in attributes
    )


def column_of(data: type, attribute: str, name: str, required: bool = False) -> Column:
    """A column of one value under a heading of its own; required: filled in on every row."""
    rule = rules_of(data)[attribute]
    empty = "" if type(rule) is Words else None
    return Column(name, _reader(rule), required, empty, attribute)


def _reader(rule: Rule) -> Reader:
    """What reads a cell into a value of the rule."""
    if isinstance(rule, OldDateWords):
        return old_date
    if isinstance(rule, Words):
        return lines if rule.longest == LONGEST_PROSE else text(rule.longest)
    if isinstance(rule, Choice):
        return choice(*(value for value in rule.values if value not in DRAWN_ALONE))
    if isinstance(rule, Whole):
        return whole(rule.lowest, rule.highest)
    if isinstance(rule, Number):
        return number(str(rule.lowest), str(rule.highest), rule.places)
    return lengths if isinstance(rule, Sizes) else length


def words(name: str, longest: int, required: bool = False, attribute: str = "") -> Column:
    """A column of text on one line."""
    return Column(name, text(longest), required, empty="", attribute=attribute)


def prose(name: str) -> Column:
    """A column of text of any number of lines."""
    return Column(name, lines, empty="")


def needed(name: str, read: Reader) -> Column:
    """A column that is filled in every row and holds no plain text."""
    return Column(name, read, required=True)


def class_column(name: str) -> Column:
    """A class of EN 16096, from 0 to 3."""
    return Column(name, whole(0, 3))


# A key or number as one row names another.
def key(name: str, required: bool = False) -> Column:
    return words(name, 24, required)


SEEN_FROM: Final = Column(
    "from", choice("floor", "ladder", "tower", "lift", "other"), attribute="seen_from"
)
# The first is the one it continues; with several, they have come together in it.
KEYS_CONTINUED: Final = Column("continues", separated(";", 24))
SUBJECT: Final = (key("opening", required=True), key("panel"), key("item"))
SIDE: Final = Column("side", choice("inside", "outside", "both"))

# Which values out of their usual range are right: see check_plausible.
SURE: Final = Column("sure", separated(";", 120))

# A point of the plan, in mm to the east and to the north of any one place.
ON_PLAN: Final = number("-1000000", "1000000", 2)

BUILDING: Final = Table(
    "Building",
    BuildingRow,
    (
        words("name", 160, required=True),
        words("place", 120, required=True),
        prose("address"),
        Column("country", country),
        Column("kind", choice("church", "chapel", "memorial hall", "synagogue", "other")),
        words("built", 80),
        words("dedication", 160),
        words("protection", 240),
        words("consent body", 240),
        prose("access"),
        *columns_of(OpeningData, "under_inside", "under_outside"),
        needed("currency", currency),
        needed("time zone", time_zone),
        Column("language", language),
        Column("paper", choice("A4", "Letter")),
        Column("units", choice("metric", "inch")),
        Column("ritual east", number("0", "359.9", 1)),
    ),
    required=True,
)
PEOPLE: Final = Table(
    "People",
    PersonRow,
    (
        words("name", 120, required=True),
        words("role", 80, required=True),
        Column("email", email),
        words("phone", 40),
    ),
)
WALLS: Final = Table(
    "Walls",
    WallRow,
    (
        words("name", 80, required=True),
        needed("x1", ON_PLAN),
        needed("y1", ON_PLAN),
        needed("x2", ON_PLAN),
        needed("y2", ON_PLAN),
        Column("bulge", number("-10", "10", 6)),
    ),
)
OPENINGS: Final = Table(
    "Openings",
    OpeningRow,
    (
        key("number", required=True),
        *columns_of(OpeningData, "title"),
        words("wall", 120),
        *columns_of(
            OpeningData, "level", "width", "height", "sill_height", "head", "springing",
            "small_radius", "foils", "lights", "mullion", "light_head", "light_springing",
            "light_widths", "rebate",
        ),
        words("plan wall", 80),
        *columns_of(OpeningData, "plan_along"),
        Column("rows", whole(1, 100)),
        *columns_of(OpeningData, "made", "maker", "protective_glazing"),
        *columns_of(OpeningData, "under_inside", "under_outside"),
        *columns_of(OpeningData, "significance", "access"),
        Column("older numbers", number_and_system),
        SURE,
    ),
    required=True,
)  # fmt: skip
BARS: Final = Table(
    "Bars",
    BarRow,
    (
        key("opening", required=True),
        column_of(BarData, "kind", "kind", required=True),
        *columns_of(BarData, "light"),
        column_of(BarData, "height", "height", required=True),
        *columns_of(BarData, "ties", "section", "width", "depth", "material"),
    ),
)
PANELS: Final = Table(
    "Panels",
    PanelRow,
    (
        key("opening", required=True),
        key("number", required=True),
        *columns_of(PanelData, "width", "height", "pieces", "shape"),
        column_of(PanelData, "x_mm", "x in mm"),
        column_of(PanelData, "y_mm", "y in mm"),
        column_of(PanelData, "turn_degrees", "turn"),
        *columns_of(
            PanelData, "foils", "glass_thickness", "pattern", "crossings", "ringed_pieces",
            "plated_pieces", "subject",
        ),
        SURE,
    ),
)  # fmt: skip
ITEMS: Final = Table(
    "Attached items",
    ItemRow,
    (
        key("opening", required=True),
        key("number", required=True),
        key("panel"),
        column_of(ItemData, "kind", "kind", required=True),
        *columns_of(
            ItemData, "material", "width", "height", "thickness", "inscription", "memorial_of",
            "donors", "installed",
        ),
        column_of(ItemData, "x_mm", "x in mm"),
        column_of(ItemData, "y_mm", "y in mm"),
        column_of(ItemData, "weighed_kg", "weight in kg"),
        *columns_of(ItemData, "letter_height", "margin", "reading_distance"),
        SURE,
    ),
)  # fmt: skip
FIXINGS: Final = Table(
    "Fixings",
    FixingRow,
    (
        key("opening", required=True),
        key("item", required=True),
        *[
            column_of(FixingData, name, name.replace("_", " "), required=True)
            for name in ("kind", "count", "state", "holds_on_to")
        ],
        *columns_of(FixingData, "host_state", "width", "length"),
        Column("cured from", day, attribute="cures_on"),
        *columns_of(FixingData, "product"),
    ),
)
SURVEYS: Final = Table(
    "Surveys",
    SurveyRow,
    (
        key("survey", required=True),
        needed("date", day),
        words("surveyors", 240, required=True),
        words("purpose", 240),
        words("client", 160),
        prose("method"),
        prose("access"),
        words("weather", 160),
        prose("limits"),
        prose("distribution"),
    ),
    required=True,
)
FINDINGS: Final = Table(
    "Findings",
    FindingRow,
    (
        key("finding", required=True),
        key("survey", required=True),
        *SUBJECT,
        words("kind", 60, required=True),
        SIDE,
        Column("extent", choice("isolated", "grouped", "along one line", "throughout")),
        Column("amount", number("0", "99999999", 2)),
        Column(
            "unit",
            choice("count", "mm", "percent of pieces", "percent of area", "mm out of plane"),
        ),
        Column("of", whole(1, MOST_COUNTED)),
        Column("not measured", choice("not reached")),
        words("position", 240),
        Column("part", choice("background", "border", "figure", "head or hand", "inscription")),
        Column("water", yes_no),
        Column("span", length),
        Column("within", length),
        words("measured from", 120, attribute="datum"),
        prose("diagnosis"),
        prose("note"),
        Column("can it come down", choice("now", "could", "no", "not judged"), attribute="answer"),
        words("because", 400),
        Column(
            "measure",
            choice(
                *("taken away", "held", "mended on the spot", "covered", "kept clear", "told"),
                "not possible",
            ),
        ),
        Column("fixed to", choice("bar", "frame", "stone", "fixings", "lead", "other")),
        words("done", 400),
        words("kept by", 160, attribute="keeper"),
        Column("look again by", day, attribute="look_by"),
        words("it is now", 240, attribute="placed"),
        words("held by", 160, attribute="holder"),
        class_column("condition class"),
        class_column("urgency class"),
        class_column("recommendation class"),
        words("why otherwise", 400, attribute="classes_reason"),
        KEYS_CONTINUED,
        words("place changed", 240, attribute="subject_change"),
        SEEN_FROM,
    ),
    required=True,
)
LOOKS: Final = Table(
    "Looked at",
    InspectionRow,
    (
        key("survey", required=True),
        *SUBJECT,
        SIDE,
        needed("outcome", choice("nothing found", "not inspected")),
        SEEN_FROM,
        words("reason", 240),
    ),
)
PHOTOGRAPHS: Final = Table(
    "Photographs",
    PhotographRow,
    (
        words("file", 400, required=True),
        Column("finding", separated(";", 24)),
        key("survey"),
        key("opening"),
        words("caption", 240),
    ),
)
ACTIONS: Final = Table(
    "Actions",
    ActionRow,
    (
        needed("finding", separated(";", 24)),
        words("kind", 60, required=True),
        *columns_of(ActionData, "quantity", "option"),
        *columns_of(ActionData, "phase", "scope", "difficulty", "lump_sum", "lump_sum_reason"),
        SURE,
    ),
)

SHARED_COSTS: Final = Table(
    "Shared costs",
    SharedCostRow,
    (
        needed("kind", choice("access", "preliminaries", "travel", "making safe", "other")),
        words("description", 240, required=True),
        needed("amount", number("0", "10000000000", 3)),
        Column("phase", whole(1, 99)),
        SURE,
    ),
)

REGISTER: Final = (BUILDING, PEOPLE, WALLS, OPENINGS, BARS, PANELS, ITEMS, FIXINGS)
FINDINGS_BOOK: Final = (SURVEYS, FINDINGS, LOOKS, PHOTOGRAPHS, ACTIONS, SHARED_COSTS)
