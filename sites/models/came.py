"""Came: the studio's profiles, and how much of each a panel has."""

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from sites.models.choices import CameSection
from sites.models.fields import (
    Evidence,
    UUIDModel,
    length_constraint,
    length_mm,
    length_typed,
    not_blank,
    one_of,
)
from sites.models.opening import Panel


class CameProfile(UUIDModel):
    """A section of came as the studio buys or draws it."""

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="came_profiles")
    name = models.CharField(_("name"), max_length=80)
    section = models.CharField(
        _("section"), max_length=1, choices=CameSection.choices, default=CameSection.H
    )
    leaf_width_typed, leaf_width_mm = length_typed(), length_mm()
    leaf_thickness_typed, leaf_thickness_mm = length_typed(), length_mm()
    heart_height_typed, heart_height_mm = length_typed(), length_mm()
    heart_thickness_typed, heart_thickness_mm = length_typed(), length_mm()
    weighed_kg_m = models.DecimalField(
        _("weighed, kg a metre"), max_digits=7, decimal_places=4, null=True, blank=True
    )
    stick_length_typed, stick_length_mm = length_typed(), length_mm()

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["studio", "name"],
                name="came_profile_once_a_studio",
                violation_error_message=_("The studio has a profile of this name."),
            ),
            not_blank("cameprofile", "name"),
            one_of("cameprofile", "section", CameSection),
            length_constraint("cameprofile", "leaf_width"),
            length_constraint("cameprofile", "leaf_thickness"),
            length_constraint("cameprofile", "heart_height"),
            length_constraint("cameprofile", "heart_thickness"),
            length_constraint("cameprofile", "stick_length"),
            models.CheckConstraint(
                condition=Q(weighed_kg_m__isnull=True) | Q(weighed_kg_m__gt=0),
                name="came_weight_positive",
            ),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("sites:came-profile-edit", args=[self.pk])


class CameRun(Evidence):
    """How much of one profile a panel has; without a length it is estimated."""

    panel = models.ForeignKey(Panel, models.CASCADE, related_name="came_runs")
    profile = models.ForeignKey(CameProfile, models.PROTECT, related_name="runs")
    border = models.BooleanField(_("round the edge"), default=False)
    length_typed, length_mm = length_typed(), length_mm()
    cuts = models.CharField(
        _("pieces to cut"), max_length=400, blank=True, help_text=_("Such as 640 x 2, 1200.")
    )

    class Meta:
        ordering = ["border", "profile__name"]
        constraints = [
            models.UniqueConstraint(
                fields=["panel", "profile", "border"],
                name="came_run_once_a_panel",
                violation_error_message=_("The panel has this profile already."),
            ),
            length_constraint("camerun", "length"),
        ]

    def __str__(self) -> str:
        return f"{self.panel.number}: {self.profile.name}"
