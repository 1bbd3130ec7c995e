"""The form a finding is logged with: where, what, how far, how bad."""

from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django import forms
from django.db.models import Exists, OuterRef, Q
from django.utils.translation import gettext_lazy as _

from condition.compute.recording.facts import FindingData
from condition.forms.choices import (
    earlier_choices,
    kind_choices,
    part_choices,
    part_value,
    read_part,
)
from condition.forms.fields import ClassField
from condition.forms.recorded import RecordedForm
from condition.models import Finding, FindingKind, Survey
from condition.models.choices import (
    AmountUnit,
    ConditionClass,
    FallAnswer,
    MeasureFixedTo,
    MeasureTaken,
    Part,
    RecommendationClass,
    UrgencyClass,
)
from condition.services.recording.dangers import answer_of
from condition.services.recording.findings import change_finding, check_finding, record_finding
from sites.compute.lengths import Length
from sites.forms.base import LENGTH_HELP, Words
from sites.forms.fields import CountField, NumberField
from sites.models import Opening
from sites.services.recording import Problem

CLASS_FIELDS = ("condition_class", "urgency_class", "recommendation_class")
# Boxes whose values are taken as they are read.
AS_READ = (
    "side", "extent", "of_total", "not_measured", "position", "water", "datum", "diagnosis", "note",
    "subject_change", "seen_from", "because", "measure", "fixed_to", "done", "keeper", "look_by",
    "placed", "holder", *CLASS_FIELDS, "classes_reason",
)  # fmt: skip
MEASURE_BOXES = ("fixed_to", "done", "keeper", "look_by", "placed", "holder")
FOLDED = ("span", "within", "datum", "picture_part", "water", "diagnosis")


