"""The forms in which classes are set: of a finding, and of a whole subject."""

from dataclasses import replace
from typing import Any

from django import forms
from django.db import transaction
from django.utils.translation import gettext_lazy as _

from condition.compute.classes.propose import Proposal
from condition.forms.fields import ClassField
from condition.models import Finding, SubjectAssessment
from condition.models.choices import ConditionClass, RecommendationClass, UrgencyClass
from condition.services.classes import (
    grounds_of,
    note_classes,
    proposal_if,
    refuse_classes,
    refuse_subject,
    set_subject,
)
from sites.forms.base import RecordForm
from sites.models import AttachedItem, Opening, Panel, User
from sites.services.recording import NotRecordedError

CLASS_FIELDS = ("condition_class", "urgency_class", "recommendation_class")
WHY = _("Needed where it is otherwise than proposed. It stands in the report.")


class ThreeClassesForm(RecordForm):
    """Condition, urgency and recommendation, all three, and why they are not those proposed."""

    reason_field = "reason"

    condition_class = ClassField(classes=ConditionClass, label=_("Condition"))
    urgency_class = ClassField(classes=UrgencyClass, label=_("Urgency"))
    recommendation_class = ClassField(classes=RecommendationClass, label=_("Recommendation"))

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        self.user = user
        super().__init__(*args, **kwargs)

    def prepare(self) -> None:
        for name in CLASS_FIELDS:
            self.fields[name].required = True
            # Here all three are set: to leave one open is a choice of the finding's own form.
            self.fields[name].choices = self.fields[name].choices[1:]
        self.fields[self.reason_field].label = _("Why otherwise")
        self.fields[self.reason_field].help_text = WHY

    @property
    def levels(self) -> tuple[int, int, int]:
        condition, urgency, recommendation = (self.cleaned_data[name] for name in CLASS_FIELDS)
        return condition, urgency, recommendation

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if all(cleaned.get(name) is not None for name in CLASS_FIELDS):
            try:
                self.refuse(str(cleaned.get(self.reason_field, "")))
            except NotRecordedError as refusal:
                for problem in refusal.problems:
                    is_reason = problem.field == "classes_reason"
                    box = self.reason_field if is_reason else problem.field
                    self.add_error(box, str(problem.message))
        return cleaned

    def refuse(self, reason: str) -> None:
        """Raise NotRecordedError for classes that cannot be set."""
        raise AssertionError("each form says what cannot be")


class FindingClassesForm(ThreeClassesForm):
    """The classes of a finding, and its diagnosis: a major measure needs one."""

    reason_field = "classes_reason"

    class Meta:
        model = Finding
        fields = [*CLASS_FIELDS, "classes_reason", "diagnosis"]
        widgets = {"diagnosis": forms.Textarea(attrs={"rows": 3})}

    def proposed(self) -> Proposal:
        return proposal_if(self.instance, diagnosed=bool(self.cleaned_data["diagnosis"].strip()))

    def refuse(self, reason: str) -> None:
        diagnosed = bool(self.cleaned_data["diagnosis"].strip())
        grounds = replace(grounds_of(self.instance), diagnosed=diagnosed)
        refuse_classes(self.levels, self.proposed(), reason, grounds)

    @transaction.atomic
    def write(self) -> None:
        self.instance.save(update_fields=["diagnosis"])
        reason = self.cleaned_data["classes_reason"]
        note_classes(self.instance, self.levels, reason, self.user, self.proposed())


class SubjectClassesForm(ThreeClassesForm):
    """The classes of an opening, a panel or an item as a whole, at one survey."""

    class Meta:
        model = SubjectAssessment
        fields = [*CLASS_FIELDS, "reason"]

    def __init__(self, *args: Any, subject: Opening | Panel | AttachedItem, **kwargs: Any) -> None:
        self.subject = subject
        super().__init__(*args, **kwargs)

    def refuse(self, reason: str) -> None:
        refuse_subject(self.instance.survey, self.subject, self.levels, reason)

    def write(self) -> None:
        reason = self.cleaned_data["reason"]
        set_subject(self.instance.survey, self.subject, self.levels, reason, self.user)
