"""The closed lists of a survey."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from condition.compute.danger.facts import (
    Act,
    EndKind,
    Falls,
    FixedTo,
    MeasureKind,
    TakersEnd,
    Trade,
)


class Side(models.TextChoices):
    INSIDE = "inside", _("Inside")
    OUTSIDE = "outside", _("Outside")
    BOTH = "both", _("Both sides")
    UNKNOWN = "unknown", _("Not said")


class Extent(models.TextChoices):
    ISOLATED = "isolated", _("Isolated")
    GROUPED = "grouped", _("Grouped")
    ONE_LINE = "along one line", _("Along one line")
    THROUGHOUT = "throughout", _("Throughout")


class NotMeasured(models.TextChoices):
    """Why there is no measurement of what is judged by one."""

    NOT_REACHED = "not reached", _("Not measured: not reached")


class Part(models.TextChoices):
    """What of the picture a finding lies in: a loss in a face is not one in a border."""

    BACKGROUND = "background", _("Background or quarries")
    BORDER = "border", _("Border")
    FIGURE = "figure", _("Figure or scene")
    HEAD_OR_HAND = "head or hand", _("Head or hand")
    INSCRIPTION = "inscription", _("Inscription or signature")


class Stroke(models.TextChoices):
    """How something found is drawn on a picture of the window."""

    POINT = "point", _("Point")
    LINE = "line", _("Line")
    AREA = "area", _("Area")


class RuleWhen(models.TextChoices):
    """What a rule looks at besides the kind of finding, its extent and its amount."""

    ALWAYS = "", _("Always")
    ALL_OF_THEM = "all of them", _("All of what was counted or judged is affected")
    IMPORTANT_PART = (
        "important part",
        _("A head, a hand, an inscription or a signature in the glass is affected"),
    )
    CAN_FALL_ON_PEOPLE = "can fall on people", _("It can hurt someone, and people pass below")
    CAN_FALL = "can fall", _("It can hurt someone")
    WATER = "water", _("Water comes in")
    GROWN = "grown", _("It has grown by more than it can be measured")
    ONE_MORE_LOST = "one more lost", _("With one more fixing lost the rest do not carry it")
    ONE_MORE_LOST_OVER_PEOPLE = (
        "one more over people",
        _("With one more fixing lost the rest do not carry it, and people pass below"),
    )
    OTHER_DAMAGE = (
        "with other damage",
        _("Folds, cracked glass, or failed joints, leads or ties stand on the same panel"),
    )
    OUTSTANDING = "outstanding", _("Glass or paint of an outstanding window is affected")


class RuleFact(models.TextChoices):
    """What the sentence of a rule may claim besides what the rule asks."""

    SOME_REMAIN = "some remain", _("The total is known, and some of it is not affected")
    NOT_ALL = "not all", _("Not all of it is known to be affected")
    SEVERAL = "several", _("More than one is affected")
    TOGETHER = "together", _("Several stand together or in one line")
    IN_A_LINE = "in a line", _("Several stand in one line")
    EVERYWHERE = "everywhere", _("It lies throughout, and no figure says less than half")
    DEPTH_MEASURED = "depth measured", _("Its depth out of flat was measured")


class RuleEffect(models.TextChoices):
    SETS = "sets", _("gives the classes")
    RAISES = "raises", _("raises the classes by")


class WindCode(models.TextChoices):
    EN = "EN 1991-1-4", _("EN 1991-1-4")
    ASCE = "ASCE 7-16", _("ASCE 7-16")


class Terrain(models.TextChoices):
    """Terrain categories of EN 1991-1-4, table 4.1, and exposures of ASCE 7-16, section 26.7."""

    EN_0 = "0", _("0: sea or coast open to the sea")
    EN_I = "I", _("I: lakes, flat land without obstacles")
    EN_II = "II", _("II: low vegetation, single obstacles")
    EN_III = "III", _("III: villages, suburbs, forest")
    EN_IV = "IV", _("IV: towns of buildings higher than 15 m")
    ASCE_B = "B", _("B: towns, suburbs, woods")
    ASCE_C = "C", _("C: open land, scattered obstacles")
    ASCE_D = "D", _("D: flat land and water, unobstructed")


class MeansOfAccess(models.TextChoices):
    FLOOR = "floor", _("From the floor")
    LADDER = "ladder", _("Ladder")
    TOWER = "tower", _("Mobile tower")
    SCAFFOLD = "scaffold", _("Scaffold")
    LIFT = "lift", _("Lift")


class HotWork(models.TextChoices):
    NONE = "none", _("None")
    IRON = "iron", _("Electric soldering iron")
    FLAME = "flame", _("Open flame")


class Suspect(models.TextChoices):
    """A material that may hold asbestos: what is known of it."""

    NONE = "none", _("None here")
    NOT_TESTED = "not tested", _("There, not tested")
    CLEAR = "clear", _("Tested, clear")
    FOUND = "found", _("Tested, asbestos found")


class AmountUnit(models.TextChoices):
    COUNT = "count", _("in number")
    MM = "mm", _("mm")
    PERCENT_OF_PIECES = "percent of pieces", _("% of pieces")
    PERCENT_OF_AREA = "percent of area", _("% of area")
    MM_OUT_OF_PLANE = "mm out of plane", _("mm out of plane")


class Outcome(models.TextChoices):
    NOTHING_FOUND = "nothing found", _("Looked at, nothing found")
    NOT_INSPECTED = "not inspected", _("Not inspected")


class SeenFrom(models.TextChoices):
    FLOOR = "floor", _("From the floor")
    LADDER = "ladder", _("From a ladder")
    TOWER = "tower", _("From a tower")
    LIFT = "lift", _("From a lift")
    OTHER = "other", _("Otherwise")


class PhotographState(models.TextChoices):
    RECEIVED = "received", _("Being prepared")
    READY = "ready", _("Ready")
    DAMAGED = "damaged", _("Damaged: it cannot be shown")


class Alike(models.TextChoices):
    """What was decided of a photograph that looks like another; nothing while nobody has."""

    PRINTED = "printed", _("Printed all the same")
    LEFT_OUT = "left out", _("Not printed: another like it is")


# EN 16096:2012 classes, from memory: the tables themselves are not openly published.
class ConditionClass(models.IntegerChoices):
    NO_SYMPTOMS = 0, _("No symptoms")
    MINOR = 1, _("Minor symptoms")
    MODERATE = 2, _("Moderately strong symptoms")
    MAJOR = 3, _("Major symptoms")


class UrgencyClass(models.IntegerChoices):
    LONG_TERM = 0, _("Long term")
    INTERMEDIATE = 1, _("Intermediate term")
    SHORT_TERM = 2, _("Short term")
    IMMEDIATE = 3, _("Urgent and immediate")


class RecommendationClass(models.IntegerChoices):
    NO_MEASURES = 0, _("No measures")
    MAINTENANCE = 1, _("Maintenance and preventive care")
    MODERATE_REPAIR = 2, _("Moderate repair or further investigation")
    MAJOR_INTERVENTION = 3, _("Major intervention based on a diagnosis")


class Step(models.TextChoices):
    """The repair ladder, mildest first."""

    MONITOR = "monitor", _("Watch and measure")
    MAKE_SAFE = "make safe", _("Make safe")
    IN_PLACE = "in place", _("Repair in place")
    BENCH = "on the bench", _("Repair on the bench")
    PARTIAL = "partial releading", _("Partial releading")
    FULL = "full releading", _("Full releading")


class ActionUnit(models.TextChoices):
    JOINT = "joint", _("joints")
    METRE = "m", _("m")
    PIECE = "piece", _("pieces")
    SQUARE_METRE = "m2", _("m²")
    PANEL = "panel", _("panels")
    ITEM = "item", _("items")
    TIE = "tie", _("ties")
    BAR = "bar", _("bars")
    VISIT = "visit", _("visits")


class FallAnswer(models.TextChoices):
    """Can it come down? All but a reasoned no counts as danger, and so does no answer."""

    NOW = Falls.NOW.value, _("Now")
    COULD = Falls.COULD.value, _("It could")
    NO = Falls.NO.value, _("No, because …")
    NOT_JUDGED = Falls.NOT_JUDGED.value, _("Could not judge from here")


class ActKind(models.TextChoices):
    ANSWER = Act.ANSWER.value, _("Answer")
    MEASURE = Act.MEASURE.value, _("Measure")
    LOOK = Act.LOOK.value, _("Look at a measure")
    END = Act.END.value, _("End")
    TAKEN_BACK = Act.TAKEN_BACK.value, _("End taken back")
    PUT_BACK = Act.PUT_BACK.value, _("Put back in its place")


class MeasureTaken(models.TextChoices):
    TAKEN_AWAY = MeasureKind.TAKEN_AWAY.value, _("Taken away")
    HELD = MeasureKind.HELD.value, _("Held")
    MENDED = MeasureKind.MENDED.value, _("Mended on the spot")
    COVERED = MeasureKind.COVERED.value, _("Covered or taped")
    KEPT_CLEAR = MeasureKind.KEPT_CLEAR.value, _("People kept clear")
    TOLD = MeasureKind.TOLD.value, _("Somebody was told")
    NOT_POSSIBLE = MeasureKind.NOT_POSSIBLE.value, _("Nothing was possible")


class MeasureFixedTo(models.TextChoices):
    BAR = FixedTo.BAR.value, _("A bar")
    FRAME = FixedTo.FRAME.value, _("The frame")
    STONE = FixedTo.STONE.value, _("Stone")
    FIXINGS = FixedTo.FIXINGS.value, _("Sound fixings")
    LEAD = FixedTo.LEAD.value, _("Lead")
    OTHER = FixedTo.OTHER.value, _("Something else")


class DangerEnd(models.TextChoices):
    TAKEN_AWAY = EndKind.TAKEN_AWAY.value, _("Taken away")
    MENDED = EndKind.MENDED.value, _("Mended")
    REMOVED = EndKind.REMOVED.value, _("Removed for good")
    MISTAKEN = EndKind.MISTAKEN.value, _("It was a mistake")
    GONE = EndKind.GONE.value, _("Gone: the place is empty")


class TradeOf(models.TextChoices):
    SURVEYOR = Trade.SURVEYOR.value, _("Surveyor")
    GLAZIER = Trade.GLAZIER.value, _("Glazier")
    CONSERVATOR = Trade.CONSERVATOR.value, _("Conservator")
    FIXER = Trade.FIXER.value, _("Fixer")
    MASON = Trade.MASON.value, _("Mason")
    ENGINEER = Trade.ENGINEER.value, _("Engineer")
    JOINER = Trade.JOINER.value, _("Joiner")
    ELECTRICIAN = Trade.ELECTRICIAN.value, _("Electrician")
    LABORATORY = Trade.LABORATORY.value, _("Laboratory")
    ECOLOGIST = Trade.ECOLOGIST.value, _("Ecologist")
    ANYONE = Trade.ANYONE.value, _("Somebody else")


class DangerSource(models.TextChoices):
    SURVEY = "survey", _("Seen at a survey")
    TELEPHONE = "telephone", _("Told by telephone or mail")
    INCIDENT = "incident", _("Something fell")


class HowKnown(models.TextChoices):
    THERE = "there", _("Was there")
    PHOTOGRAPH = "photograph", _("From photographs")
    TELEPHONE = "telephone", _("By telephone")


class ClosureEndKind(models.TextChoices):
    REOPENED = "reopened", _("Reopened")
    WITHDRAWN = "withdrawn", _("Withdrawn: it was a mistake")


class TakersMayEnd(models.TextChoices):
    ALWAYS = TakersEnd.ALWAYS.value, _("Yes")
    SINGLE = TakersEnd.SINGLE.value, _("Of a single piece")
    NEVER = TakersEnd.NEVER.value, _("No")
