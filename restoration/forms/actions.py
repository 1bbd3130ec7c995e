"""The form of one repair action."""

from dataclasses import replace
from typing import Any

from crispy_forms.layout import HTML, Layout
from django import forms
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from condition.models import Finding
from restoration.compute.estimate_rules import ActionData
from restoration.forms.fields import (
    PhaseField,
    SubjectField,
    kinds_by_step,
)
from restoration.models import Estimate, RepairAction
from restoration.services.action_recording import ACTIONS
from restoration.services.estimates import findings_to_price
from sites.forms.base import group, side_by_side
from sites.forms.recorded import RecordedForm
from sites.models import AttachedItem, Opening, Panel

# Filled anew when another kind is chosen; a reader is told of it.
KIND_FACTS = HTML(
    '<div class="kind-facts" id="kind-facts" aria-live="polite">'
    '{% include "restoration/_kind_facts.html" with kind=kind cautions=cautions only %}</div>'
)


class FindingsField(forms.ModelMultipleChoiceField):
    def label_from_instance(self, finding: Finding) -> str:
        return f"{finding.number} · {finding.subject_label} · {finding.kind.name}"


class ActionForm(RecordedForm):
    """One kind of work on one thing, with its quantity, its words and its price if agreed."""

    usual = {"lump_sum": "sum"}
    recording = ACTIONS
    boxes = dict.fromkeys(("opening", "panel", "attached_item"), "where")

    where = SubjectField(label=gettext_lazy("Where"))
    findings = FindingsField(
        queryset=Finding.objects.none(),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        label=gettext_lazy("Because of"),
    )

    class Meta:
        model = RepairAction
        fields = [
            "kind",
            "quantity",
            "scope",
            "difficulty",
            "option",
            "phase",
            "lump_sum",
            "lump_sum_reason",
        ]
        labels = {"kind": gettext_lazy("Kind of work")}
        field_classes = {"phase": PhaseField}
        widgets = {"scope": forms.Textarea(attrs={"rows": 3})}
        help_texts = {
            "quantity": gettext_lazy("Left empty, the estimate names it as missing."),
            "scope": gettext_lazy(
                "In plain words, for the client. Say too why a milder step would not do."
            ),
            "difficulty": gettext_lazy(
                "Multiplies the hours: 1 is the bench or easy reach, more is overhead or awkward."
            ),
            "phase": gettext_lazy("From 1."),
            "lump_sum_reason": gettext_lazy("Needed with a lump sum."),
        }

    def __init__(self, *args: Any, estimate: Estimate, **kwargs: Any) -> None:
        kwargs.setdefault("instance", RepairAction(estimate=estimate))
        super().__init__(*args, **kwargs)
        self.instance.estimate = self.estimate = estimate
        self.currency = estimate.rate_book.currency
        self.fields["where"].offer(estimate.building)
        self._offer_kinds()
        self._offer_findings()
        self.fields["lump_sum"].help_text = _(
            "In %(currency)s: the price itself, instead of hours and materials."
        ) % {"currency": self.currency}
        self.helper.layout = self.layout()

    def layout(self) -> Layout:
        because = [group(gettext_lazy("Why"), "findings")] if "findings" in self.fields else []
        return Layout(
            group(gettext_lazy("What and where"), "where", "kind", KIND_FACTS, "scope"),
            group(gettext_lazy("How much"), side_by_side("quantity", "difficulty")),
            group(gettext_lazy("When and how pressing"), side_by_side("option", "phase")),
            group(gettext_lazy("A lump sum instead"), side_by_side("lump_sum", "lump_sum_reason")),
            *because,
        )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if subject := cleaned.get("where"):
            action = self.instance
            action.opening = subject if isinstance(subject, Opening) else subject.opening
            action.panel = subject if isinstance(subject, Panel) else None
            action.attached_item = subject if isinstance(subject, AttachedItem) else None
        return cleaned

    def record_data(self) -> ActionData:
        data: ActionData = super().record_data()
        if "findings" not in self.cleaned_data:
            return data
        return replace(data, findings=tuple(each.pk for each in self.cleaned_data["findings"]))

    def _offer_kinds(self) -> None:
        kinds = self.estimate.building.studio.action_kinds.all()
        self.fields["kind"].queryset = kinds
        self.fields["kind"].widget.attrs |= {
            "hx-get": reverse("restoration:action-add", args=[self.estimate.pk]),
            "hx-trigger": "change",
            "hx-target": "#kind-facts",
        }
        self.fields["kind"].choices = [("", _("Choose the work")), *kinds_by_step(list(kinds))]

    def _offer_findings(self) -> None:
        """Offer the findings at the opening, so that the reason can be named."""
        opening = self.initial.get("opening") or self.instance.opening_id
        there = findings_to_price(self.estimate).filter(opening=opening)
        own = [] if self.instance._state.adding else list(self.instance.findings.all())
        reasons = there.model.objects.filter(
            Q(pk__in=there.values("pk")) | Q(pk__in=[each.pk for each in own])
        ).select_related("kind", "opening", "panel", "attached_item")
        if not reasons:
            del self.fields["findings"]
            return
        self.fields["findings"].queryset = reasons
        self.initial.setdefault("findings", own)
