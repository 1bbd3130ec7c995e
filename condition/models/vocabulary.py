"""Kinds of finding: reference data, a copy for each studio to edit."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sites.models.fields import UUIDModel, not_blank


class FindingKind(UUIDModel):
    """One thing that can be wrong with a window, in the trade's words and in plain ones."""

    studio = models.ForeignKey("sites.Studio", models.CASCADE, related_name="finding_kinds")
    code = models.SlugField(max_length=60)
    group = models.CharField(_("group"), max_length=24)
    name = models.CharField(_("name"), max_length=80)
    plain = models.TextField(_("in plain words"))
    measure = models.CharField(_("what to measure"), max_length=240, blank=True)
    units = models.JSONField(default=list)
    actions = models.JSONField(
        default=list, help_text="Codes of usual action kinds, mildest first."
    )
    danger = models.BooleanField(_("can drop something on people"), default=False)
    order = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["order", "name"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "code"], name="finding_kind_once"),
            not_blank("findingkind", "code"),
            not_blank("findingkind", "name"),
            not_blank("findingkind", "plain"),
        ]

    def __str__(self) -> str:
        return self.name
