"""The form for what was looked at without a finding, or could not be inspected."""

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from condition.compute.recording.facts import InspectionData
from condition.forms.choices import part_choices, read_part
from condition.forms.recorded import RecordedForm
from condition.models import Inspection, Survey
from condition.models.choices import Outcome, SeenFrom, Side
from condition.services.recording.inspections import check_inspection, record_inspection
from sites.models import Opening
from sites.services.recording import Problem


class InspectionForm(RecordedForm):
    """One look at an opening, or at one panel or item of it."""

    boxes = {"panel": "part", "attached_item": "part"}

    part = forms.ChoiceField(label=_("Panel or attached item"), required=False)

    class Meta:
        model = Inspection
        fields = ["opening", "outcome", "side", "seen_from", "reason"]
        widgets = {"outcome": forms.RadioSelect, "side": forms.RadioSelect}
        labels = {
            "opening": _("Opening"),
            "outcome": _("What came of it"),
            "side": _("Side"),
            "seen_from": _("Seen from"),
            "reason": _("Not inspected, because"),
        }
        help_texts = {
            "reason": _(
                "The organ loft was locked; the pane is boarded over. Printed in the report."
            ),
        }

    def __init__(self, *args: Any, survey: Survey, **kwargs: Any) -> None:
        self.survey = survey
        kwargs.setdefault("instance", Inspection(survey=survey))
        super().__init__(*args, **kwargs)
        self.fields["outcome"].choices = Outcome.choices
        openings = list(survey.building.openings.all())
        self.fields["opening"].queryset = survey.building.openings.all()
        self.fields["opening"].choices = [
            ("", _("Choose the opening")),
            *((str(opening.pk), str(opening)) for opening in openings),
        ]
        named = str(self["opening"].value() or "")
        chosen = next((each for each in openings if str(each.pk) == named), None)
        self.fields["part"].choices = part_choices(openings, chosen, only=False)

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        part, opening = read_part(cleaned.get("part") or ""), cleaned.get("opening")
        self.data_read = InspectionData(
            survey=self.survey.pk,
            opening=opening.pk if opening else None,
            panel=part.panel,
            attached_item=part.item,
            outcome=cleaned.get("outcome"),
            **{name: cleaned[name] for name in ("side", "seen_from", "reason") if name in cleaned},
        )
        return check_inspection(self.data_read, self.user)

    def write(self) -> None:
        self.recorded = record_inspection(self.data_read, self.instance.pk, self.user)


class NothingFoundForm(forms.Form):
    """Several openings at once that were looked at without a finding.

    only: the key of one opening, from a button in its own row; it stands for that opening alone.
    """

    fields: dict[str, Any]

    side = forms.ChoiceField(
        label=_("Side"), choices=Side.choices, initial=Side.INSIDE, required=False
    )
    seen_from = forms.ChoiceField(
        label=_("Seen from"), choices=SeenFrom.choices, initial=SeenFrom.FLOOR, required=False
    )
    openings = forms.ModelMultipleChoiceField(
        label=_("Openings"), queryset=Opening.objects.none(), required=False
    )
    only = forms.ModelChoiceField(queryset=Opening.objects.none(), required=False)

    def __init__(self, *args: Any, survey: Survey, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in ("openings", "only"):
            self.fields[name].queryset = survey.building.openings.all()

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        cleaned["side"] = cleaned.get("side") or Side.INSIDE
        cleaned["seen_from"] = cleaned.get("seen_from") or SeenFrom.FLOOR
        return cleaned

    @property
    def chosen(self) -> list[Opening]:
        if only := self.cleaned_data.get("only"):
            return [only]
        return list(self.cleaned_data.get("openings") or [])
