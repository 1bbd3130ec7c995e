"""The rules by which classes are proposed: reference data, a copy for each studio to edit."""

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from condition.models.choices import AmountUnit, Extent, RuleEffect, RuleWhen
from condition.models.vocabulary import FindingKind
from sites.models.fields import Label, UUIDModel, not_blank, one_of, one_of_or_none


def level(name: Label) -> models.PositiveSmallIntegerField:
    return models.PositiveSmallIntegerField(name, null=True, blank=True)


class ClassRule(UUIDModel):
    """One rule: of which findings it speaks, and what classes it gives or by what it raises them.

    Without a kind it speaks of every kind. What is left empty is not asked; a class left empty is
    not touched. `at_least` is in `unit`; `share_at_least` is per cent of the total counted;
    `least_count` is the number that must be affected before a share means anything.
    """

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="class_rules")
    code = models.SlugField(max_length=80)
    kind = models.ForeignKey(
        FindingKind, models.CASCADE, related_name="class_rules", null=True, blank=True
    )
    extent = models.CharField(_("extent"), max_length=16, choices=Extent.choices, blank=True)
    unit = models.CharField(_("unit"), max_length=20, choices=AmountUnit.choices, blank=True)
    at_least = models.DecimalField(
        _("at least"), max_digits=10, decimal_places=2, null=True, blank=True
    )
    share_at_least = models.DecimalField(
        _("share at least, %"), max_digits=5, decimal_places=2, null=True, blank=True
    )
    least_count = models.PositiveSmallIntegerField(_("least count"), null=True, blank=True)
    when = models.CharField(_("when"), max_length=20, choices=RuleWhen.choices, blank=True)
    effect = models.CharField(
        _("effect"), max_length=8, choices=RuleEffect.choices, default=RuleEffect.SETS
    )
    condition_class = level(_("condition class"))
    urgency_class = level(_("urgency class"))
    recommendation_class = level(_("recommendation class"))
    reason = models.CharField(_("reason"), max_length=240)
    # The facts that the reason claims, and the sentence said where one of them is not so.
    needs = models.JSONField(_("what the reason claims"), default=list, blank=True)
    otherwise = models.CharField(_("reason where that is not so"), max_length=240, blank=True)
    source = models.CharField(
        _("source"), max_length=240, blank=True, help_text=_("Empty means: studio default.")
    )
    order = models.PositiveSmallIntegerField(default=0)
    in_use = models.BooleanField(_("in use"), default=True)

    class Meta:
        ordering = ["order", "code"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "code"], name="class_rule_once"),
            not_blank("classrule", "code"),
            not_blank("classrule", "reason"),
            one_of_or_none("classrule", "extent", Extent),
            one_of_or_none("classrule", "unit", AmountUnit),
            one_of("classrule", "when", RuleWhen),
            one_of("classrule", "effect", RuleEffect),
            models.CheckConstraint(
                condition=Q(at_least__isnull=True) | (Q(at_least__gte=0) & ~Q(unit="")),
                name="class_rule_amount_has_a_unit",
                violation_error_message=_("An amount needs its unit."),
            ),
            models.CheckConstraint(
                condition=Q(share_at_least__isnull=True)
                | Q(share_at_least__gte=0, share_at_least__lte=100),
                name="class_rule_share_within_100",
                violation_error_message=_("A share is from 0 to 100 %."),
            ),
            models.CheckConstraint(
                condition=Q(condition_class__isnull=False)
                | Q(urgency_class__isnull=False)
                | Q(recommendation_class__isnull=False),
                name="class_rule_says_something",
                violation_error_message=_("Give at least one class."),
            ),
            *[
                models.CheckConstraint(
                    condition=Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__lte": 3}),
                    name=f"class_rule_{name}_0_to_3",
                )
                for name in ("condition_class", "urgency_class", "recommendation_class")
            ],
        ]

    def __str__(self) -> str:
        return self.code
