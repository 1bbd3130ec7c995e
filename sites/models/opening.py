"""Openings, their older numbers, and the panels in them."""

from typing import Self

from django.db import models
from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from sites.models.building import Building
from sites.models.choices import Head, Level, ProtectiveGlazing, Wall
from sites.models.fields import (
    Record,
    length_constraint,
    length_mm,
    length_typed,
    not_blank,
    one_of,
)


class OpeningQuerySet(models.QuerySet["Opening"]):
    def for_list(self) -> Self:
        """Load what a row of the building page reads."""
        return self.annotate(
            panel_count=Count("panels", distinct=True),
            item_count=Count("attached_items", distinct=True),
        ).order_by("order", "number")


class Opening(Record):
    """A hole in the wall with a window in it. Left and right are as seen from inside."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="openings")
    number = models.CharField(_("number"), max_length=24)
    order = models.CharField(max_length=64, default="", editable=False)
    title = models.CharField(_("subject of the window"), max_length=200, blank=True)
    wall = models.CharField(_("wall"), max_length=8, choices=Wall.choices, default=Wall.OTHER)
    level = models.CharField(_("level"), max_length=12, choices=Level.choices, default=Level.GROUND)
    width_typed, width_mm = length_typed(), length_mm()
    height_typed, height_mm = length_typed(), length_mm()
    sill_height_typed, sill_height_mm = length_typed(), length_mm()
    head = models.CharField(_("head"), max_length=16, choices=Head.choices, default=Head.OTHER)
    lights = models.PositiveSmallIntegerField(_("lights"), default=1)
    made = models.CharField(_("glass made"), max_length=80, blank=True)
    made_edtf = models.CharField(max_length=80, blank=True, editable=False)
    maker = models.CharField(_("maker"), max_length=160, blank=True)
    protective_glazing = models.CharField(
        _("protective glazing"),
        max_length=10,
        choices=ProtectiveGlazing.choices,
        default=ProtectiveGlazing.UNKNOWN,
    )
    people_below = models.BooleanField(_("people pass or sit below"), default=False)
    access = models.TextField(_("access"), blank=True)

    objects = OpeningQuerySet.as_manager()

    class Meta:
        ordering = ["order", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["building", "number"],
                name="opening_number_once_a_building",
                violation_error_message=_("Another opening here has this number."),
            ),
            not_blank("opening", "number"),
            one_of("opening", "wall", Wall),
            one_of("opening", "level", Level),
            one_of("opening", "head", Head),
            one_of("opening", "protective_glazing", ProtectiveGlazing),
            models.CheckConstraint(
                condition=Q(lights__gte=1, lights__lte=40), name="opening_lights_1_to_40"
            ),
            length_constraint("opening", "width"),
            length_constraint("opening", "height"),
            length_constraint("opening", "sill_height"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}".strip()

    def get_absolute_url(self) -> str:
        return reverse("sites:opening", args=[self.pk])


class OlderNumber(Record):
    """What somebody else, or an older list, called the same opening."""

    opening = models.ForeignKey(Opening, models.CASCADE, related_name="older_numbers")
    number = models.CharField(_("older number"), max_length=40)
    system = models.CharField(_("whose number"), max_length=120)

    class Meta:
        ordering = ["system", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["opening", "number", "system"], name="older_number_once"
            ),
            not_blank("oldernumber", "number"),
            not_blank("oldernumber", "system"),
        ]

    def __str__(self) -> str:
        return f"{self.number} ({self.system})"


class Panel(Record):
    """A leaded piece that is lifted in and out. `3b`: third row from the sill, second light."""

    opening = models.ForeignKey(Opening, models.PROTECT, related_name="panels")
    number = models.CharField(_("number"), max_length=24)
    order = models.CharField(max_length=64, default="", editable=False)
    width_typed, width_mm = length_typed(), length_mm()
    height_typed, height_mm = length_typed(), length_mm()
    pieces = models.PositiveIntegerField(_("pieces of glass"), null=True, blank=True)
    subject = models.CharField(_("what it shows"), max_length=200, blank=True)

    class Meta:
        ordering = ["order", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["opening", "number"],
                name="panel_number_once_an_opening",
                violation_error_message=_("Another panel of this opening has this number."),
            ),
            not_blank("panel", "number"),
            models.CheckConstraint(
                condition=Q(pieces__isnull=True) | Q(pieces__gte=1), name="panel_pieces_positive"
            ),
            length_constraint("panel", "width"),
            length_constraint("panel", "height"),
        ]

    def __str__(self) -> str:
        return f"{self.opening.number} {self.number}"

    def get_absolute_url(self) -> str:
        return f"{self.opening.get_absolute_url()}#panel-{self.pk}"
