"""Forms that say where a photograph belongs, and what it shows."""

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any
from uuid import UUID

from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from condition.forms.choices import filing_choices
from condition.forms.recorded import RecordedForm
from condition.models import Finding, Photograph, Survey
from condition.services.recording.photographs import (
    change_photograph,
    check_photograph,
    photograph_data,
)
from condition.services.sorting import place_of, sort_in
from condition.services.uploads import Place
from sites.models import Opening, User
from sites.services.recording import NotRecordedError, Problem

SEVERAL = _("Several findings of one opening can be chosen together (with Ctrl or ⌘).")


class FilingField(forms.MultipleChoiceField):
    """A select of the openings of a survey's building and of the survey's findings.

    An opening as a whole, or one or several findings of one opening; left alone, nothing.
    """

    def __init__(self, **options: Any) -> None:
        super().__init__(help_text=SEVERAL, **options)
        self.widget.attrs.update(size=8)

    def offer(self, survey: Survey) -> None:
        self.widget.attrs["class"] = "form-select"
        self.survey, self.choices = survey, filing_choices(survey)

    def to_python(self, value: Any) -> list[str]:
        """An empty choice, as a select of one may post it, chooses nothing."""
        return [choice for choice in super().to_python(value) if choice]

    def clean(self, value: Any) -> Place:
        """Return the place that choices of `filing_choices` stand for together."""
        keys: dict[str, list[UUID]] = {"opening": [], "finding": []}
        for choice in super().clean(value):
            name, _colon, key = choice.partition(":")
            keys[name].append(UUID(key))
        openings = Opening.objects.filter(pk__in=keys["opening"])
        findings = Finding.objects.filter(pk__in=keys["finding"]).select_related("opening")
        try:
            return place_of(self.survey, openings, findings.order_by("number"))
        except NotRecordedError as refusal:
            raise ValidationError(str(refusal)) from refusal


def choices_of_place(photograph: Photograph) -> list[str]:
    """Return the choices that say where a photograph is filed now."""
    if found := [f"finding:{each.pk}" for each in photograph.findings.all()]:
        return found
    return [f"opening:{photograph.opening_id}"] if photograph.opening_id else []


class SendForm(forms.Form):
    """Where the photographs that are sent together belong."""

    fields: dict[str, Any]

    place = FilingField(label=_("They show"), required=False)

    def __init__(self, *args: Any, survey: Survey, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.survey = survey
        self.fields["place"].offer(survey)

    @property
    def chosen(self) -> Place:
        place: Place = self.cleaned_data["place"]
        return place


class SortForm(forms.Form):
    """Photographs ticked in the tray, and the one place all of them show."""

    fields: dict[str, Any]

    photographs = forms.ModelMultipleChoiceField(
        queryset=Photograph.objects.none(),
        error_messages={"required": _("Tick the photographs first.")},
    )
    place = FilingField(
        label=_("The ticked ones show"),
        error_messages={"required": _("Choose what the ticked photographs show.")},
    )

    def __init__(self, *args: Any, survey: Survey, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.survey = survey
        self.fields["photographs"].queryset = survey.photographs.select_related(
            "building"
        ).with_findings()
        self.fields["place"].offer(survey)

    def file(self, user: User) -> None:
        """File the ticked photographs at the chosen place. Raises NotRecordedError."""
        sort_in(self.cleaned_data["photographs"], self.cleaned_data["place"], user)


class PhotographForm(RecordedForm):
    """What a photograph shows, and in which words. Its picture and its facts never change."""

    boxes = {"survey": "place", "opening": "place", "findings": "place"}

    place = FilingField(label=_("It shows"), required=False)

    class Meta:
        model = Photograph
        fields = ["caption"]
        help_texts = {"caption": _("What one should see. Printed under it in the report.")}

    def __init__(self, *args: Any, instance: Photograph, **kwargs: Any) -> None:
        initial = {"place": choices_of_place(instance), **kwargs.pop("initial", {})}
        super().__init__(*args, instance=instance, initial=initial, **kwargs)
        if instance.survey is None:
            del self.fields["place"]
        else:
            self.fields["place"].offer(instance.survey)

    def layout(self) -> Layout:
        return Layout("place", "caption") if "place" in self.fields else Layout("caption")

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        data = photograph_data(self.instance)
        if "place" in cleaned:
            place = cleaned["place"].data
            data = replace(data, opening=place.opening, findings=place.findings)
        self.data_read = replace(data, caption=cleaned.get("caption", ""))
        return check_photograph(self.data_read)

    def write(self) -> None:
        self.recorded = change_photograph(self.instance, self.data_read, self.user)
