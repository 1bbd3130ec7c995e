"""The form for what was looked at without a finding, or could not be inspected."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from condition.forms.choices import part_choices, read_part, row_of
from condition.models import Inspection, Survey
from condition.models.choices import Outcome, SeenFrom, Side
from condition.services.inspections import contradicted_by
from sites.forms.base import RecordForm
from sites.models import Opening


class InspectionForm(RecordForm):
    """One look at an opening, or at one panel or item of it."""

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

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        opening = cleaned.get("opening")
        if opening is None or "part" not in cleaned:
            return cleaned
        self._place(cleaned["part"], opening)
        if not self.errors:
            self._refuse_a_second(cleaned["side"])
        if not self.errors:
            self._refuse_a_contradiction(cleaned)
        return cleaned

    def _place(self, value: str, opening: Opening) -> None:
        part = read_part(value)
        row = row_of(part)
        if row is not None and row.opening_id != opening.pk:
            text = _("%(part)s is not in %(opening)s: choose a panel or item of this opening.")
            self.add_error(
                "part", ValidationError(text, params={"part": row, "opening": opening.number})
            )
            return
        self.instance.panel = row if part.panel else None
        self.instance.attached_item = row if part.item else None
        self.subject = row or opening

    def _refuse_a_second(self, side: str) -> None:
        same = self.survey.inspections.filter(subject_key=self.subject.pk, side=side)
        if there := same.first():
            self.add_error(
                "side",
                ValidationError(
                    _("This side is recorded already: %(there)s. Take that away first."),
                    params={"there": there.get_outcome_display()},
                ),
            )

    def _refuse_a_contradiction(self, cleaned: dict[str, Any]) -> None:
        inspection = Inspection(
            outcome=cleaned["outcome"],
            side=cleaned["side"],
            panel=self.instance.panel,
            attached_item=self.instance.attached_item,
        )
        there = self.survey.findings.filter(opening=cleaned["opening"]).order_by("number")
        if found := contradicted_by(inspection, there):
            self.add_error(
                "outcome",
                ValidationError(
                    _("It has a finding: %(numbers)s. “Nothing found” would contradict that."),
                    params={"numbers": ", ".join(str(number) for number in found)},
                ),
            )


class NothingFoundForm(forms.Form):
    """Several openings at once that were looked at without a finding.

    only: the key of one opening, from a button in its own row; it stands for that opening alone.
    """

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
        if not self.errors and not self.chosen:
            raise ValidationError(_("Tick the openings that were looked at."))
        return cleaned

    @property
    def chosen(self) -> list[Opening]:
        if only := self.cleaned_data.get("only"):
            return [only]
        return list(self.cleaned_data.get("openings") or [])
