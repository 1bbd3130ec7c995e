"""Forms of sorting photographs in: chosen and filed, by a place picked or typed, or by time."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from condition.models import Finding, Photograph, Survey
from condition.services.sorting import Moved, TimeOffer, place_of_numbers, place_pressed, sort_in
from condition.services.uploads import Place
from sites.models import Opening, User
from sites.services.recording import NotRecordedError

LONGEST_NUMBER = 40


class InOrderForm(forms.Form):
    """Photographs that were chosen, and the one place all of them show.

    place: `finding:key` or `opening:key`, from the button that was pressed; typed: the number of
    an opening, or of one or several findings, which counts where no button was pressed.
    """

    fields: dict[str, Any]

    photographs = forms.ModelMultipleChoiceField(
        queryset=Photograph.objects.none(),
        error_messages={
            "required": _("Choose the photographs first."),
            "invalid_choice": _("One of the photographs is not of this survey."),
        },
    )
    place = forms.CharField(required=False, max_length=60)
    typed = forms.CharField(
        label=_("The number of the opening, or of one or several findings"),
        required=False,
        max_length=LONGEST_NUMBER,
    )

    def __init__(
        self,
        *args: Any,
        survey: Survey,
        openings: Sequence[Opening],
        findings: Sequence[Finding],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.survey, self.openings, self.findings = survey, openings, findings
        self.fields["photographs"].queryset = survey.photographs.select_related(
            "building"
        ).with_findings()

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if "place" not in cleaned or "typed" not in cleaned:
            return cleaned
        rows = (self.survey, self.openings, self.findings)
        try:
            if cleaned["place"]:
                self.chosen = place_pressed(places_of(*rows), cleaned["place"])
            else:
                self.chosen = place_of_numbers(cleaned["typed"], *rows)
        except NotRecordedError as refusal:
            self.add_error(None, str(refusal))
        return cleaned

    def store(self, user: User) -> list[Moved]:
        """File the photographs at the chosen place, and return what moved.

        Raises NotRecordedError as `sort_in`.
        """
        return sort_in(self.cleaned_data["photographs"], self.chosen, user)


class ByTimeForm(forms.Form):
    """Offers by time that were ticked; each is `photograph place`."""

    fields: dict[str, Any]

    offers = forms.MultipleChoiceField(
        error_messages={
            "required": _("Tick the photographs first."),
            "invalid_choice": _("What was offered has changed meanwhile. Look again."),
        }
    )

    def __init__(
        self, *args: Any, offered: Sequence[TimeOffer], places: Mapping[str, Place], **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        by_key = {place_key(place): place for place in places.values()}
        self.places = {
            f"{photograph.pk} {offer.place}": (photograph, by_key[offer.place])
            for offer in offered
            for photograph in offer.photographs
        }
        self.fields["offers"].choices = [(value, value) for value in self.places]

    def store(self, user: User) -> list[Moved]:
        """File each ticked photograph where it was offered, and return what moved."""
        return [
            moved
            for value in self.cleaned_data["offers"]
            for moved in sort_in([self.places[value][0]], self.places[value][1], user)
        ]


def place_key(place: Place) -> object:
    """Return the key of the one finding or the opening that a place is."""
    if place.findings:
        return place.findings[0].pk
    return None if place.opening is None else place.opening.pk


def places_of(
    survey: Survey, openings: Sequence[Opening], findings: Sequence[Finding]
) -> dict[str, Place]:
    """Return every place of a survey that a photograph can be filed at, by its button's value."""
    places = {f"opening:{each.pk}": Place(survey, each) for each in openings}
    return places | {
        f"finding:{each.pk}": Place(survey, each.opening, (each,)) for each in findings
    }
