"""Figures the studio reckons with in place of those that are shipped."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sites.models.fields import UUIDModel, not_blank


class StudioFigure(UUIDModel):
    """The studio's own value of one figure, and where it comes from."""

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="figures")
    key = models.CharField(max_length=60)
    value = models.DecimalField(_("own value"), max_digits=16, decimal_places=6)
    source = models.CharField(_("where it comes from"), max_length=240, blank=True)

    class Meta:
        ordering = ["key"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "key"], name="figure_once_a_studio"),
            not_blank("studiofigure", "key"),
        ]

    def __str__(self) -> str:
        return f"{self.key} {self.value}"
