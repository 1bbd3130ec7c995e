"""The form of a survey: when, who, how, and what it cannot tell."""

from datetime import date, timedelta

from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.utils.translation import gettext_lazy as _

from condition.models import Finding, Survey
from sites.forms.base import RecordForm, group, side_by_side
from sites.services.numbers import today_at

EARLIEST = date(1800, 1, 1)
AHEAD = timedelta(days=365)


class SurveyForm(RecordForm):
    """A visit: its facts are printed in the report, word for word."""

    class Meta:
        model = Survey
        fields = [
            "day",
            "surveyors",
            "client",
            "purpose",
            "method",
            "access",
            "weather",
            "limits",
            "distribution",
        ]
        widgets = {
            "day": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "method": forms.Textarea(attrs={"rows": 3}),
            "access": forms.Textarea(attrs={"rows": 2}),
            "limits": forms.Textarea(attrs={"rows": 3}),
            "distribution": forms.Textarea(attrs={"rows": 3}),
        }
        help_texts = {
            "surveyors": _("Everyone who looked, separated by semicolons."),
            "client": _("Everybody who may read the survey reads this: no telephone numbers."),
            "purpose": _("Why now: a survey before a repair appeal; a call after a storm."),
            "method": _("By eye from the floor; by hand from a tower; bows measured with a rule."),
            "access": _("Ladder, tower or lift, and where it stood."),
            "weather": _("Light and damp change what can be seen."),
            "limits": _("What could not be seen or reached, and so cannot be told."),
            "distribution": _(
                "One a line, in words that may be printed: an office, not an address."
            ),
        }

    def layout(self) -> Layout:
        return Layout(
            group(
                _("The visit"),
                side_by_side("day", "surveyors"),
                side_by_side("client", "purpose"),
            ),
            group(_("How it was done"), "method", "access", "weather", "limits"),
            group(_("The report"), "distribution"),
        )

    def clean_day(self) -> date:
        day: date = self.cleaned_data["day"]
        latest = today_at(self.instance.building) + AHEAD
        if not EARLIEST <= day <= latest:
            raise ValidationError(
                _("Check the year: a visit lies between 1800 and a year from today.")
            )
        self._check_before_and_after(day)
        return day

    def _check_before_and_after(self, day: date) -> None:
        """A finding continues one of an earlier visit: moving the day must leave that true."""
        rows, findings = Finding.objects, self.instance.findings.filter(survey__isnull=False)
        late = rows.filter(survey__day__gte=day).exclude(survey=self.instance.pk)
        earlier = findings.filter(Q(continues__in=late) | Q(also_from__in=late)).first()
        if earlier is not None:
            raise ValidationError(
                _("Finding %(n)d continues one of a later day than this: give a day after it.")
                % {"n": earlier.number}
            )
        early = rows.filter(survey__day__lte=day).exclude(survey=self.instance.pk)
        later = findings.filter(Q(continuations__in=early) | Q(joined_into__in=early)).first()
        if later is not None:
            raise ValidationError(
                _("Finding %(n)d is continued by one of an earlier day than this.")
                % {"n": later.number}
            )