class FindingForm(RecordedForm):
    """One finding of a survey. A panel or item is chosen by one list, narrowed by the opening.

    narrowed: show the parts and earlier findings of the chosen opening alone.
    """

    beside = RecordedForm.beside | {"next_here"}
    boxes = {"panel": "part", "attached_item": "part", "in_what": "picture_part"}
    lengths = {"span": _("Over what span"), "within": _("Measured to within")}

    # The part of the window is the box "part"; this is what of the picture it lies in.
    picture_part = forms.ChoiceField(
        label=_("In what of the picture"),
        required=False,
        choices=[("", _("Not said")), *Part.choices],
        help_text=_("A head, a hand or an inscription outranks the background."),
    )
    part = forms.ChoiceField(label=_("Panel or attached item"), required=False)
    amount = NumberField(
        label=_("How much"), required=False, min_value=0, max_digits=10, decimal_places=2
    )
    of_total = CountField(label=_("Out of"), required=False, min_value=1, max_value=1_000_000)
    condition_class = ClassField(
        classes=ConditionClass,
        label=_("Condition"),
        help_text=_("How strongly the damage shows today."),
    )
    urgency_class = ClassField(
        classes=UrgencyClass,
        label=_("Urgency"),
        help_text=_("How soon something has to be done."),
    )
    recommendation_class = ClassField(
        classes=RecommendationClass,
        label=_("Recommendation"),
        help_text=_("What sort of measure it calls for."),
    )

    class Meta:
        model = Finding
        fields = [
            "opening",
            "continues",
            "subject_change",
            "kind",
            "side",
            "extent",
            "amount",
            "unit",
            "of_total",
            "not_measured",
            "position",
            "datum",
            "water",
            "seen_from",
            "diagnosis",
            "note",
            *CLASS_FIELDS,
            "classes_reason",
        ]
        widgets = {
            "side": forms.RadioSelect,
            "extent": forms.RadioSelect,
            "note": forms.Textarea(attrs={"rows": 3}),
            "diagnosis": forms.Textarea(attrs={"rows": 3}),
        }
        labels = {
            "opening": _("Opening"),
            "kind": _("What it is"),
            "continues": _("Seen at an earlier survey"),
            "subject_change": _("It was on another panel or item then: how that comes"),
            "side": _("Side"),
            "extent": _("Extent"),
            "unit": _("Measured in"),
            "not_measured": _("Or not measured"),
            "position": _("Where on it"),
            "datum": _("Measured from"),
            "water": _("Water comes in here"),
            "seen_from": _("Seen from"),
            "diagnosis": _("Diagnosis"),
            "note": _("Note"),
            "classes_reason": _("Why these classes"),
        }
        help_texts = {
            "continues": _("The same thing seen again, worse, better or as it was."),
            "subject_change": _(
                "The panels were renumbered; it has spread; it was put down wrong."
            ),
            "seen_from": _(
                "A later look from the floor says that it is gone only if it was seen from there."
            ),
            "position": _("Lower right corner; third joint from the left."),
            "datum": _(
                "A straight edge on the inner face, a pencil mark, a nail: to be found again."
            ),
            "classes_reason": _(
                "Asked for where the classes need a word. It stands in the report."
            ),
        }

    answer = forms.ChoiceField(
        label=_("Can it come down?"),
        choices=[("", _("Not answered")), *FallAnswer.choices],
        required=False,
        widget=forms.RadioSelect,
        help_text=_("Or cut, or shock. Of what can fall no answer counts as danger."),
    )
    because = forms.CharField(
        label=_("If not: because"),
        max_length=400,
        required=False,
        help_text=_("Pulled, steady; trapped in its leads. Printed with who judged it."),
    )
    measure = forms.ChoiceField(
        label=_("Done at once"),
        choices=[("", _("Nothing yet")), *MeasureTaken.choices],
        required=False,
        widget=forms.RadioSelect,
    )
    fixed_to = forms.ChoiceField(
        label=_("Held by"), choices=[("", "–"), *MeasureFixedTo.choices], required=False
    )
    done = forms.CharField(
        label=_("In words"),
        max_length=400,
        required=False,
        help_text=_("Wired to the lower saddle bar at both ends."),
    )
    keeper = forms.CharField(label=_("Who keeps it"), max_length=160, required=False)
    look_by = forms.DateField(
        label=_("Look again by"),
        required=False,
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        help_text=_("Left empty: tape in 7 days, wire or board in 30."),
    )
    placed = forms.CharField(label=_("Taken away: where it is"), max_length=240, required=False)
    holder = forms.CharField(label=_("Who holds it"), max_length=160, required=False)
    also_from = forms.ModelMultipleChoiceField(
        queryset=Finding.objects.none(),
        label=_("It also comes from"),
        required=False,
        help_text=_("Others that have come together with it in this one; more with Ctrl or ⌘."),
    )

    def __init__(self, *args: Any, survey: Survey, narrowed: bool = False, **kwargs: Any) -> None:
        instance = kwargs.setdefault("instance", Finding(survey=survey))
        self.survey, self.is_new = survey, instance._state.adding
        initial = kwargs.setdefault("initial", {})
        initial.setdefault("picture_part", instance.part)
        if not self.is_new:
            initial.setdefault("answer", answer_of(instance) or "")
            initial.setdefault("part", part_value(instance.panel_id, instance.attached_item_id))
            initial["also_from"] = list(instance.also_from.values_list("pk", flat=True))
        super().__init__(*args, **kwargs)
        self._fill_choices(narrowed)

    @property
    def chosen_opening(self) -> Opening | None:
        """The opening named so far, by what was posted or by where the page was opened from."""
        named = str(self["opening"].value() or "")
        return next((each for each in self.openings if str(each.pk) == named), None)

    @property
    def chosen_kind(self) -> FindingKind | None:
        """The kind named so far, for what to measure and in which units."""
        named = str(self["kind"].value() or "")
        return next((kind for kind in self.kinds if str(kind.pk) == named), None)

    @property
    def has_earlier(self) -> bool:
        """Whether an earlier survey found anything here that this could continue."""
        return len(self.fields["continues"].choices) > 1

    @property
    def says_how_measured(self) -> bool:
        """Whether something stands in the boxes that are folded away, or is wrong there."""
        return any(self[name].value() for name in FOLDED) or bool(self.errors.keys() & set(FOLDED))

    @property
    def says_measure(self) -> bool:
        """Whether something stands in the boxes of a measure, or is wrong there."""
        typed = any(self[name].value() for name in ("measure", *MEASURE_BOXES))
        return typed or bool(self.errors.keys() & {"measure", *MEASURE_BOXES})

    @property
    def length_words(self) -> Words:
        return LENGTH_HELP[self.units]

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        self.data_read = self._read(cleaned)
        return check_finding(self.data_read, self.user, None if self.is_new else self.instance)

    def write(self) -> None:
        if self.is_new:
            self.recorded = record_finding(self.data_read, self.instance.pk, self.user)
        else:
            self.recorded = change_finding(self.instance, self.data_read, self.user)

    def _says_the_same(self, name: str) -> bool:
        # The record has a `part` of its own, which is not what the box of that name holds.
        return False if name == "part" else super()._says_the_same(name)

    def _read(self, cleaned: Mapping[str, Any]) -> FindingData:
        """Return what stands in the boxes; one that could not be read is taken as empty."""
        part = read_part(cleaned.get("part") or "")
        amount = cleaned.get("amount")
        by_name: dict[str, Any] = {
            **{name: _key(cleaned.get(name)) for name in ("opening", "kind", "continues")},
            **{name: self._length(name, cleaned) for name in self.lengths},
            **{name: cleaned[name] for name in AS_READ if name in cleaned},
        }
        return FindingData(
            survey=self.survey.pk,
            also_from=tuple(each.pk for each in cleaned.get("also_from") or ()),
            panel=part.panel,
            attached_item=part.item,
            in_what=cleaned.get("picture_part") or "",
            amount=amount,
            # Left open, nobody was asked, unless the kind asks.
            answer=cleaned.get("answer") or None,
            # The unit is offered by the kind; without a number it says nothing.
            unit=cleaned.get("unit") or "" if amount is not None else "",
            **by_name,
        )

    def _length(self, name: str, cleaned: Mapping[str, Any]) -> Length | None:
        # Left as it was, the words first typed stay, whatever this user's own unit is.
        mm = getattr(self.instance, f"{name}_mm")
        if name not in self.changed_data and mm is not None:
            return Length(getattr(self.instance, f"{name}_typed"), mm)
        return cleaned.get(name)

    def _fill_choices(self, narrowed: bool) -> None:
        building = self.survey.building
        self.openings = list(building.openings.all())
        self.kinds = list(building.studio.finding_kinds.all())
        self.fields["opening"].queryset = building.openings.all()
        self.fields["opening"].choices = [
            ("", _("Choose the opening")),
            *((str(opening.pk), str(opening)) for opening in self.openings),
        ]
        self.fields["kind"].queryset = building.studio.finding_kinds.all()
        self.fields["kind"].choices = [("", _("Choose what it is")), *kind_choices(self.kinds)]
        self._offer_units(narrowed)
        chosen = self.chosen_opening
        only = narrowed and chosen is not None
        self.fields["part"].choices = part_choices(self.openings, chosen, only)
        earlier = self._earlier()
        choices = earlier_choices(earlier, self.openings, chosen, only)
        for name in ("continues", "also_from"):
            self.fields[name].queryset = earlier
        self.fields["continues"].choices = choices
        self.fields["also_from"].choices = choices[1:]

    def _offer_units(self, narrowed: bool) -> None:
        """Offer the units the chosen kind is measured in, and choose its usual one.

        A unit chosen already gives way only where the kind itself has just been changed.
        """
        kind = self.chosen_kind
        usual = [AmountUnit(unit) for unit in kind.units] if kind else []
        offered = AmountUnit if self.is_bound or not usual else ()
        kept = {self.initial.get("unit", "")}
        units = [*usual, *(u for u in AmountUnit if u not in usual and (u in offered or u in kept))]
        choices = [(unit.value, unit.label) for unit in units]
        self.fields["unit"].choices = [("", "–"), *choices]
        unit = self.initial.get("unit", "")
        if usual and not self.is_bound and (not unit or (narrowed and unit not in usual)):
            self.initial["unit"] = usual[0].value

    def _earlier(self) -> Any:
        """Findings of earlier surveys of the building that no survey before this one continues.

        One that this survey continues already is among them: it may have become several.
        """
        before = {"survey__day__lt": self.survey.day}
        continued = Finding.objects.filter(continues=OuterRef("pk"), **before)
        joined = Finding.objects.filter(also_from=OuterRef("pk"), **before)
        named = Q(pk=self.instance.continues_id) | Q(pk__in=self.initial.get("also_from", ()))
        return (
            Finding.objects.of_building(self.survey.building)
            .filter((~Exists(continued) & ~Exists(joined)) | named, **before)
            .select_related("survey", "kind", "opening", "panel", "attached_item")
            .order_by("-survey__day", "number")
        )


def _key(row: Any) -> UUID | None:
    return None if row is None else row.pk
