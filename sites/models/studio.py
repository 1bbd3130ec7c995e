"""The studio: it owns everything else."""

from django.db import models
from django.utils.translation import gettext_lazy as _

from sites.models.choices import Paper
from sites.models.fields import UUIDModel, not_blank, one_of


class Studio(UUIDModel):
    """A stained-glass studio, with what its documents print of it."""

    name = models.CharField(_("name"), max_length=160, unique=True)
    address = models.TextField(_("address"), blank=True)
    email = models.EmailField(_("e-mail address"), blank=True)
    phone = models.CharField(_("telephone"), max_length=40, blank=True)
    registration = models.CharField(_("registration or accreditation"), max_length=160, blank=True)
    paper = models.CharField(_("paper"), max_length=8, choices=Paper.choices, default=Paper.A4)
    reliance = models.TextField(
        _("who may rely on a report"),
        default=_(
            "This report was written for the client named on its cover. It records what could be "
            "seen on the day of the visit and should be read again after five years, or sooner "
            "after a storm, a fire or building work."
        ),
    )

    class Meta:
        constraints = [not_blank("studio", "name"), one_of("studio", "paper", Paper)]

    def __str__(self) -> str:
        return self.name
