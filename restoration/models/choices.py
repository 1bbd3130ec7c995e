"""The closed lists of pricing."""

from django.db import models
from django.utils.translation import gettext_lazy as _


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
