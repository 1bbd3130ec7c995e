"""Issued condition reports."""

from collections.abc import Iterator

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models.survey import Survey
from sites.models.choices import DocumentKind
from sites.models.documents import FrozenDocument


class ConditionReport(FrozenDocument):
    """A condition report as it was issued. Frozen: see `restoration.rules`."""

    kind = DocumentKind.REPORT
    subject = "survey"

    survey = models.ForeignKey(Survey, models.PROTECT, related_name="reports")
    # The same report as PDF/A-3a with its snapshot inside, for keeping. Reports issued before
    # there was one have none.
    archival = models.FileField(max_length=200, blank=True)
    archival_sha256 = models.CharField("SHA-256", max_length=64, blank=True)
    archival_bytes = models.PositiveIntegerField(default=0)

    class Meta(FrozenDocument.Meta):
        verbose_name = _("condition report")

    def get_absolute_url(self) -> str:
        return reverse("condition:report", args=[self.pk])

    def held_twice(self) -> Iterator[tuple[str, object, object]]:
        yield from super().held_twice()
        yield "survey", str(self.survey_id), self.printed("survey", "id")
