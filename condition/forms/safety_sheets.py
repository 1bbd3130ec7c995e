"""The form of a site safety sheet: the facts of one visit or job that can hurt somebody."""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Final

from crispy_forms.layout import Layout
from django import forms
from django.core.validators import MaxLengthValidator, MaxValueValidator, MinValueValidator
from django.utils.translation import gettext_lazy as _

from condition.compute.safety.limits import M2_PER_SQUARE_FOOT, square_feet
from condition.models import SafetySheet
from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.fields import NumberField
from sites.models.choices import Units

AREAS: Final = {
    "inside": (_("Old paint disturbed in one room, %s"), "disturbed_inside_m2"),
    "outside": (_("Old paint disturbed outside, %s"), "disturbed_outside_m2"),
}
LARGEST_M2: Final = Decimal(1000)
LARGEST_FT2: Final = Decimal(10_000)
# What leaves the fullest sheet on one page.
LONGEST_NOTES: Final = 700
SQUARE_CM: Final = Decimal("0.0001")


class SafetySheetForm(RecordForm):
    """What is known of the job; what is left empty is named on the sheet, taken for the worse."""

    lengths = {"height": _("Height of the work above the floor")}

    class Meta:
        model = SafetySheet
        fields = [
            "title",
            "day",
            "people",
            "survey",
            "access",
            "people_below",
            "nesting",
            "hot_work",
            "lead",
            "old_paint",
            "hours",
            "window_replaced",
            "built_year",
            "child_days_a_week",
            "child_hours_a_day",
            "child_weeks_a_year",
            "putty",
            "heating",
            "notes",
        ]
        widgets = {
            "day": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "notes": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "title": _("The visit or the job in a few words."),
            "people": _("By name or by trade; it is printed on the sheet."),
            "hours": _("Empty is reckoned as a long day."),
            "built_year": _("Paint from before 1978 is taken for lead paint."),
            "child_days_a_week": _("0 where none ever comes. Empty is taken as often."),
            "notes": _("Keys, nearest hospital, where the water and the mains are turned off."),
        }

    def prepare(self) -> None:
        building = self.instance.building
        self.inches = building.units == Units.INCH
        unit = "ft²" if self.inches else "m²"
        largest = LARGEST_FT2 if self.inches else LARGEST_M2
        for name, (label, column) in AREAS.items():
            self.fields[name] = NumberField(
                label=str(label) % unit,
                required=False,
                max_digits=9,
                decimal_places=4,
                validators=[MinValueValidator(Decimal(0)), MaxValueValidator(largest)],
                help_text=_("0 where none is."),
            )
            kept = getattr(self.instance, column)
            if kept is not None:
                self.initial[name] = square_feet(kept) if self.inches else kept
        self.fields["notes"].validators.append(MaxLengthValidator(LONGEST_NOTES))
        self.fields["survey"].queryset = building.surveys.order_by("-day")
        self.fields["survey"].empty_label = _("None of them")
        self.fields["survey"].label = _("For the survey")
        self.fields["built_year"].validators += [MinValueValidator(300), MaxValueValidator(2999)]
        # Beyond a small number the two databases differ: the constraints say what a week has.
        for name in ("child_days_a_week", "child_weeks_a_year"):
            self.fields[name].validators.append(MaxValueValidator(999))
        for name in ("hours", "child_hours_a_day"):
            self.fields[name].validators += [
                MinValueValidator(Decimal("0.1") if name == "hours" else Decimal(0)),
                MaxValueValidator(Decimal(24)),
            ]

    def layout(self) -> Layout:
        return Layout(
            group(_("The job"), "title", side_by_side("day", "survey"), "people"),
            group(
                _("Where people stand, and under whom"),
                side_by_side("access", "height"),
                self.length_help(),
                "people_below",
                "nesting",
            ),
            group(_("Heat and lead"), side_by_side("hot_work", "hours"), "lead", "old_paint"),
            group(
                _("Old paint and small children"),
                side_by_side("inside", "outside"),
                "window_replaced",
                "built_year",
                side_by_side("child_days_a_week", "child_hours_a_day", "child_weeks_a_year"),
            ),
            group(_("What may hold asbestos"), side_by_side("putty", "heating")),
            group(_("What else"), "notes"),
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for name, (_label, column) in AREAS.items():
            if name not in self.errors and (name in self.changed_data or self.adds):
                setattr(self.instance, column, self._square_metres(cleaned.get(name)))
        return cleaned

    def _square_metres(self, area: Decimal | None) -> Decimal | None:
        if area is None:
            return None
        m2 = area * M2_PER_SQUARE_FOOT if self.inches else area
        return m2.quantize(SQUARE_CM, ROUND_HALF_UP)
