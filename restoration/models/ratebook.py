"""The studio's own rates, output norms, prices and percentages, dated."""

from decimal import Decimal

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext_lazy as _

from condition.models import ActionKind
from sites.models.fields import Label, UUIDModel, not_blank, of_length

NOT_NEGATIVE = [MinValueValidator(Decimal(0))]
PERCENT = [MinValueValidator(Decimal(0)), MaxValueValidator(Decimal(100))]
PERCENTAGES = ("overhead", "profit", "contingency", "tax")


def percent(name: Label) -> models.DecimalField:
    return models.DecimalField(
        name, max_digits=6, decimal_places=3, default=Decimal(0), validators=PERCENT
    )


def amount(name: Label, places: int = 4) -> models.DecimalField:
    return models.DecimalField(name, max_digits=14, decimal_places=places, validators=NOT_NEGATIVE)


class RateBook(UUIDModel):
    """What an hour and a stick of came cost the studio from a given day."""

    studio = models.ForeignKey("sites.Studio", models.PROTECT, related_name="rate_books")
    name = models.CharField(_("name"), max_length=120)
    currency = models.CharField(_("currency"), max_length=3)
    valid_from = models.DateField(_("valid from"))
    overhead = percent(_("overhead, %"))
    profit = percent(_("profit, %"))
    contingency = percent(_("contingency, %"))
    tax_name = models.CharField(_("name of the tax"), max_length=40, blank=True)
    tax = percent(_("tax, %"))
    payment_shares = models.JSONField(_("payment stages"), default=list)
    valid_days = models.PositiveSmallIntegerField(_("quotes stand for, days"), default=60)

    class Meta:
        ordering = ["-valid_from", "name"]
        constraints = [
            models.UniqueConstraint(fields=["studio", "name"], name="rate_book_once"),
            not_blank("ratebook", "name"),
            of_length("ratebook", "currency", 3),
            *[
                models.CheckConstraint(
                    condition=Q(**{f"{name}__gte": 0, f"{name}__lte": 100}),
                    name=f"rate_book_{name}_0_to_100",
                )
                for name in ("overhead", "profit", "contingency", "tax")
            ],
        ]

    def __str__(self) -> str:
        return f"{self.name} ({self.currency})"

    def get_absolute_url(self) -> str:
        return reverse("restoration:rate-book", args=[self.pk])


class LabourRate(UUIDModel):
    """What an hour of one trade costs the studio."""

    rate_book = models.ForeignKey(RateBook, models.CASCADE, related_name="labour_rates")
    trade = models.CharField(_("trade"), max_length=40)
    hourly = amount(_("an hour"))

    class Meta:
        ordering = ["trade"]
        constraints = [
            models.UniqueConstraint(fields=["rate_book", "trade"], name="labour_rate_once"),
            not_blank("labourrate", "trade"),
            models.CheckConstraint(condition=Q(hourly__gte=0), name="labour_rate_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.trade} {self.hourly}"


class Material(UUIDModel):
    """A material, its price for a unit, and what is lost in cutting."""

    rate_book = models.ForeignKey(RateBook, models.CASCADE, related_name="materials")
    code = models.SlugField(max_length=60)
    name = models.CharField(_("name"), max_length=120)
    unit = models.CharField(_("unit"), max_length=24)
    price = amount(_("price of a unit"))
    waste = percent(_("waste, %"))

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(fields=["rate_book", "code"], name="material_once"),
            not_blank("material", "name"),
            models.CheckConstraint(
                condition=Q(price__gte=0, waste__gte=0, waste__lte=100),
                name="material_price_and_waste_possible",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} / {self.unit}"


class Norm(UUIDModel):
    """How long one unit of one kind of action takes one trade, and what it uses."""

    rate_book = models.ForeignKey(RateBook, models.CASCADE, related_name="norms")
    action_kind = models.ForeignKey(ActionKind, models.PROTECT, related_name="norms")
    labour_rate = models.ForeignKey(
        LabourRate, models.PROTECT, related_name="norms", verbose_name=_("trade")
    )
    hours_per_unit = amount(_("hours a unit"))
    setup_hours = amount(_("setting up, hours"))

    class Meta:
        ordering = ["action_kind__order", "labour_rate__trade"]
        constraints = [
            models.UniqueConstraint(
                fields=["action_kind", "labour_rate"], name="norm_once_a_trade"
            ),
            models.CheckConstraint(
                condition=Q(hours_per_unit__gte=0, setup_hours__gte=0),
                name="norm_hours_not_negative",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.action_kind}: {self.hours_per_unit} h {self.labour_rate.trade}"


class NormMaterial(UUIDModel):
    """What one unit of a kind of action uses of a material, before waste."""

    rate_book = models.ForeignKey(RateBook, models.CASCADE, related_name="norm_materials")
    action_kind = models.ForeignKey(ActionKind, models.PROTECT, related_name="norm_materials")
    material = models.ForeignKey(Material, models.PROTECT, related_name="uses")
    quantity_per_unit = amount(_("quantity a unit"))

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["action_kind", "material"], name="norm_material_once"),
            models.CheckConstraint(
                condition=Q(quantity_per_unit__gte=0), name="norm_material_not_negative"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.action_kind}: {self.quantity_per_unit} {self.material}"
