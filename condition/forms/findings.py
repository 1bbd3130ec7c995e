"""The form a finding is logged with: where, what, how far, how bad."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from condition.forms.choices import (
    earlier_choices,
    kind_choices,
    part_choices,
    part_value,
    read_part,
    row_of,
)
from condition.forms.fields import ClassField
from condition.models import Finding, FindingKind, Survey
from condition.models.choices import (
    AmountUnit,
    ConditionClass,
    Part,
    RecommendationClass,
    UrgencyClass,
)
from condition.services.classes import why_refused
from condition.services.findings import change_finding, log_finding
from sites.compute.plain_numbers import plain_number
from sites.forms.base import LENGTH_HELP, RecordForm, Words
from sites.forms.fields import CountField, NumberField
from sites.models import Opening

SHARES = (AmountUnit.PERCENT_OF_PIECES, AmountUnit.PERCENT_OF_AREA)
WHOLE = 100
CLASS_FIELDS = ("condition_class", "urgency_class", "recommendation_class")
FOLDED = ("span", "within", "datum", "picture_part", "water", "diagnosis")


class FindingForm(RecordForm):
    """One finding of a survey. A panel or item is chosen by one list, narrowed by the opening.

    narrowed: show the parts and earlier findings of the chosen opening alone.
    """

    beside = RecordForm.beside | {"next_here"}
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
            "kind",
            "side",
            "extent",
            "amount",
            "unit",
            "of_total",
            "position",
            "datum",
            "water",
            "diagnosis",
            "note",
            "hazard",
            "made_safe",
            *CLASS_FIELDS,
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
            "side": _("Side"),
            "extent": _("Extent"),
            "unit": _("Measured in"),
            "position": _("Where on it"),
            "datum": _("Measured from"),
            "water": _("Water comes in here"),
            "diagnosis": _("Diagnosis"),
            "note": _("Note"),
            "hazard": _("This can hurt someone"),
            "made_safe": _("Made safe by"),
        }
        help_texts = {
            "continues": _("The same thing seen again, worse, better or as it was."),
            "position": _("Lower right corner; third joint from the left."),
            "datum": _(
                "A straight edge on the inner face, a pencil mark, a nail: to be found again."
            ),
            "hazard": _("Falling glass or metal, a loose bar: tick it, then keep people away."),
            "made_safe": _("What was done before leaving, such as “area roped off”."),
        }

    def __init__(self, *args: Any, survey: Survey, narrowed: bool = False, **kwargs: Any) -> None:
        instance = kwargs.setdefault("instance", Finding(survey=survey))
        self.survey, self.is_new = survey, instance._state.adding
        initial = kwargs.setdefault("initial", {})
        initial.setdefault("picture_part", instance.part)
        if not self.is_new:
            initial.setdefault("part", part_value(instance.panel_id, instance.attached_item_id))
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
    def length_words(self) -> Words:
        return LENGTH_HELP[self.units]

    def clean_continues(self) -> Finding | None:
        earlier: Finding | None = self.cleaned_data["continues"]
        opening = self.cleaned_data.get("opening")
        if earlier and opening and earlier.opening_id != opening.pk:
            raise ValidationError(
                _("Finding %(number)s of %(day)s is at %(there)s, not at %(here)s."),
                params={
                    "number": earlier.number,
                    "day": f"{earlier.survey.day:%Y-%m-%d}",
                    "there": earlier.opening.number,
                    "here": opening.number,
                },
            )
        return earlier

    def clean_opening(self) -> Opening:
        opening: Opening = self.cleaned_data["opening"]
        moved = not self.is_new and opening.pk != self.initial.get("opening")
        if moved and Finding.objects.filter(continues=self.instance).exists():
            raise ValidationError(
                _("A later finding continues this one, so it cannot move to another opening.")
            )
        return opening

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        self._clean_part(cleaned)
        self._clean_amount(cleaned)
        self.instance.part = cleaned.get("picture_part", "")
        self._clean_classes(cleaned)
        return cleaned

    def write(self) -> None:
        if self.is_new:
            log_finding(self.instance)
        else:
            change_finding(self.instance)

    def _says_the_same(self, name: str) -> bool:
        # The record has a `part` of its own, which is not what the box of that name holds.
        return False if name == "part" else super()._says_the_same(name)

    def _clean_classes(self, cleaned: dict[str, Any]) -> None:
        levels = tuple(cleaned.get(name) for name in CLASS_FIELDS)
        diagnosed = bool(cleaned.get("diagnosis", "").strip())
        if refusal := why_refused(levels, bool(cleaned.get("hazard")), diagnosed):
            self.add_error(refusal.field, str(refusal))

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
        self.fields["continues"].queryset = earlier
        self.fields["continues"].choices = earlier_choices(earlier, self.openings, chosen, only)

    def _offer_units(self, narrowed: bool) -> None:
        """Put the units the chosen kind is measured in first, and choose its usual one.

        A unit chosen already gives way only where the kind itself has just been changed.
        """
        kind = self.chosen_kind
        usual = [AmountUnit(unit) for unit in kind.units] if kind else []
        units = [*usual, *(unit for unit in AmountUnit if unit not in usual)]
        choices = [(unit.value, unit.label) for unit in units]
        self.fields["unit"].choices = [("", "–"), *choices]
        unit = self.initial.get("unit", "")
        if usual and not self.is_bound and (not unit or (narrowed and unit not in usual)):
            self.initial["unit"] = usual[0].value

    def _earlier(self) -> Any:
        """Findings of earlier surveys of the building that nothing continues yet."""
        earlier = Finding.objects.of_building(self.survey.building).filter(
            survey__day__lte=self.survey.day
        )
        free = earlier.filter(continued_by__isnull=True) | earlier.filter(
            continued_by=self.instance.pk
        )
        return (
            free.exclude(survey=self.survey)
            .select_related("survey", "kind", "opening", "panel", "attached_item")
            .order_by("-survey__day", "number")
        )

    def _clean_part(self, cleaned: dict[str, Any]) -> None:
        self.instance.panel = self.instance.attached_item = None
        opening = cleaned.get("opening")
        if opening is None or "part" not in cleaned:
            return
        part = read_part(cleaned["part"])
        row = row_of(part)
        if row is not None and row.opening_id != opening.pk:
            text = _("%(part)s is not in %(opening)s: choose a panel or item of this opening.")
            self.add_error(
                "part", ValidationError(text, params={"part": row, "opening": opening.number})
            )
        elif part.panel:
            self.instance.panel = row
        elif part.item:
            self.instance.attached_item = row

    def _clean_amount(self, cleaned: dict[str, Any]) -> None:
        if self.errors.keys() & {"amount", "of_total", "unit"}:
            return
        if cleaned.get("amount") is None:
            if cleaned.get("of_total"):
                self.add_error("amount", _("Say how many of the %d.") % cleaned["of_total"])
            # The unit is offered by the kind; without a number it says nothing.
            cleaned["unit"] = ""
        elif not cleaned.get("unit"):
            kind = cleaned.get("kind")
            if kind and len(kind.units) == 1:
                cleaned["unit"] = kind.units[0]
            else:
                self.add_error("unit", _("Say what the number counts or measures."))
        self._clean_share(cleaned)

    def _clean_share(self, cleaned: dict[str, Any]) -> None:
        """What a number is out of: a total for a count, the whole for a percentage."""
        amount, total, unit = (cleaned.get(name) for name in ("amount", "of_total", "unit"))
        if amount is None or not unit:
            return
        if unit in SHARES and amount > WHOLE:
            self.add_error("amount", _("A share cannot be above 100 %."))
        if total and unit != AmountUnit.COUNT:
            self.add_error("of_total", _("Only a number of things is out of a total."))
        elif total and amount > total:
            text = _("The count, %(amount)s, is above the total it is out of.")
            params = {"amount": plain_number(amount)}
            self.add_error("of_total", ValidationError(text, params=params))
