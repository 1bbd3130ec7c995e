"""The forms of one rate, one material, one norm of a rate book."""

from decimal import Decimal
from typing import Any, Final

from crispy_forms.layout import Layout
from django import forms
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from restoration.forms.fields import kinds_by_step
from restoration.models import LabourRate, Material, Norm, NormMaterial, RateBook
from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.fields import NumberField

MORE_MATERIALS: Final = 2


class LabourRateForm(RecordForm):
    usual = {"hourly": "rate"}

    class Meta:
        model = LabourRate
        fields = ["trade", "hourly"]

    def __init__(self, *args: Any, rate_book: RateBook, **kwargs: Any) -> None:
        kwargs.setdefault("instance", LabourRate(rate_book=rate_book))
        super().__init__(*args, **kwargs)
        self.instance.rate_book = rate_book
        self.currency = rate_book.currency
        self.fields["hourly"].help_text = _(
            "In %(currency)s: wages with everything on top, before overhead and profit."
        ) % {"currency": rate_book.currency}


class MaterialForm(RecordForm):
    class Meta:
        model = Material
        fields = ["name", "unit", "price", "waste"]
        help_texts = {
            "unit": gettext_lazy("As it is bought: m, kg, sheet."),
            "waste": gettext_lazy("Lost in cutting; added to the net quantity."),
        }

    def __init__(self, *args: Any, rate_book: RateBook, **kwargs: Any) -> None:
        kwargs.setdefault("instance", Material(rate_book=rate_book))
        super().__init__(*args, **kwargs)
        self.instance.rate_book = self.rate_book = rate_book
        self.fields["price"].help_text = _("In %(currency)s, for one unit.") % {
            "currency": rate_book.currency
        }

    def layout(self) -> Layout:
        return Layout("name", side_by_side("unit", "price", "waste"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.instance.code and cleaned.get("name"):
            self.instance.code = self._free_code(cleaned["name"])
        return cleaned

    def _free_code(self, name: str) -> str:
        """A code made from the name that no material of the book has yet."""
        stem = slugify(name)[:50] or "material"
        taken = set(self.rate_book.materials.values_list("code", flat=True))
        tries = (stem, *(f"{stem}-{number}" for number in range(2, len(taken) + 3)))
        return next(code for code in tries if code not in taken)


class NormForm(RecordForm):
    """The hours one unit of a kind of action takes, and what it uses of each material."""

    class Meta:
        model = Norm
        fields = ["labour_rate", "hours_per_unit", "setup_hours"]
        help_texts = {
            "hours_per_unit": gettext_lazy("On the bench or in easy reach."),
            "setup_hours": gettext_lazy("Once for each action, before its first unit."),
        }

    def __init__(self, *args: Any, rate_book: RateBook, **kwargs: Any) -> None:
        kwargs.setdefault("instance", Norm(rate_book=rate_book))
        super().__init__(*args, **kwargs)
        self.instance.rate_book = self.rate_book = rate_book
        rates = rate_book.labour_rates.all()
        self.fields["labour_rate"].queryset = rates
        self.fields["labour_rate"].choices = [(rate.pk, rate.trade) for rate in rates]
        self._offer_materials()
        self.helper.layout = self.layout()

    def layout(self) -> Layout:
        uses = [side_by_side(name) for name in self.fields if name.startswith("use_")]
        more = [
            side_by_side(name, name.replace("material", "quantity"))
            for name in self.fields
            if name.startswith("material_")
        ]
        kind = ["action_kind"] if "action_kind" in self.fields else []
        return Layout(
            group(
                gettext_lazy("Hours"),
                *kind,
                "labour_rate",
                side_by_side("hours_per_unit", "setup_hours"),
            ),
            group(gettext_lazy("Materials for one unit, before waste"), *uses, *more),
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for number in range(1, MORE_MATERIALS + 1):
            material, quantity = (
                cleaned.get(f"material_{number}"),
                cleaned.get(f"quantity_{number}"),
            )
            if material and quantity is None and f"quantity_{number}" not in self.errors:
                self.add_error(f"quantity_{number}", _("Say how much of it one unit takes."))
            elif quantity is not None and not material:
                self.add_error(
                    f"material_{number}", _("Choose the material, or empty the quantity.")
                )
        return cleaned

    def write(self) -> None:
        self.save()
        for use in self.uses:
            self._keep(use.material, self.cleaned_data[f"use_{use.material_id}"])
        for number in range(1, MORE_MATERIALS + 1):
            if material := self.cleaned_data[f"material_{number}"]:
                self._keep(material, self.cleaned_data[f"quantity_{number}"])

    def _offer_materials(self) -> None:
        materials = self.rate_book.materials.all()
        kind = self.instance.action_kind_id
        self.uses = list(
            self.rate_book.norm_materials.filter(action_kind=kind)
            .select_related("material")
            .order_by("material__name")
        )
        for use in self.uses:
            name = f"use_{use.material_id}"
            self.fields[name] = self._quantity_box(f"{use.material.name}, {use.material.unit}")
            self.initial[name] = use.quantity_per_unit
        unused = materials.exclude(pk__in=[use.material_id for use in self.uses])
        for number in range(1, MORE_MATERIALS + 1):
            self.fields[f"material_{number}"] = forms.ModelChoiceField(
                unused, required=False, label=_("Another material"), empty_label=_("None")
            )
            self.fields[f"quantity_{number}"] = self._quantity_box(_("how much of it"))

    @staticmethod
    def _quantity_box(label: str) -> NumberField:
        return NumberField(
            label=label, required=False, min_value=Decimal(0), max_digits=14, decimal_places=4
        )

    def _keep(self, material: Material, quantity: Decimal | None) -> None:
        """Keep how much of a material a unit takes; nothing or none means it is not used."""
        found = {"action_kind": self.instance.action_kind, "material": material}
        if not quantity:
            NormMaterial.objects.filter(**found).delete()
            return
        NormMaterial.objects.update_or_create(
            **found, defaults={"rate_book": self.rate_book, "quantity_per_unit": quantity}
        )


class NormAddForm(NormForm):
    """A norm for a kind of action, or for one more trade at it."""

    class Meta(NormForm.Meta):
        fields = ["action_kind", *NormForm.Meta.fields]

    def __init__(self, *args: Any, rate_book: RateBook, **kwargs: Any) -> None:
        super().__init__(*args, rate_book=rate_book, **kwargs)
        kinds = rate_book.studio.action_kinds.all()
        self.fields["action_kind"].queryset = kinds
        self.fields["action_kind"].choices = [
            ("", _("Choose the work")),
            *kinds_by_step(list(kinds)),
        ]
