"""Issued condition reports."""

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models.survey import Survey
from sites.models.documents import FrozenDocument


class ConditionReport(FrozenDocument):
    """A condition report as it was issued. Frozen: see `restoration.rules`."""

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="reports")

    class Meta(FrozenDocument.Meta):
        verbose_name = _("condition report")

    def get_absolute_url(self) -> str:
        return reverse("condition:report", args=[self.pk])
