"""The form of a building's report terms: times of each urgency, and a report's shelf life."""

from typing import Final

from crispy_forms.layout import Layout
from django.core.validators import MaxValueValidator
from django.utils.translation import gettext_lazy as _

from condition.models import ReportTerms
from sites.forms.base import RecordForm, group, side_by_side
from sites.services.numbers import today_at

MOST: Final = {
    "immediate_months": 24,
    "short_years": 100,
    "intermediate_years": 100,
    "long_years": 100,
    "shelf_months": 600,
}


class ReportTermsForm(RecordForm):
    """What was agreed with the client: the standard sets no years, so they are theirs to set."""

    class Meta:
        model = ReportTerms
        fields = [
            "immediate_months",
            "short_years",
            "intermediate_years",
            "long_years",
            "shelf_months",
            "relied_on_by",
        ]
        labels = {
            "immediate_months": _("Urgent and immediate: within how many months"),
            "short_years": _("Short term: within how many years"),
            "intermediate_years": _("Intermediate term: within how many years"),
            "long_years": _("Long term: looked at again within how many years"),
            "shelf_months": _("A report may be relied on for how many months"),
            "relied_on_by": _("Who may rely on it"),
        }
        help_texts = {
            "immediate_months": _("A danger is made safe at once whatever stands here."),
            "shelf_months": _("Counted from the day of the visit."),
            "relied_on_by": _("An office or a body, not a person's address. Empty: the client."),
        }

    def prepare(self) -> None:
        """Beyond these nobody plans, and the calendar ends."""
        for name in self.fields.keys() & MOST.keys():
            self.fields[name].validators.append(MaxValueValidator(MOST[name]))
            self.fields[name].widget.attrs["max"] = MOST[name]

    def write(self) -> None:
        self.instance.save_as_of(today_at(self.instance.building))

    def layout(self) -> Layout:
        return Layout(
            group(
                _("The time each class of urgency leaves"),
                side_by_side("immediate_months", "short_years"),
                side_by_side("intermediate_years", "long_years"),
            ),
            group(_("The report"), side_by_side("shelf_months", "relied_on_by")),
        )
