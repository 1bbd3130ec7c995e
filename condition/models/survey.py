"""Surveys, and what was looked at or could not be."""

from typing import Self

from django.db import models
from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models.choices import Outcome, SeenFrom, Side
from condition.models.danger import Danger
from sites.models.building import Building
from sites.models.fields import (
    Evidence,
    SubjectModel,
    not_blank,
    one_of,
    own_key,
    sent_digest,
)


class SurveyQuerySet(models.QuerySet["Survey"]):
    def for_list(self) -> Self:
        """Load what a row of a list of surveys reads."""
        still_open = Q(findings__danger__in=Danger.objects.not_ended())
        counted = self.annotate(
            finding_count=Count("findings", distinct=True),
            hazard_count=Count("findings__danger", filter=still_open, distinct=True),
            report_count=Count("reports", distinct=True),
        )
        # Django leaves the usual order out where rows are counted.
        return counted.select_related("building").order_by("-day", "-id")


class Survey(Evidence):
    """One dated look at a building or part of it."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="surveys")
    own_key = own_key()
    day = models.DateField(_("day of the visit"))
    surveyors = models.CharField(_("surveyors"), max_length=240)
    client = models.CharField(_("for whom"), max_length=160, blank=True)
    purpose = models.CharField(_("purpose"), max_length=240, blank=True)
    method = models.TextField(_("method"), blank=True)
    access = models.TextField(_("access on the day"), blank=True)
    weather = models.CharField(_("weather"), max_length=160, blank=True)
    limits = models.TextField(_("limits"), blank=True, help_text=_("What this look cannot tell."))
    distribution = models.TextField(
        _("who gets the report"), blank=True, help_text=_("One a line: an office, not an address.")
    )

    objects = SurveyQuerySet.as_manager()

    class Meta:
        ordering = ["-day", "-id"]
        constraints = [not_blank("survey", "surveyors")]

    def __str__(self) -> str:
        return f"{self.building.name}, {self.day:%d %B %Y}"

    def get_absolute_url(self) -> str:
        return reverse("condition:survey", args=[self.pk])


class Inspection(SubjectModel):
    """Nothing found here, or not inspected and why: silence is neither."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="inspections")
    side = models.CharField(_("side"), max_length=8, choices=Side.choices, default=Side.INSIDE)
    outcome = models.CharField(_("outcome"), max_length=16, choices=Outcome.choices)
    seen_from = models.CharField(
        _("seen from"), max_length=8, choices=SeenFrom.choices, default=SeenFrom.FLOOR
    )
    reason = models.CharField(_("because"), max_length=240, blank=True)
    sent_sha256 = sent_digest()

    class Meta(SubjectModel.Meta):
        ordering = ["opening__order", "opening__number"]
        constraints = [
            *SubjectModel.Meta.constraints,
            models.UniqueConstraint(
                fields=["survey", "subject_key", "side"], name="inspection_once_a_side"
            ),
            models.CheckConstraint(
                condition=~Q(outcome="not inspected") | ~Q(reason=""),
                name="inspection_not_inspected_has_a_reason",
                violation_error_message=_("Say why it was not inspected."),
            ),
            one_of("inspection", "side", Side),
            one_of("inspection", "outcome", Outcome),
            one_of("inspection", "seen_from", SeenFrom),
        ]

    def __str__(self) -> str:
        return f"{self.subject_label}: {self.get_outcome_display()}"
