"""The form of one row of the studio's table of dangers by kind."""

from typing import Any, Final

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from condition.compute.danger.facts import MeasureKind
from condition.models import DangerRow
from condition.models.choices import DangerEnd, MeasureFixedTo, MeasureTaken, TradeOf
from sites.forms.base import RecordForm, group

# Keeping people clear or telling somebody holds nothing: no studio can say that it does.
HOLDS_NOTHING: Final = {MeasureKind.KEPT_CLEAR, MeasureKind.TOLD, MeasureKind.NOT_POSSIBLE}
HOLDING: Final = [each for each in MeasureTaken.choices if each[0] not in HOLDS_NOTHING]
WORDS: Final = ("asked_when", "held_words", "clear_words", "end_words", "committee_words")


def _ticks(label: Any, choices: Any, help_text: Any = "") -> forms.MultipleChoiceField:
    return forms.MultipleChoiceField(
        label=label,
        choices=choices,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=help_text,
    )


class DangerRowForm(RecordForm):
    """What holds such a danger, and who may say that it is over, as the studio has it."""

    held_by = _ticks(_("Counts as made safe for now"), HOLDING)
    holds_on = _ticks(
        _("What is held must hold on to one of these"),
        MeasureFixedTo.choices,
        _("Held by anything else it counts as not held."),
    )
    judges = _ticks(_("Who may say that it is over, or cannot come down"), TradeOf.choices)
    floor_ends = _ticks(
        _("Can be judged from the floor"),
        DangerEnd.choices,
        _("Anything else needs a look from where it can be judged."),
    )

    class Meta:
        model = DangerRow
        fields = ["name", *WORDS, "held_by", "holds_on", "judges", "takers_end", "floor_ends"]
        widgets = {name: forms.Textarea(attrs={"rows": 2}) for name in WORDS}

    def layout(self) -> Layout:
        return Layout(
            "name",
            "asked_when",
            group(_("Made safe for now"), "held_by", "holds_on", "held_words", "clear_words"),
            group(_("Over"), "judges", "takers_end", "floor_ends", "end_words"),
            "committee_words",
        )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not cleaned.get("judges"):
            self.add_error("judges", _("Say who may judge it: without anybody it never ends."))
        if MeasureKind.HELD in cleaned.get("held_by", ()) and not cleaned.get("holds_on"):
            self.add_error("holds_on", _("Say what it must hold on to, or take “Held” away."))
        return cleaned
