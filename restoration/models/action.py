"""Repair actions: one kind of work on one thing."""

from decimal import Decimal
from typing import Self

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from condition.models import ActionKind, Finding
from restoration.models.choices import Option
from restoration.models.estimate import Estimate
from sites.models.fields import Evidence, SubjectModel, one_of


class RepairActionQuerySet(models.QuerySet["RepairAction"]):
    def for_list(self) -> Self:
        return self.select_related(
            "kind", "opening__building", "panel", "attached_item"
        ).prefetch_related("findings__kind", "findings__survey")

    def without_quantity(self) -> Self:
        return self.filter(quantity__isnull=True, lump_sum__isnull=True)


class RepairAction(SubjectModel):
    """One kind of work proposed on one subject, because of one or more findings."""

    estimate = models.ForeignKey(Estimate, models.CASCADE, related_name="actions")
    kind = models.ForeignKey(ActionKind, models.PROTECT, related_name="actions")
    findings = models.ManyToManyField(
        Finding, through="ActionFinding", related_name="actions", blank=True
    )
    number = models.PositiveIntegerField(_("number"))
    quantity = models.DecimalField(
        _("quantity"),
        max_digits=10,
        decimal_places=3,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    scope = models.TextField(_("what will be done"), blank=True)
    difficulty = models.DecimalField(
        _("difficulty factor"),
        max_digits=5,
        decimal_places=2,
        default=Decimal(1),
        validators=[MinValueValidator(Decimal("0.1")), MaxValueValidator(Decimal(10))],
    )
    option = models.CharField(
        _("option"), max_length=16, choices=Option.choices, default=Option.ADVISED
    )
    phase = models.PositiveSmallIntegerField(_("phase"), default=1)
    lump_sum = models.DecimalField(
        _("lump sum"),
        max_digits=14,
        decimal_places=3,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal(0))],
    )
    lump_sum_reason = models.CharField(_("lump sum because"), max_length=240, blank=True)

    objects = RepairActionQuerySet.as_manager()

    class Meta(SubjectModel.Meta):
        ordering = ["phase", "opening__order", "number"]
        constraints = [
            *SubjectModel.Meta.constraints,
            models.UniqueConstraint(fields=["estimate", "number"], name="action_number_once"),
            one_of("repairaction", "option", Option),
            models.CheckConstraint(
                condition=Q(quantity__isnull=True) | Q(quantity__gte=0),
                name="action_quantity_not_negative",
            ),
            models.CheckConstraint(
                condition=Q(difficulty__gte=Decimal("0.1"), difficulty__lte=10),
                name="action_difficulty_possible",
            ),
            models.CheckConstraint(
                condition=Q(phase__gte=1, phase__lte=99), name="action_phase_1_to_99"
            ),
            models.CheckConstraint(
                condition=Q(lump_sum__isnull=True, lump_sum_reason="")
                | (Q(lump_sum__isnull=False, lump_sum__gte=0) & ~Q(lump_sum_reason="")),
                name="action_lump_sum_has_a_reason",
                violation_error_message=_("A lump sum needs its reason, and a reason its sum."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} at {self.subject_label}"


class ActionFinding(Evidence):
    """That an action is there because of a finding. Its history says who linked what, and when."""

    action = models.ForeignKey(RepairAction, models.CASCADE, related_name="finding_links")
    finding = models.ForeignKey(Finding, models.CASCADE, related_name="action_links")

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["action", "finding"], name="action_finding_once")
        ]

    def __str__(self) -> str:
        return f"{self.action}: {self.finding}"
