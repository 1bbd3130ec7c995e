"""Forms that say where a photograph belongs, and what it shows."""

from typing import Any
from uuid import UUID

from crispy_forms.layout import Layout
from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from condition.forms.choices import filing_choices
from condition.models import Finding, Photograph, Survey
from condition.services.uploads import Place
from sites.forms.base import RecordForm
from sites.models import Opening

NOT_SORTED = _("Not sorted in yet")


class FilingField(forms.ChoiceField):
    """A select of the openings of a survey's building and of the survey's findings."""

    def __init__(self, *, nowhere: str | Promise = NOT_SORTED, **options: Any) -> None:
        self.nowhere = nowhere
        super().__init__(**options)

    def offer(self, survey: Survey) -> None:
        self.widget.attrs["class"] = "form-select"
        self.choices = filing_choices(survey, self.nowhere)


def place_of_choice(survey: Survey, value: str) -> Place:
    """Return the place that a choice of `filing_choices` stands for."""
    name, _colon, key = value.partition(":")
    if name == "opening":
        return Place(survey, opening=Opening.objects.get(pk=UUID(key)))
    if name == "finding":
        finding = Finding.objects.select_related("opening", "survey__building").get(pk=UUID(key))
        return Place(survey, opening=finding.opening, finding=finding)
    return Place(survey)


def choice_of_place(photograph: Photograph) -> str:
    """Return the choice that says where a photograph is filed now."""
    if photograph.finding_id:
        return f"finding:{photograph.finding_id}"
    return f"opening:{photograph.opening_id}" if photograph.opening_id else ""


class SendForm(forms.Form):
    """Where the photographs that are sent together belong."""

    place = FilingField(label=_("They show"), required=False, nowhere=_("Sort them in afterwards"))

    def __init__(self, *args: Any, survey: Survey, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.survey = survey
        self.fields["place"].offer(survey)

    @property
    def chosen(self) -> Place:
        return place_of_choice(self.survey, self.cleaned_data["place"])


class SortForm(forms.Form):
    """Photographs ticked in the tray, and the one place all of them show."""

    photographs = forms.ModelMultipleChoiceField(
        queryset=Photograph.objects.none(),
        error_messages={"required": _("Tick the photographs first.")},
    )
    place = FilingField(
        label=_("The ticked ones show"),
        nowhere=_("Choose what they show"),
        error_messages={"required": _("Choose what the ticked photographs show.")},
    )

    def __init__(self, *args: Any, survey: Survey, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.survey = survey
        self.fields["photographs"].queryset = survey.photographs.select_related("building")
        self.fields["place"].offer(survey)

    def file(self) -> int:
        """File the ticked photographs at the chosen place, and return how many."""
        place = place_of_choice(self.survey, self.cleaned_data["place"])
        photographs = list(self.cleaned_data["photographs"])
        for photograph in photographs:
            file_at(photograph, place)
        return len(photographs)


def file_at(photograph: Photograph, place: Place) -> None:
    """File one photograph of the place's survey where the place says."""
    photograph.opening, photograph.finding = place.opening, place.finding
    photograph.save(update_fields=["opening", "finding"])


class PhotographForm(RecordForm):
    """What a photograph shows, and in which words. Its picture and its facts never change."""

    place = FilingField(label=_("It shows"), required=False)

    class Meta:
        model = Photograph
        fields = ["caption"]
        help_texts = {"caption": _("What one should see. Printed under it in the report.")}

    def __init__(self, *args: Any, instance: Photograph, **kwargs: Any) -> None:
        initial = {"place": choice_of_place(instance), **kwargs.pop("initial", {})}
        super().__init__(*args, instance=instance, initial=initial, **kwargs)
        if instance.survey is None:
            del self.fields["place"]
        else:
            self.fields["place"].offer(instance.survey)

    def layout(self) -> Layout:
        return Layout("place", "caption") if "place" in self.fields else Layout("caption")

    def write(self) -> None:
        if self.instance.survey is not None:
            place = place_of_choice(self.instance.survey, self.cleaned_data["place"])
            self.instance.opening, self.instance.finding = place.opening, place.finding
        self.instance.save(update_fields=["caption", "opening", "finding"])
