"""Choices of a visit: classes as quarries."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _


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
