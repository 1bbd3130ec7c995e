"""Make-safe notices as they were issued, and the facts a site safety sheet is made from."""

from collections.abc import Iterator

from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models.choices import HotWork, MeansOfAccess, Suspect
from condition.models.danger import Danger
from condition.models.finding import Finding
from condition.models.survey import Survey
from sites.models.building import Building
from sites.models.choices import DocumentKind
from sites.models.documents import FrozenDocument
from sites.models.fields import (
    Evidence,
    length_constraint,
    length_mm,
    length_typed,
    not_blank,
    one_of,
)


class MakeSafeNotice(FrozenDocument):
    """A danger told in writing, at once, with the areas that stand closed for it. Frozen.

    finding: the sighting it tells of; null where the danger was told without a survey.
    """

    kind = DocumentKind.MAKE_SAFE
    subject = "danger"

    danger = models.ForeignKey(Danger, models.PROTECT, related_name="notices")
    finding = models.ForeignKey(
        Finding, models.PROTECT, related_name="notices", null=True, blank=True
    )

    class Meta(FrozenDocument.Meta):
        verbose_name = _("make-safe notice")

    def get_absolute_url(self) -> str:
        return reverse("condition:notice", args=[self.pk])

    def held_twice(self) -> Iterator[tuple[str, object, object]]:
        yield from super().held_twice()
        yield "danger", str(self.danger_id), self.printed("danger", "id")
        yield "finding", str(self.finding_id or ""), self.printed("danger", "finding")


class SafetySheet(Evidence):
    """The facts of one visit or job that can hurt the people doing it, or those around."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="safety_sheets")
    survey = models.ForeignKey(
        Survey, models.PROTECT, related_name="safety_sheets", null=True, blank=True
    )
    title = models.CharField(_("what for"), max_length=160)
    day = models.DateField(_("day"))
    people = models.CharField(_("who goes"), max_length=240, blank=True)
    height_typed, height_mm = length_typed(), length_mm()
    access = models.CharField(
        _("access"), max_length=8, choices=MeansOfAccess.choices, default=MeansOfAccess.FLOOR
    )
    hot_work = models.CharField(
        _("hot work"), max_length=8, choices=HotWork.choices, default=HotWork.NONE
    )
    lead = models.BooleanField(_("lead is handled, cut or soldered"), default=False)
    old_paint = models.BooleanField(_("old paint is disturbed"), default=False)
    hours = models.DecimalField(
        _("hours of such work a day"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    disturbed_inside_m2 = models.DecimalField(
        _("paint disturbed in one room"), max_digits=8, decimal_places=4, null=True, blank=True
    )
    disturbed_outside_m2 = models.DecimalField(
        _("paint disturbed outside"), max_digits=8, decimal_places=4, null=True, blank=True
    )
    window_replaced = models.BooleanField(_("a window is replaced"), default=False)
    built_year = models.PositiveSmallIntegerField(_("year built"), null=True, blank=True)
    child_days_a_week = models.PositiveSmallIntegerField(
        _("days a week the same child under 6 is there"), null=True, blank=True
    )
    child_hours_a_day = models.DecimalField(
        _("hours each time"), max_digits=4, decimal_places=1, null=True, blank=True
    )
    child_weeks_a_year = models.PositiveSmallIntegerField(_("weeks a year"), null=True, blank=True)
    putty = models.CharField(
        _("old putty"), max_length=12, choices=Suspect.choices, default=Suspect.NOT_TESTED
    )
    heating = models.CharField(
        _("old heating or electrical parts disturbed"),
        max_length=12,
        choices=Suspect.choices,
        default=Suspect.NONE,
    )
    nesting = models.BooleanField(_("birds or bats nest or roost there"), default=False)
    people_below = models.BooleanField(_("people pass or sit below"), default=False)
    notes = models.TextField(_("what else"), blank=True)

    class Meta:
        ordering = ["-day", "-id"]
        constraints = [
            not_blank("safetysheet", "title"),
            one_of("safetysheet", "access", MeansOfAccess),
            one_of("safetysheet", "hot_work", HotWork),
            one_of("safetysheet", "putty", Suspect),
            one_of("safetysheet", "heating", Suspect),
            length_constraint("safetysheet", "height"),
            models.CheckConstraint(
                condition=Q(hours__isnull=True) | Q(hours__gt=0, hours__lte=24),
                name="safetysheet_hours_within_a_day",
                violation_error_message=_("A day has from 0 to 24 hours."),
            ),
            models.CheckConstraint(
                condition=Q(child_days_a_week__isnull=True) | Q(child_days_a_week__lte=7),
                name="safetysheet_days_within_a_week",
                violation_error_message=_("A week has seven days."),
            ),
            models.CheckConstraint(
                condition=Q(child_weeks_a_year__isnull=True) | Q(child_weeks_a_year__lte=53),
                name="safetysheet_weeks_within_a_year",
                violation_error_message=_("A year has up to 53 weeks."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.title}, {self.day:%d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("condition:safety-sheet", args=[self.pk])
