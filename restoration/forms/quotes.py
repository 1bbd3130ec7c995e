"""The form that records what happened to a quote."""

from typing import Any

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from restoration.forms.fields import day_box
from restoration.models import Quote, QuoteEvent
from restoration.models.choices import Decision
from restoration.services.decisions import DecisionError, record_decision
from sites.forms.base import RecordForm, side_by_side
from sites.models import User


class QuoteEventForm(RecordForm):
    """Sent, accepted, declined or withdrawn: by whom, with what authority, on which day."""

    class Meta:
        model = QuoteEvent
        fields = ["decision", "day", "by_whom", "authority", "note"]
        widgets = {
            "decision": forms.RadioSelect,
            "day": day_box(),
            "note": forms.Textarea(attrs={"rows": 2}),
        }
        help_texts = {
            "by_whom": gettext_lazy("The person who decided; for Sent, who sent it."),
            "authority": gettext_lazy(
                "Minute, resolution or consent, with its date. Needed for an acceptance."
            ),
        }

    def __init__(self, *args: Any, quote: Quote, user: User, **kwargs: Any) -> None:
        super().__init__(*args, instance=QuoteEvent(quote=quote), **kwargs)
        self.quote, self.user = quote, user
        # A choice already made by the page would be a decision nobody took.
        self.fields["decision"].choices = Decision.choices

    def layout(self) -> Layout:
        return Layout("decision", side_by_side("day", "by_whom"), "authority", "note")

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        accepted = cleaned.get("decision") == Decision.ACCEPTED
        if accepted and "authority" in cleaned and not cleaned["authority"].strip():
            self.add_error(
                "authority",
                _("Say with what authority it was accepted: the minute, resolution or consent."),
            )
        return cleaned

    def store(self) -> bool:
        """Record the decision, or say why it cannot have been taken."""
        try:
            return super().store()
        except DecisionError as error:
            self.add_error(error.box, str(error))
            return False

    def write(self) -> None:
        record_decision(self.quote, self.instance, self.user)
