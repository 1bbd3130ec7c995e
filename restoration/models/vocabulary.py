"""Kinds of repair action: reference data, a copy for each studio to edit."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from restoration.models.choices import ActionUnit, Step
from sites.models.fields import UUIDModel, not_blank, one_of


class ActionKind(UUIDModel):
    """One kind of work, in the trade's words and in plain ones, with its unit."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="action_kinds")
    code = models.SlugField(max_length=60)
    name = models.CharField(_("name"), max_length=120)
    plain = models.TextField(_("in plain words"))
    unit = models.CharField(_("unit"), max_length=8, choices=ActionUnit.choices)
    step = models.CharField(_("step of the ladder"), max_length=20, choices=Step.choices)
    cautions = models.JSONField(default=list)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["order", "name"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "code"], name="action_kind_once"),
            not_blank("actionkind", "code"),
            not_blank("actionkind", "name"),
            not_blank("actionkind", "plain"),
            one_of("actionkind", "unit", ActionUnit),
            one_of("actionkind", "step", Step),
        ]

    def __str__(self) -> str:
        return self.name
