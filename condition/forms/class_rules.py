"""The form of one rule of the classes, and what it would alter before it is saved."""

import hashlib
from typing import Any, Final

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from condition.forms.choices import kind_choices
from condition.models import ClassRule
from condition.models.choices import AmountUnit, RuleEffect, RuleFact
from condition.services.class_rules import place_last, rules_with
from condition.services.classes import Altered, altered_by
from sites.forms.base import RecordForm, group, side_by_side
from sites.forms.fields import CountField, NumberField

PREVIEWED: Final = "previewed"
LEVELS: Final = [("", _("not touched")), *((str(level), str(level)) for level in range(4))]


class LevelField(forms.TypedChoiceField):
    """A class from 0 to 3, or by how much one is raised; empty where the rule leaves it alone."""

    def __init__(self, **options: Any) -> None:
        super().__init__(choices=LEVELS, coerce=int, empty_value=None, required=False, **options)


class ClassRuleForm(RecordForm):
    """One rule. Before it is saved its page says which findings it would judge otherwise."""

    beside = RecordForm.beside | {PREVIEWED}

    at_least = NumberField(
        label=_("At least"), required=False, min_value=0, max_digits=10, decimal_places=2
    )
    share_at_least = NumberField(
        label=_("Share at least, %"),
        required=False,
        min_value=0,
        max_value=100,
        max_digits=5,
        decimal_places=2,
        help_text=_("Of the number counted, of the pieces or area; of the span of a bow."),
    )
    least_count = CountField(
        label=_("Least number"),
        required=False,
        min_value=1,
        max_value=10_000,
        help_text=_("Affected, while some of a known total remain: one tie of two is not half."),
    )
    needs = forms.MultipleChoiceField(
        label=_("What the reason claims"),
        choices=RuleFact.choices,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Tick what its words say besides what the rule asks."),
    )
    condition_class = LevelField(label=_("Condition"))
    urgency_class = LevelField(label=_("Urgency"))
    recommendation_class = LevelField(label=_("Recommendation"))

    class Meta:
        model = ClassRule
        fields = [
            "kind",
            "extent",
            "unit",
            "at_least",
            "share_at_least",
            "least_count",
            "when",
            "effect",
            "condition_class",
            "urgency_class",
            "recommendation_class",
            "reason",
            "needs",
            "otherwise",
            "source",
            "in_use",
        ]

    def prepare(self) -> None:
        kinds = list(self.instance.studio.finding_kinds.all())
        self.fields["kind"].queryset = self.instance.studio.finding_kinds.all()
        self.fields["kind"].choices = [("", _("Every kind")), *kind_choices(kinds)]
        self.fields["kind"].label = _("Kind of finding")
        self.fields["extent"].choices = [
            ("", _("Any extent")),
            *self.fields["extent"].choices[1:],
        ]
        self.fields["unit"].choices = [("", _("In any unit")), *AmountUnit.choices]
        self.fields["unit"].label = _("Measured in")
        self.fields["reason"].help_text = _(
            "One sentence, as it is to stand in the report. Where it names a figure, change both."
        )
        self.fields["otherwise"].help_text = _(
            "One sentence for where one of them is not so. Without it the rule does not speak then."
        )
        self.fields["when"].required = False

    def layout(self) -> Layout:
        return Layout(
            "kind",
            group(
                _("What it asks; what is left empty is not asked"),
                side_by_side("extent", "when"),
                side_by_side("at_least", "unit"),
                side_by_side("share_at_least", "least_count"),
            ),
            group(
                _("What it says"),
                "effect",
                side_by_side("condition_class", "urgency_class", "recommendation_class"),
                "reason",
                "needs",
                "otherwise",
                "source",
            ),
            "in_use",
        )

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if cleaned.get("at_least") is not None and not cleaned.get("unit"):
            self.add_error("unit", _("Say what the number counts or measures."))
        levels = ("condition_class", "urgency_class", "recommendation_class")
        given = [cleaned.get(name) for name in levels]
        if cleaned.get("effect") == RuleEffect.RAISES:
            given = [level for level in given if level]
        if all(level is None for level in given) or not given:
            self.add_error("condition_class", _("Give at least one class, or raise one."))
        return cleaned

    def _post_clean(self) -> None:
        if self.adds and "kind" in self.cleaned_data:
            self.instance.kind = self.cleaned_data["kind"]
            place_last(self.instance)
        super()._post_clean()

    def altered(self) -> list[Altered]:
        """Return the findings that the rule, as it is now in the form, would judge otherwise."""
        return altered_by(self.instance.studio, rules_with(self.instance))


def digest_of(form: ClassRuleForm, altered: list[Altered]) -> str:
    """Return a short text for what would be saved and altered: saved is only what was shown."""
    said = [f"{name}={form.cleaned_data[name]}" for name in form.fields]
    changes = [f"{each.finding.pk}:{each.before.levels}>{each.after.levels}" for each in altered]
    return hashlib.sha256("\n".join([*said, *changes]).encode()).hexdigest()[:32]
