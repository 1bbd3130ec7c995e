"""The closed lists of a survey."""

from django.db import models
from django.utils.translation import gettext_lazy as _


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
    DAMAGED = "damaged", _("Damaged, kept as received")


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
