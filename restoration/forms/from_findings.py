"""The list of findings from which actions are ticked, with their quantities typed there."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any
from uuid import UUID

from django import forms
from django.utils.translation import gettext as _

from condition.models import ActionKind, Finding
from restoration.compute.estimate_rules import ActionData, action_problems
from restoration.forms.fields import kinds_by_step
from restoration.models import Estimate, RepairAction
from restoration.models.choices import Option
from restoration.services.estimates import ChosenAction, Suggestion, usual_option
from sites.compute.working import Working
from sites.forms.base import PAGE_KEY
from sites.forms.fields import CountField, NumberField
from sites.forms.idempotency import key_for, read_key
from sites.keys import uuid7


@dataclass(frozen=True)
class SuggestionRow:
    """A suggested kind of action with its tick and its quantity; neither where it is there."""

    kind: ActionKind
    already: bool
    tick: forms.BoundField | None
    quantity: forms.BoundField | None
    working: Working | None = None


@dataclass(frozen=True)
class FindingRow:
    """A finding with what is suggested for it, and the boxes that hold for all of that."""

    finding: Finding
    suggestions: list[SuggestionRow]
    other: forms.BoundField
    other_quantity: forms.BoundField
    option: forms.BoundField
    phase: forms.BoundField


def _name(what: str, finding: Finding, kind: ActionKind | None = None) -> str:
    return f"{what}-{finding.pk.hex}" + (f"-{kind.pk.hex}" if kind else "")


class FromFindingsForm(forms.Form):
    """Ticks and quantities for each finding. Raises nothing: what is wrong is an error of a box.

    The page carries a key: sent twice with the same content it adds its actions once.
    """

    def __init__(
        self,
        *args: Any,
        estimate: Estimate,
        findings: Sequence[Finding],
        suggestions: dict[UUID, list[Suggestion]],
        kinds: Sequence[ActionKind],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.page_key = read_key(self.data.get(PAGE_KEY)) or uuid7()
        beside = {PAGE_KEY, "csrfmiddlewaretoken"}
        action = RepairAction(estimate=estimate)
        self.first_key = key_for(self.page_key, action, self.data, self.files, beside)
        self.findings, self.suggestions = findings, suggestions
        self.by_key = {str(kind.pk): kind for kind in kinds}
        self.kind_choices = [("", _("None")), *kinds_by_step(list(kinds))]
        for finding in findings:
            self._add_boxes(finding)

    def saved_before(self) -> bool:
        """Whether this very page, with the same content, has added its actions already."""
        return self.is_bound and RepairAction.objects.filter(pk=self.first_key).exists()

    def rows(self) -> list[FindingRow]:
        """The boxes as the page lays them out, finding by finding."""
        return [
            FindingRow(
                finding=finding,
                suggestions=[
                    self._row(finding, each) for each in self.suggestions.get(finding.pk, [])
                ],
                other=self[_name("other", finding)],
                other_quantity=self[_name("amount", finding)],
                option=self[_name("option", finding)],
                phase=self[_name("phase", finding)],
            )
            for finding in self.findings
        ]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self.chosen = [each for finding in self.findings for each in self._chosen(finding, cleaned)]
        if not self.chosen and not self.errors:
            self.add_error(None, _("Tick at least one action, or choose another kind of work."))
        return cleaned

    def _chosen(self, finding: Finding, cleaned: dict[str, Any]) -> list[ChosenAction]:
        """What was ticked for a finding, and the other kind of work chosen for it."""
        picked = [
            (each.kind, cleaned.get(_name("quantity", finding, each.kind)))
            for each in self.suggestions.get(finding.pk, [])
            if not each.already and cleaned.get(_name("do", finding, each.kind))
        ]
        for kind, quantity in picked:
            self._check(quantity, kind, _name("quantity", finding, kind))
        amount = cleaned.get(_name("amount", finding))
        other = self.by_key.get(cleaned.get(_name("other", finding), ""))
        if other is not None:
            picked.append((other, amount))
            self._check(amount, other, _name("amount", finding))
        elif amount is not None:
            self.add_error(_name("other", finding), _("Choose the work this quantity is of."))
        return [
            ChosenAction(
                finding=finding,
                kind=kind,
                quantity=quantity,
                option=cleaned.get(_name("option", finding), Option.ADVISED),
                phase=cleaned.get(_name("phase", finding), 1),
            )
            for kind, quantity in picked
        ]

    def _check(self, quantity: Decimal | None, kind: ActionKind, box: str) -> None:
        for problem in action_problems(ActionData(quantity=quantity), kind.unit, ""):
            self.add_error(box, problem.message)

    def _add_boxes(self, finding: Finding) -> None:
        for each in self.suggestions.get(finding.pk, []):
            if not each.already:
                self._add_suggestion(finding, each)
        place = {"number": finding.number, "where": finding.subject_label}
        self.fields[_name("other", finding)] = forms.ChoiceField(
            label=_("Another kind of work for finding %(number)s") % place,
            choices=self.kind_choices,
            required=False,
        )
        self.fields[_name("amount", finding)] = _quantity(
            _("How much of it, for finding %(number)s") % place
        )
        self.fields[_name("option", finding)] = forms.ChoiceField(
            label=_("How pressing, for finding %(number)s") % place,
            choices=Option.choices,
            initial=usual_option(finding),
        )
        self.fields[_name("phase", finding)] = CountField(
            label=_("Phase, for finding %(number)s") % place,
            min_value=1,
            max_value=99,
            initial=1,
        )

    def _add_suggestion(self, finding: Finding, suggestion: Suggestion) -> None:
        kind, quantity = suggestion.kind, suggestion.quantity
        self.fields[_name("do", finding, kind)] = forms.BooleanField(
            label=kind.name, required=False, widget=forms.CheckboxInput
        )
        self.fields[_name("quantity", finding, kind)] = _quantity(
            _("Quantity of %(work)s, for finding %(number)s")
            % {"work": kind.name, "number": finding.number},
            initial=quantity,
        )

    def _row(self, finding: Finding, suggestion: Suggestion) -> SuggestionRow:
        kind = suggestion.kind
        if suggestion.already:
            return SuggestionRow(kind, True, None, None)
        tick, quantity = _name("do", finding, kind), _name("quantity", finding, kind)
        return SuggestionRow(kind, False, self[tick], self[quantity], suggestion.working)


def _quantity(label: str, initial: Decimal | None = None) -> NumberField:
    return NumberField(label=label, required=False, initial=initial)
