"""One press beside an earlier finding: which answer, and from where it was looked for."""

from typing import Any, Final
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from condition.models import Finding
from condition.models.choices import SeenFrom
from sites.forms.idempotency import read_key

STILL, WORSE, GONE, NOT_SEEN = "still", "worse", "gone", "not-seen"
ANSWERS: Final = (STILL, WORSE, GONE, NOT_SEEN)


class AnswerForm(forms.Form):
    """Every button of the page sends this one form; its value names the answer and the finding.

    offered: the findings that can be answered, by key.
    """

    seen_from = forms.ChoiceField(
        label=_("Looked for from"), choices=SeenFrom.choices, initial=SeenFrom.FLOOR
    )
    reason = forms.CharField(
        label=_("If it cannot be seen, because"),
        max_length=240,
        required=False,
        help_text=_("The organ loft was locked. It stays for the next ones."),
    )
    answer = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, offered: dict[UUID, Finding], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.offered = offered

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        what, _colon, key = str(cleaned.get("answer") or "").partition(":")
        finding = self.offered.get(read_key(key)) if what in ANSWERS else None
        if finding is None:
            raise ValidationError(_("That finding is answered already, or is not asked for here."))
        if what == NOT_SEEN and not cleaned.get("reason") and "reason" not in self.errors:
            self.add_error("reason", _("Say why it cannot be seen, then press again."))
        cleaned["what"], cleaned["finding"] = what, finding
        return cleaned
