"""The form of one figure the studio reckons with."""

from decimal import Decimal
from typing import Any

from crispy_forms.layout import Layout
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _

from sites.compute.figures import Figure
from sites.forms.base import RecordForm, side_by_side
from sites.models import StudioFigure
from sites.services.figures import set_figure


class FigureForm(RecordForm):
    """The studio's own value and where it comes from."""

    class Meta:
        model = StudioFigure
        fields = ["value", "source"]

    def __init__(self, *args: Any, figure: Figure, **kwargs: Any) -> None:
        self.figure = figure
        super().__init__(*args, **kwargs)

    def prepare(self) -> None:
        value, source = self.fields["value"], self.fields["source"]
        value.label = _("Own value, in %s") % self.figure.unit if self.figure.unit else value.label
        source.help_text = _("A weighing, a maker's sheet, an engineer's letter; with its date.")
        if self.figure.own:
            self.initial["value"] = self.figure.value

    def layout(self) -> Layout:
        return Layout(side_by_side("value"), "source")

    def clean_value(self) -> Decimal:
        value: Decimal = self.cleaned_data["value"]
        if value < 0:
            raise ValidationError(_("This figure cannot be below zero."))
        if value == 0 and not self.figure.may_be_zero:
            raise ValidationError(_("This figure must be above zero."))
        return value

    def write(self) -> None:
        set_figure(
            self.instance.studio,
            self.figure.key,
            self.cleaned_data["value"],
            self.cleaned_data["source"],
        )
