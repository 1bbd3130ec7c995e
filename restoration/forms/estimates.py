"""The forms of an estimate and of its shared costs."""

from datetime import date
from typing import Any

from crispy_forms.layout import Layout
from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from condition.models import Survey
from restoration.compute.estimate_rules import contingency_problems, money_problems
from restoration.forms.fields import PhaseField
from restoration.models import Estimate, SharedCost
from restoration.models.choices import SharedKind
from restoration.services.estimates import start_estimate, usual_rate_book
from sites.forms.base import RecordForm, group, side_by_side
from sites.models import Building

DAY = "j F Y"


class SurveyChoiceField(forms.ModelChoiceField):
    def label_from_instance(self, survey: Survey) -> str:
        return f"{date_format(survey.day, DAY)}, {survey.surveyors}"


class EstimateForm(RecordForm):
    """What an estimate is for and what it is priced with."""

    survey = SurveyChoiceField(
        queryset=Survey.objects.none(),
        required=False,
        label=gettext_lazy("From the survey"),
        empty_label=gettext_lazy("No survey: actions are written by hand"),
        help_text=gettext_lazy("Its findings are offered as actions."),
    )

    class Meta:
        model = Estimate
        fields = ["title", "survey", "rate_book"]

    def __init__(self, *args: Any, building: Building, day: date, **kwargs: Any) -> None:
        kwargs.setdefault("instance", Estimate(building=building))
        super().__init__(*args, **kwargs)
        self.instance.building = self.building = building
        self.fields["survey"].queryset = building.surveys.all()
        books = building.studio.rate_books.all()
        self.fields["rate_book"].queryset = books
        self.fields["rate_book"].empty_label = None
        if self.adds:
            self.initial["rate_book"] = usual_rate_book(building.studio, building.currency, day)

    def layout(self) -> Layout:
        return Layout("title", "survey", "rate_book")

    def write(self) -> None:
        start_estimate(
            key=self.instance.pk,
            building=self.building,
            survey=self.cleaned_data["survey"],
            rate_book=self.cleaned_data["rate_book"],
            title=self.cleaned_data["title"],
        )


class EstimateEditForm(EstimateForm):
    """An estimate with its contingency and its words for the client."""

    class Meta(EstimateForm.Meta):
        fields = [
            *EstimateForm.Meta.fields,
            "contingency",
            "contingency_reason",
            "assumptions",
            "exclusions",
        ]
        widgets = {
            "assumptions": forms.Textarea(attrs={"rows": 4}),
            "exclusions": forms.Textarea(attrs={"rows": 4}),
        }
        help_texts = {
            "contingency": gettext_lazy("A share of all the lines, from 0 to 100."),
            "contingency_reason": gettext_lazy(
                "How closely the windows were seen: from the floor, from a tower, on the bench. "
                "The client reads this."
            ),
            "assumptions": gettext_lazy("What the price rests on. One to a line."),
            "exclusions": gettext_lazy("What is not in the price. One to a line."),
        }

    def layout(self) -> Layout:
        return Layout(
            group(gettext_lazy("What for"), "title", "survey", "rate_book"),
            group(
                gettext_lazy("Contingency"),
                side_by_side("contingency"),
                "contingency_reason",
            ),
            group(gettext_lazy("Words for the client"), "assumptions", "exclusions"),
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        reason = cleaned.get("contingency_reason", "")
        for problem in contingency_problems(cleaned.get("contingency"), reason):
            self.add_error(problem.field, problem.message)
        return cleaned

    def write(self) -> None:
        self.save()


class SharedCostForm(RecordForm):
    """A cost that several actions share, counted once."""

    usual = {"amount": "sum"}

    class Meta:
        model = SharedCost
        fields = ["kind", "description", "amount", "phase"]
        field_classes = {"phase": PhaseField}
        help_texts = {
            "description": gettext_lazy(
                "As the client will read it: Tower along the north wall, two weeks."
            ),
            "phase": gettext_lazy("The phase it is needed in, from 1."),
        }

    def __init__(self, *args: Any, estimate: Estimate, **kwargs: Any) -> None:
        kwargs.setdefault("instance", SharedCost(estimate=estimate))
        super().__init__(*args, **kwargs)
        self.instance.estimate = estimate
        self.currency = estimate.rate_book.currency
        self.fields["kind"].choices = [("", _("Choose what it is")), *SharedKind.choices]
        self.fields["amount"].help_text = _(
            "In %(currency)s, what it costs the studio; overhead and profit are added."
        ) % {"currency": self.currency}

    def layout(self) -> Layout:
        return Layout("kind", "description", side_by_side("amount", "phase"))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for problem in money_problems(cleaned.get("amount"), self.currency, "amount"):
            self.add_error(problem.field, problem.message)
        return cleaned
