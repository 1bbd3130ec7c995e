"""The forms of a rate book: its own figures, and a new one from an older one."""

from datetime import date
from decimal import Decimal
from typing import Any, Final

from crispy_forms.layout import Div, Layout
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from restoration.compute.money import CURRENCIES
from restoration.compute.payments import PaymentError, split_payments
from restoration.forms.fields import DaysField, day_box
from restoration.models import RateBook
from restoration.services.rate_books import COPIED, copy_rate_book
from sites.compute.plain_numbers import plain_number
from sites.forms import world
from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.fields import NumberField
from sites.models import Studio

STAGES: Final = 6


def share_of(stage_box: str) -> str:
    """The name of the box for the share of a payment stage, from that of the stage itself."""
    return stage_box.replace("stage_", "share_")


class RateBookForm(RecordForm):
    """A book's name, currency, day, percentages and payment stages."""

    class Meta:
        model = RateBook
        fields = [
            "name",
            "valid_from",
            "currency",
            "valid_days",
            "overhead",
            "profit",
            "contingency",
            "tax_name",
            "tax",
        ]
        field_classes = {"valid_days": DaysField}
        widgets = {"valid_from": day_box()}
        help_texts = {
            "overhead": gettext_lazy("Added to what work costs the studio."),
            "profit": gettext_lazy("Added to cost with overhead."),
            "contingency": gettext_lazy("Where a new estimate starts; each estimate has its own."),
            "tax": gettext_lazy("On lines and contingency together."),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = [choice for choice in world.currencies() if choice[0] in CURRENCIES]
        self.fields["currency"] = forms.ChoiceField(
            label=self.fields["currency"].label,
            choices=world.with_present(known, self.instance.currency),
        )
        kept = list(self.instance.payment_shares)
        for stage in range(1, max(STAGES, len(kept)) + 1):
            label, share = kept[stage - 1] if stage <= len(kept) else ("", "")
            self._add_stage(stage, label, share)
        self.helper.layout = self.layout()

    def layout(self) -> Layout:
        stages = [name for name in self.fields if name.startswith("stage_")]
        return Layout(
            group(gettext_lazy("The book"), "name", side_by_side("valid_from", "currency")),
            group(
                gettext_lazy("Percentages"),
                side_by_side("overhead", "profit", "contingency"),
                side_by_side("tax_name", "tax"),
            ),
            group(
                gettext_lazy("Quotes and payment"),
                side_by_side("valid_days"),
                *[Div(name, share_of(name), css_class="stage-row") for name in stages],
            ),
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if any(name.startswith("share_") for name in self.errors):
            return cleaned
        shares = self._shares(cleaned)
        try:
            split_payments(Decimal(0), "USD", shares)
        except PaymentError as error:
            self.add_error("stage_1", str(error))
        self.instance.payment_shares = [[label, plain_number(share)] for label, share in shares]
        return cleaned

    def _shares(self, cleaned: dict[str, Any]) -> list[tuple[str, Decimal]]:
        """The stages filled in; one half of a stage without the other is an error of its own."""
        shares = []
        for name in [name for name in self.fields if name.startswith("stage_")]:
            share_box = share_of(name)
            label, share = cleaned.get(name, "").strip(), cleaned.get(share_box)
            if label and share is None:
                self.add_error(share_box, _("Say what share is paid then, or empty both boxes."))
            elif share is not None and not label:
                self.add_error(name, _("Say when this share is paid, or empty both boxes."))
            elif share is not None:
                shares.append((label, share))
        return shares

    def _add_stage(self, stage: int, label: str, share: str) -> None:
        name = f"stage_{stage}"
        share_box = share_of(name)
        self.fields[name] = forms.CharField(
            label=_("Payment %(stage)d") % {"stage": stage}, required=False, max_length=120
        )
        self.fields[share_box] = NumberField(
            label=_("its share, %"),
            required=False,
            max_digits=6,
            decimal_places=3,
            min_value=Decimal(0),
            max_value=Decimal(100),
        )
        self.initial[name] = label
        self.initial[share_box] = Decimal(share) if share else None


class RateBookAddForm(RecordForm):
    """A new book that begins with the figures of an older one."""

    based_on = forms.ModelChoiceField(
        queryset=RateBook.objects.none(),
        label=gettext_lazy("Begin with the figures of"),
        empty_label=None,
    )

    class Meta:
        model = RateBook
        fields = ["name", "valid_from"]
        widgets = {"valid_from": day_box()}
        help_texts = {"name": gettext_lazy("Such as: Rates 2027.")}

    def __init__(self, *args: Any, studio: Studio, day: date, **kwargs: Any) -> None:
        kwargs.setdefault("instance", RateBook(studio=studio))
        super().__init__(*args, **kwargs)
        self.instance.studio = studio
        self.fields["based_on"].queryset = studio.rate_books.all()
        self.fields["based_on"].initial = studio.rate_books.first()
        self.initial["valid_from"] = day

    def layout(self) -> Layout:
        return Layout("based_on", "name", side_by_side("valid_from"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        older = cleaned.get("based_on") or self.fields["based_on"].initial
        for name in COPIED if older else ():
            setattr(self.instance, name, getattr(older, name))
        return cleaned

    def write(self) -> None:
        copy_rate_book(
            self.cleaned_data["based_on"],
            key=self.instance.pk,
            name=self.cleaned_data["name"],
            valid_from=self.cleaned_data["valid_from"],
        )
