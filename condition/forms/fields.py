"""Boxes and choices of a visit: a number as it is written by hand, classes as quarries."""

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

COMMA_UNCLEAR = re.compile(r"\d{1,3}(,\d{3})+")


class AmountField(forms.DecimalField):
    """A number typed with a point or a comma; one that could be read two ways is asked about."""

    widget = forms.TextInput

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.widget.attrs.update(inputmode="decimal", autocomplete="off")

    def to_python(self, value: Any) -> Any:
        text = str(value or "").strip().replace("\N{NO-BREAK SPACE}", "").replace(" ", "")
        if COMMA_UNCLEAR.fullmatch(text):
            plain = text.replace(",", "")
            raise ValidationError(
                _("Is %(text)s one or a thousand? Write %(plain)s, or use a point."),
                params={"text": text, "plain": plain},
            )
        return super().to_python(text.replace(",", "."))


class CountField(forms.IntegerField):
    """A whole number typed on a number pad."""

    widget = forms.TextInput

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self.widget.attrs.update(inputmode="numeric", autocomplete="off")


class ClassField(forms.TypedChoiceField):
    """A class from 0 to 3, or not set: a row of choices, each with its quarry."""

    def __init__(self, *, classes: type[Any], **options: Any) -> None:
        choices = [("", _("Not set")), *classes.choices]
        super().__init__(
            choices=choices,
            coerce=int,
            empty_value=None,
            required=False,
            widget=forms.RadioSelect,
            **options,
        )
