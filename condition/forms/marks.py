"""A mark of a finding: how it is drawn, and where, by typed places or by what was tapped."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from condition.compute.strokes import StrokeError
from condition.models import Finding, FindingMark, Photograph
from condition.models.choices import Stroke
from condition.services.surfaces import Surface
from sites.forms.base import RecordForm


class MarkForm(RecordForm):
    """One mark on one surface; a new one, or one whose points are drawn again."""

    beside = RecordForm.beside | {"act"}

    stroke = forms.ChoiceField(label=_("Draw"), choices=Stroke.choices, widget=forms.RadioSelect)
    places = forms.CharField(
        label=_("Places"),
        max_length=20_000,
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false", "autocomplete": "off"}),
    )

    class Meta:
        model = FindingMark
        fields = ["stroke"]

    def __init__(
        self,
        *args: Any,
        finding: Finding,
        photograph: Photograph | None,
        surface: Surface,
        usual: str = Stroke.AREA,
        **kwargs: Any,
    ) -> None:
        self.surface = surface
        instance = kwargs.setdefault("instance", None) or FindingMark(
            finding=finding, photograph=photograph, stroke=usual
        )
        kwargs["instance"] = instance
        initial = kwargs.setdefault("initial", {})
        if instance.points:
            initial.setdefault("places", _written(surface, instance.points))
        super().__init__(*args, **kwargs)

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        stroke, places = cleaned.get("stroke"), cleaned.get("places")
        if stroke and places:
            try:
                self.instance.points = self.surface.read(stroke, places)
            except StrokeError as error:
                self.add_error("places", str(error))
        return cleaned


def _written(surface: Surface, points: object) -> str:
    """The kept places as typed; none where they cannot be shown on this surface."""
    try:
        return surface.write(points)
    except StrokeError:
        return ""
