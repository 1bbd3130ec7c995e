"""Estimates: the studio's own working for a quote."""

from typing import Self

from django.db import models
from django.db.models import Count, Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models import Survey
from restoration.models.choices import SharedKind
from restoration.models.ratebook import RateBook, amount, percent
from sites.models.building import Building
from sites.models.fields import UUIDModel, not_blank, one_of


class EstimateQuerySet(models.QuerySet["Estimate"]):
    def for_list(self) -> Self:
        counted = self.annotate(
            action_count=Count("actions", distinct=True),
            quote_count=Count("quotes", distinct=True),
        )
        # Django leaves the usual order out where rows are counted.
        return counted.select_related("building", "rate_book").order_by("-made_at")


class Estimate(UUIDModel):
    """Actions, shared costs and percentages that become one quote."""

    building = models.ForeignKey(Building, models.PROTECT, related_name="estimates")
    survey = models.ForeignKey(
        Survey, models.PROTECT, related_name="estimates", null=True, blank=True
    )
    rate_book = models.ForeignKey(RateBook, models.PROTECT, related_name="estimates")
    title = models.CharField(_("title"), max_length=160)
    contingency = percent(_("contingency, %"))
    contingency_reason = models.CharField(_("contingency because"), max_length=240, blank=True)
    assumptions = models.TextField(_("assumptions"), blank=True)
    exclusions = models.TextField(_("not included"), blank=True)
    made_at = models.DateTimeField(auto_now_add=True)

    objects = EstimateQuerySet.as_manager()

    class Meta:
        ordering = ["-made_at"]
        constraints = [
            not_blank("estimate", "title"),
            models.CheckConstraint(
                condition=Q(contingency__gte=0, contingency__lte=100),
                name="estimate_contingency_0_to_100",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return reverse("restoration:estimate", args=[self.pk])


class SharedCost(UUIDModel):
    """A cost that several actions share, counted once: a tower, a journey, floor protection."""

    estimate = models.ForeignKey(Estimate, models.CASCADE, related_name="shared_costs")
    kind = models.CharField(_("kind"), max_length=16, choices=SharedKind.choices)
    description = models.CharField(_("what for"), max_length=240)
    amount = amount(_("cost to the studio"), places=3)
    phase = models.PositiveSmallIntegerField(_("phase"), default=1)

    class Meta:
        ordering = ["phase", "id"]
        constraints = [
            not_blank("sharedcost", "description"),
            one_of("sharedcost", "kind", SharedKind),
            models.CheckConstraint(
                condition=Q(amount__gte=0, phase__gte=1, phase__lte=99),
                name="shared_cost_amount_and_phase_possible",
            ),
        ]

    def __str__(self) -> str:
        return self.description
