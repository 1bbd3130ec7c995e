"""The closed lists of pricing."""

from django.db import models
from django.utils.translation import gettext_lazy as _


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


class Option(models.TextChoices):
    MUST = "must", _("Must be done")
    ADVISED = "advised", _("Advised")
    IF_FUNDS_ALLOW = "if funds allow", _("If funds allow")


class SharedKind(models.TextChoices):
    ACCESS = "access", _("Access")
    PRELIMINARIES = "preliminaries", _("Preliminaries")
    TRAVEL = "travel", _("Travel and lodging")
    MAKING_SAFE = "making safe", _("Making safe and temporary glazing")
    OTHER = "other", _("Other")


class Decision(models.TextChoices):
    SENT = "sent", _("Sent")
    ACCEPTED = "accepted", _("Accepted")
    DECLINED = "declined", _("Declined")
    WITHDRAWN = "withdrawn", _("Withdrawn")
