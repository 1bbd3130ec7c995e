"""Boxes for what the trade types: a length, an old date."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from sites.compute.dates import OldDate, OldDateError, parse_old_date
from sites.compute.lengths import BareUnit, Length, LengthError, parse_length
from sites.models.choices import Units


def bare_unit_of(units: str) -> BareUnit:
    """The unit of a number typed without one, by the user's setting."""
    return "in" if units == Units.INCH else "mm"


class LengthField(forms.CharField):
    """One box for a length; cleans to a Length, or None where it was left empty."""

    def __init__(self, *, units: str = Units.METRIC, **options: Any) -> None:
        self.units = units
        options.setdefault("required", False)
        super().__init__(**options)
        self.widget.attrs.setdefault("autocomplete", "off")

    def clean(self, value: Any) -> Length | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return parse_length(text, bare_unit_of(self.units))
        except LengthError as error:
            raise ValidationError(str(error), code="length") from error


class OldDateField(forms.CharField):
    """One box for a date that may be vague; cleans to an OldDate, or None where left empty."""

    def __init__(self, **options: Any) -> None:
        options.setdefault("required", False)
        super().__init__(**options)

    def clean(self, value: Any) -> OldDate | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            return parse_old_date(text)
        except OldDateError as error:
            raise ValidationError(str(error), code="old_date") from error
