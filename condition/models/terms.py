"""What a client has agreed about its reports: the years of each urgency, and their shelf life."""

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy as _

from sites.models.dated import DatedRow


class ReportTerms(DatedRow):
    """Within how long each urgency class wants acting on here. The standard fixes no years."""

    immediate_months = models.PositiveSmallIntegerField(
        _("urgent and immediate: within months"), default=1
    )
    short_years = models.PositiveSmallIntegerField(_("short term: within years"), default=2)
    intermediate_years = models.PositiveSmallIntegerField(
        _("intermediate term: within years"), default=5
    )
    long_years = models.PositiveSmallIntegerField(_("long term: look again in years"), default=10)
    shelf_months = models.PositiveSmallIntegerField(
        _("a report may be relied on for months"), default=24
    )
    relied_on_by = models.CharField(
        _("who may rely on it"), max_length=240, blank=True, help_text=_("Empty: the client alone.")
    )

    class Meta(DatedRow.Meta):
        constraints = [
            *DatedRow.Meta.constraints,
            models.CheckConstraint(
                condition=Q(
                    immediate_months__gte=1,
                    short_years__gte=1,
                    intermediate_years__gte=F("short_years"),
                    long_years__gte=F("intermediate_years"),
                    shelf_months__gte=1,
                ),
                name="reportterms_grow",
                violation_error_message=_(
                    "Each later term must be at least as long as the one before."
                ),
            ),
        ]

    def __str__(self) -> str:
        return self.building.name
