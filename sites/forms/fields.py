"""Boxes for what the trade types: a number, a length, an old date."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db import models
from django.utils.html import format_html
from django.utils.translation import gettext as _

from sites.compute.dates import OldDate, OldDateError, parse_old_date
from sites.compute.lengths import BareUnit, Length, LengthError, parse_length
from sites.compute.plausible import SURE, Question, implausible
from sites.compute.typed_numbers import NumberError, number_for_box, read_number
from sites.models.choices import Units


def bare_unit_of(units: str) -> BareUnit:
    """The unit of a number typed without one, by the user's setting."""
    return "in" if units == Units.INCH else "mm"


class AskingInput(forms.TextInput):
    """A box that shows a tick box under it where what was typed is asked about.

    confirmed: the value that the posted tick box says yes to; empty where there is none.
    """

    question: Question | None = None
    confirmed = ""

    def value_from_datadict(self, data: Any, files: Any, name: str) -> Any:
        self.confirmed = data.get(f"{name}{SURE}", "")
        return super().value_from_datadict(data, files, name)

    def render(self, name: str, value: Any, attrs: Any = None, renderer: Any = None) -> Any:
        box = super().render(name, value, attrs, renderer)
        if self.question is None:
            return box
        return format_html(
            '{}<label class="sure"><input type="checkbox" class="form-check-input" '
            'name="{}" value="{}"{}> {}</label>',
            box,
            f"{name}{SURE}",
            self.question.key,
            " checked" if self.confirmed == self.question.key else "",
            _("Yes, it is right: %(value)s") % {"value": self.question.words},
        )


class NumberField(forms.DecimalField):
    """A number, read by `read_number`; what is kept is shown so that it is read back the same."""

    widget = AskingInput

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.widget.attrs.update(inputmode="decimal", autocomplete="off")

    def prepare_value(self, value: Any) -> Any:
        return number_for_box(value) if isinstance(value, Decimal) else value

    def to_python(self, value: Any) -> Any:
        """Return a Decimal, or None; to Django's types its box of a decimal is one of an int."""
        return _number(value)


class CountField(forms.IntegerField):
    """A whole number, read by `read_number`."""

    widget = forms.TextInput

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.widget.attrs.update(inputmode="numeric", autocomplete="off")

    def to_python(self, value: Any) -> int | None:
        number = _number(value)
        # Not by the remainder: a number of fifty figures has none within a Decimal's precision.
        if number is not None and number != number.to_integral_value():
            raise ValidationError(self.error_messages["invalid"], code="invalid")
        return None if number is None else int(number)


def _number(value: Any) -> Decimal | None:
    text = str("" if value is None else value).strip()
    if not text:
        return None
    if isinstance(value, Decimal | int):
        return Decimal(value)
    try:
        return read_number(text)
    except NumberError as error:
        raise ValidationError(str(error), code="invalid") from error


def box_of(column: Any, **options: Any) -> Any:
    """Return the box of a column: for a number one that reads it as `read_number` does."""
    if isinstance(column, models.DecimalField):
        options.setdefault("form_class", NumberField)
    elif isinstance(column, models.IntegerField) and not column.choices:
        options.setdefault("form_class", CountField)
    return column.formfield(**options)


class LengthField(forms.CharField):
    """One box for a length; cleans to a Length, or None where it was left empty."""

    widget = AskingInput

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


def ask_about(
    form: forms.BaseForm, name: str, quantity: str, kept: Decimal | None, currency: str = ""
) -> None:
    """Ask about a value out of its usual range: an error at its box, until the tick box says yes.

    quantity: a key of `USUAL`. kept: the value that is recorded already, not asked about again.
    A box with something to mend is asked about afterwards. What was typed stays in every case.
    """
    box, value = form.fields[name], form.cleaned_data.get(name)
    amount = value.mm if isinstance(value, Length) else value
    if amount is None or amount == kept or name in form.errors:
        return
    bare_unit = bare_unit_of(box.units) if isinstance(box, LengthField) else "mm"
    question = implausible(quantity, amount, currency, bare_unit)
    box.widget.question = question
    if question is not None and box.widget.confirmed != question.key:
        form.add_error(name, ValidationError(str(question), code="implausible"))
