"""One press beside an earlier finding: which answer, and from where it was looked for."""

from typing import Any
from uuid import UUID

from django import forms
from django.utils.translation import gettext_lazy as _

from condition.models.choices import SeenFrom
from sites.forms.idempotency import read_key


class AnswerForm(forms.Form):
    """Every button of the page sends this one form; its value names the answer and the finding."""

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

    @property
    def pressed(self) -> tuple[str, UUID | None]:
        """The answer and the key of the finding that were pressed; nonsense gives no key."""
        answer, _colon, key = str(self.cleaned_data.get("answer") or "").partition(":")
        return answer, read_key(key)

    def show(self, problems: Any) -> None:
        """Put each problem beside its box, or above all of them."""
        for problem in problems:
            self.add_error(problem.field if problem.field == "reason" else None, problem.message)
