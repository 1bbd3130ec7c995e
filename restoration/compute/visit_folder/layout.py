"""The sheets of the two workbooks: every column, what it holds, and how long it may be.

Lengths and lists are those of the database, which is not known here; a test compares them.
"""

from typing import Final

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

# Far above any window; the database and the pricing would refuse more.
MOST_PIECES: Final = 100_000
MOST_COUNTED: Final = 1_000_000
# An outline by its corners is drawn in the program; a spreadsheet names the other shapes.
HEADS: Final = (
    "rectangle",
    "semicircular",
    "segmental",
    "two-centred",
    "four-centred",
    "roundel",
    "ellipse",
    "vesica",
    "triangle",
    "curved triangle",
    "foiled",
    "foiled in circle",
    "other",
)


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


# The first is the one it continues; with several, they have come together in it.
KEYS_CONTINUED: Final = Column("continues", separated(";", 24))
SUBJECT: Final = (key("opening", required=True), key("panel"), key("item"))
SIDE: Final = Column("side", choice("inside", "outside", "both"))

# The middle of a part, in mm from the left jamb and from the sill, as seen from inside.
PLACE_X: Final = Column("x in mm", number("-60000", "60000", 2), attribute="x_mm")
PLACE_Y: Final = Column("y in mm", number("-60000", "60000", 2), attribute="y_mm")
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
        words("title", 200),
        words("wall", 120),
        Column("level", choice("ground", "clerestory", "triforium", "other")),
        Column("width", length),
        Column("height", length),
        Column("sill height", length),
        Column("head", choice(*HEADS)),
        Column("springing", length),
        Column("small radius", length),
        Column("foils", whole(3, 8)),
        Column("lights", whole(1, 40)),
        Column("mullion", length),
        Column("light head", choice(*HEADS)),
        Column("light springing", length),
        Column("light widths", lengths),
        Column("rebate", length),
        words("plan wall", 80),
        Column("plan along", length),
        Column("rows", whole(1, 100)),
        Column("made", old_date),
        words("maker", 160),
        Column("protective glazing", choice("none", "vented", "unvented", "unknown")),
        Column("people below", yes_no),
        Column("significance", choice("ordinary", "notable", "outstanding")),
        prose("access"),
        Column("older numbers", number_and_system),
    ),
    required=True,
)
BARS: Final = Table(
    "Bars",
    BarRow,
    (
        key("opening", required=True),
        needed("kind", choice("saddle bar", "division bar", "T-bar", "transom")),
        Column("light", whole(1, 40)),
        needed("height", length),
        Column("ties", whole(0, 200)),
        Column("section", choice("round", "flat", "square")),
        Column("width", length),
        Column("depth", length),
        Column("material", choice("steel", "wrought iron", "stainless steel", "bronze", "brass")),
    ),
)
PANELS: Final = Table(
    "Panels",
    PanelRow,
    (
        key("opening", required=True),
        key("number", required=True),
        Column("width", length),
        Column("height", length),
        Column("pieces", whole(1, MOST_PIECES)),
        Column("shape", choice(*HEADS)),
        PLACE_X,
        PLACE_Y,
        Column("turn", number("-360", "360", 1), attribute="turn_degrees"),
        Column("foils", whole(3, 8)),
        Column("glass thickness", length),
        Column("pattern", choice("squares", "hexagons", "strips", "figure", "other")),
        Column("crossings", whole(0, MOST_PIECES)),
        Column("ringed pieces", whole(0, MOST_PIECES)),
        Column("plated pieces", whole(0, MOST_PIECES)),
        words("subject", 200),
    ),
)
ITEMS: Final = Table(
    "Attached items",
    ItemRow,
    (
        key("opening", required=True),
        key("number", required=True),
        key("panel"),
        needed("kind", choice("plaque", "ventilator", "guard", "lamp", "sensor", "other")),
        Column(
            "material",
            choice(
                "brass",
                "bronze",
                "copper",
                "aluminium",
                "stainless steel",
                "magnesium",
                "zinc",
                "enamelled steel",
                "other",
                "unknown",
            ),
        ),
        Column("width", length),
        Column("height", length),
        Column("thickness", length),
        prose("inscription"),
        words("memorial of", 240),
        words("donors", 240),
        Column("installed", old_date),
        PLACE_X,
        PLACE_Y,
        Column("weight in kg", number("0.001", "99999", 3), attribute="weighed_kg"),
        Column("letter height", length),
        Column("margin", length),
        Column("reading distance", length),
    ),
)
FIXINGS: Final = Table(
    "Fixings",
    FixingRow,
    (
        key("opening", required=True),
        key("item", required=True),
        needed("kind", choice("soldered tab", "strap", "silicone bead", "screw", "wire", "other")),
        needed("count", whole(1, 500)),
        needed("state", choice("sound", "failed", "new and curing", "not seen")),
        needed("holds on to", choice("lead", "saddle bar", "frame", "stone", "timber", "unknown")),
        Column("host state", choice("sound", "weak", "failed", "not seen")),
        Column("width", length),
        Column("length", length),
        Column("cured from", day, attribute="cures_on"),
        words("product", 120),
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
        words("position", 240),
        Column("part", choice("background", "border", "figure", "head or hand", "inscription")),
        Column("water", yes_no),
        Column("span", length),
        Column("within", length),
        words("measured from", 120, attribute="datum"),
        prose("diagnosis"),
        prose("note"),
        Column("hazard", yes_no),
        words("made safe", 240),
        class_column("condition class"),
        class_column("urgency class"),
        class_column("recommendation class"),
        words("why otherwise", 400, attribute="classes_reason"),
        KEYS_CONTINUED,
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
        Column("from", choice("floor", "ladder", "tower", "lift", "other"), attribute="seen_from"),
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
        Column("quantity", number("0.001", "1000000", 3)),
        Column("option", choice("must", "advised", "if funds allow")),
        Column("phase", whole(1, 99)),
        prose("scope"),
        Column("difficulty", number("0.1", "10", 2)),
        Column("lump sum", number("0", "10000000000", 3)),
        words("lump sum reason", 240),
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
    ),
)

REGISTER: Final = (BUILDING, PEOPLE, WALLS, OPENINGS, BARS, PANELS, ITEMS, FIXINGS)
FINDINGS_BOOK: Final = (SURVEYS, FINDINGS, LOOKS, PHOTOGRAPHS, ACTIONS, SHARED_COSTS)
