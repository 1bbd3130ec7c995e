"""Issued quotes, and what happened to each afterwards."""

from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from django.db import models
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from restoration.models.choices import Decision
from restoration.models.estimate import Estimate
from sites.models.choices import DocumentKind
from sites.models.documents import FrozenDocument
from sites.models.fields import UUIDModel, one_of


class Quote(FrozenDocument):
    """A repair quote as it was issued. Frozen: see `restoration.rules`."""

    kind = DocumentKind.QUOTE
    subject = "estimate"

    estimate = models.ForeignKey(Estimate, models.PROTECT, related_name="quotes")
    valid_until = models.DateField(_("stands until"))
    currency = models.CharField(_("currency"), max_length=3)
    total = models.DecimalField(_("total"), max_digits=16, decimal_places=4)

    class Meta(FrozenDocument.Meta):
        verbose_name = _("repair quote")

    def get_absolute_url(self) -> str:
        return reverse("restoration:quote", args=[self.pk])

    def held_twice(self) -> Iterator[tuple[str, object, object]]:
        yield from super().held_twice()
        yield "last day", self.valid_until.isoformat(), self.printed("stands_until")
        yield "currency", self.currency, self.printed("currency")
        yield "total", self.total, _amount(self.printed("total", "amount"))


def _amount(text: object) -> object:
    """An amount of the snapshot as a number, whatever zeros it ends in; else as it stands."""
    try:
        return Decimal(str(text))
    except InvalidOperation:
        return text


class QuoteEvent(UUIDModel):
    """Sent, accepted, declined, withdrawn: rows of their own, never a change of the quote."""

    quote = models.ForeignKey(Quote, models.PROTECT, related_name="events")
    decision = models.CharField(_("what happened"), max_length=12, choices=Decision.choices)
    day = models.DateField(_("on"))
    by_whom = models.CharField(_("by whom"), max_length=160)
    authority = models.CharField(
        _("with what authority"),
        max_length=240,
        blank=True,
        help_text=_("Minute, resolution or consent, with its date."),
    )
    note = models.TextField(_("note"), blank=True)
    recorded_by = models.ForeignKey("sites.User", models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["recorded_at"]
        constraints = [one_of("quoteevent", "decision", Decision)]

    def __str__(self) -> str:
        return f"{self.get_decision_display()} {self.day}"
