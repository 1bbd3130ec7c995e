"""The closed lists of the register, in the trade's words."""

from django.db import models
from django.utils.translation import gettext_lazy as _


class Paper(models.TextChoices):
    A4 = "A4", "A4"
    LETTER = "Letter", "Letter"


class Units(models.TextChoices):
    METRIC = "metric", _("Millimetres")
    INCH = "inch", _("Inches")


class BuildingKind(models.TextChoices):
    CHURCH = "church", _("Church")
    CHAPEL = "chapel", _("Chapel")
    MEMORIAL_HALL = "memorial hall", _("Memorial hall")
    SYNAGOGUE = "synagogue", _("Synagogue")
    OTHER = "other", _("Other")


class Wall(models.TextChoices):
    EAST = "east", _("East")
    NORTH = "north", _("North")
    SOUTH = "south", _("South")
    WEST = "west", _("West")
    OTHER = "other", _("Elsewhere")


class Level(models.TextChoices):
    GROUND = "ground", _("Main level")
    TRIFORIUM = "triforium", _("Triforium")
    CLERESTORY = "clerestory", _("Clerestory")
    OTHER = "other", _("Other")


class Head(models.TextChoices):
    RECTANGLE = "rectangle", _("Square head")
    SEMICIRCULAR = "semicircular", _("Round head")
    SEGMENTAL = "segmental", _("Segmental head")
    TWO_CENTRED = "two-centred", _("Two-centred (pointed) head")
    FOUR_CENTRED = "four-centred", _("Four-centred head")
    ROUNDEL = "roundel", _("Roundel")
    ELLIPSE = "ellipse", _("Ellipse")
    VESICA = "vesica", _("Vesica")
    TRIANGLE = "triangle", _("Triangle")
    CURVED_TRIANGLE = "curved triangle", _("Triangle with curved sides")
    FOILED = "foiled", _("Foils of half circles")
    FOILED_IN_CIRCLE = "foiled in circle", _("Foils within a circle")
    POINTS = "points", _("By its corners and arcs")
    OTHER = "other", _("Other")


class BarKind(models.TextChoices):
    SADDLE_BAR = "saddle bar", _("Saddle bar")
    DIVISION_BAR = "division bar", _("Division bar")
    T_BAR = "T-bar", _("T-bar")
    TRANSOM = "transom", _("Transom")


class BarSection(models.TextChoices):
    ROUND = "round", _("Round")
    FLAT = "flat", _("Flat")
    SQUARE = "square", _("Square")


class BarMaterial(models.TextChoices):
    STEEL = "steel", _("Mild steel")
    WROUGHT_IRON = "wrought iron", _("Wrought iron")
    STAINLESS_STEEL = "stainless steel", _("Stainless steel")
    BRONZE = "bronze", _("Bronze")
    BRASS = "brass", _("Brass")


class Significance(models.TextChoices):
    ORDINARY = "ordinary", _("Of its time and kind")
    NOTABLE = "notable", _("Notable")
    OUTSTANDING = "outstanding", _("Outstanding")


class PanelPattern(models.TextChoices):
    SQUARES = "squares", _("Squares or diamonds")
    HEXAGONS = "hexagons", _("Hexagons")
    STRIPS = "strips", _("Strips, twice as long as wide")
    FIGURE = "figure", _("Figure work")
    OTHER = "other", _("Other")


class CameSection(models.TextChoices):
    H = "H", _("H, with glass on both sides")
    U = "U", _("U, at an edge")


class Lettering(models.TextChoices):
    UPRIGHT = "upright", _("Upright")
    ITALIC = "italic", _("Italic")
    BOLD = "bold", _("Bold")


class Alignment(models.TextChoices):
    CENTRED = "centred", _("Centred")
    LEFT = "left", _("From the left")


class ProtectiveGlazing(models.TextChoices):
    UNKNOWN = "unknown", _("Not known")
    NONE = "none", _("None")
    VENTED = "vented", _("Vented")
    UNVENTED = "unvented", _("Not vented")


class WhoIsUnder(models.TextChoices):
    """Who can be under a window, on one side of it. Not answered counts as people."""

    PEOPLE = "people", _("People sit or pass there")
    LET_IN = "let in", _("Only people we let in: locked, roof, gutter")
    NOBODY = "nobody", _("Nobody can be there")


class ItemKind(models.TextChoices):
    PLAQUE = "plaque", _("Dedication plaque")
    VENTILATOR = "ventilator", _("Ventilator")
    GUARD = "guard", _("Guard")
    LAMP = "lamp", _("Lamp")
    SENSOR = "sensor", _("Sensor")
    OTHER = "other", _("Other")


class Placement(models.TextChoices):
    """Where an attached item is. What is not in its place hangs over nobody."""

    IN_PLACE = "in place", _("In its place")
    TAKEN_DOWN = "taken down", _("Taken down")
    MISSING = "missing", _("Missing")
    REPLACED = "replaced", _("Replaced by another")


class Material(models.TextChoices):
    UNKNOWN = "unknown", _("Not known")
    BRASS = "brass", _("Brass")
    BRONZE = "bronze", _("Bronze")
    COPPER = "copper", _("Copper")
    ALUMINIUM = "aluminium", _("Aluminium")
    STAINLESS_STEEL = "stainless steel", _("Stainless steel")
    MAGNESIUM = "magnesium", _("Magnesium")
    ZINC = "zinc", _("Zinc")
    ENAMELLED_STEEL = "enamelled steel", _("Enamelled steel")
    OTHER = "other", _("Other")


class FixingKind(models.TextChoices):
    SOLDERED_TAB = "soldered tab", _("Soldered tab")
    STRAP = "strap", _("Strap")
    SILICONE_BEAD = "silicone bead", _("Silicone bead")
    SCREW = "screw", _("Screw")
    WIRE = "wire", _("Wire")
    OTHER = "other", _("Other")


class FixingState(models.TextChoices):
    SOUND = "sound", _("Sound")
    FAILED = "failed", _("Failed")
    CURING = "new and curing", _("New and still curing")
    NOT_SEEN = "not seen", _("Not seen")


class Host(models.TextChoices):
    LEAD = "lead", _("Lead came")
    BAR = "saddle bar", _("Saddle bar")
    FRAME = "frame", _("Frame")
    STONE = "stone", _("Stone")
    TIMBER = "timber", _("Timber")
    UNKNOWN = "unknown", _("Not known")


class HostState(models.TextChoices):
    SOUND = "sound", _("Sound")
    WEAK = "weak", _("Weak")
    FAILED = "failed", _("Failed")
    NOT_SEEN = "not seen", _("Not seen")


class DocumentKind(models.TextChoices):
    REPORT = "CR", _("Condition report")
    QUOTE = "RQ", _("Repair quote")
    PROOF = "IP", _("Inscription proof")
    MAKE_SAFE = "MS", _("Make-safe notice")
