"""Forms of a make-safe notice: what is issued at once; an area reopened, or a notice taken back."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any, Final

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Layout
from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from condition.compute.danger.closing import ClosureEndData, EndOfClosure
from condition.documents.make_safe.build import NoticeWords
from condition.forms.recorded import RecordedForm
from condition.models import Area, AreaClosure, ClosureEnd, Danger, MakeSafeNotice, Photograph
from condition.models.choices import HowKnown, MeasureFixedTo, MeasureTaken, TradeOf
from condition.services.notices import latest_sighting
from condition.services.recording.closures import (
    end_closures,
    may_withdraw,
    now_at,
    why_not_opened,
)
from sites.forms.base import group, side_by_side
from sites.models import Job, User
from sites.services.numbers import today_at
from sites.services.recording import Problem

MINUTE_FORMS: Final = ("%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M")
TYPED: Final = ("hazard", "done", "told", "new_area", "placed", "holder")
CHOSEN: Final = ("measure", "fixed_to", "done_on", "closed_at")


class ClockField(forms.Field):
    """A day and a time by the building's own clock, as a phone's picker gives it."""

    widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M")

    def to_python(self, value: Any) -> datetime | None:
        if not value or isinstance(value, datetime):
            return value or None
        for written in MINUTE_FORMS:
            try:
                return datetime.strptime(str(value).strip(), written).replace(second=0)
            except ValueError:
                continue
        raise ValidationError(_("Enter the day and the time: 2026-05-12 14:30."))


def _words(label: Any, longest: int, rows: int, help_text: Any) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=longest,
        widget=forms.Textarea(attrs={"rows": rows}),
        help_text=help_text,
        error_messages={"required": _("This must be filled in.")},
    )


class NoticeForm(forms.Form):
    """What stands on the door: short words, written on a phone."""

    fields: dict[str, Any]

    hazard = _words(
        _("What can hurt someone"),
        300,
        3,
        _("As you found it: what hangs, leans or has fallen, and on whom it would come down."),
    )
    areas = forms.ModelMultipleChoiceField(
        queryset=Area.objects.none(),
        required=False,
        label=_("Areas to close"),
        widget=forms.CheckboxSelectMultiple,
    )
    new_area = forms.CharField(
        label=_("Or an area that has no name yet"),
        max_length=240,
        required=False,
        help_text=_("So that a stranger knows where not to go: both its ends."),
    )
    closed_at = ClockField(label=_("Closed since"))
    measure = forms.ChoiceField(
        label=_("What was done"), choices=MeasureTaken.choices, widget=forms.RadioSelect
    )
    fixed_to = forms.ChoiceField(
        label=_("Fixed to"), choices=[("", _("Nothing")), *MeasureFixedTo.choices], required=False
    )
    done = _words(_("In words"), 240, 2, _("Taken down, propped, taped, roped off: and by whom."))
    done_on = forms.DateField(
        label=_("Done on"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        error_messages={"required": _("This must be filled in.")},
    )
    placed = forms.CharField(
        label=_("If it was taken away: where it is now"), max_length=240, required=False
    )
    holder = forms.CharField(label=_("Who holds it"), max_length=160, required=False)
    told = _words(
        _("Who was told"),
        240,
        2,
        _("By office rather than by name, and how: the notice hangs where anybody reads it."),
    )
    photograph = forms.ModelChoiceField(
        queryset=Photograph.objects.none(), required=False, label=_("Photograph on the notice")
    )

    def __init__(self, *args: Any, danger: Danger, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        closed = AreaClosure.objects.standing().filter(danger=danger).values("area")
        self.fields["areas"].queryset = danger.building.areas.exclude(pk__in=closed)
        self.fields["photograph"].queryset = Photograph.objects.of_danger(danger)
        self.fields["closed_at"].error_messages["required"] = _("Say since when it is closed.")
        self.fields["measure"].error_messages["required"] = _("Say what was done.")
        self.helper = FormHelper()
        self.helper.form_tag = False
        self.helper.disable_csrf = True

    @property
    def words(self) -> NoticeWords:
        """What was typed, once the form is valid."""
        cleaned = self.cleaned_data
        chosen: Photograph | None = cleaned.get("photograph")
        typed: dict[str, Any] = {name: " ".join(cleaned[name].split()) for name in TYPED}
        typed |= {name: cleaned[name] for name in CHOSEN}
        return NoticeWords(
            **typed,
            areas=tuple(area.pk for area in cleaned["areas"]),
            photograph=chosen.pk if chosen else None,
        )

    def show(self, problems: Iterable[Problem]) -> None:
        """Put what the service refuses beside its box."""
        # Where nothing is there to be ticked, an area is named.
        named = {} if self.fields["areas"].queryset.exists() else {"areas": "new_area"}
        for problem in problems:
            name = named.get(problem.field, problem.field)
            box = name if name in self.fields else None
            self.add_error(box, str(problem.message))


def notice_initial(
    danger: Danger, before: MakeSafeNotice | None, job: Job | None
) -> dict[str, Any]:
    """Return what is known already: what could not be printed, else the version before, else what
    the danger says. Areas that stand closed need no tick."""
    first = Photograph.objects.of_danger(danger).values_list("pk", flat=True).first()
    today, now = today_at(danger.building), now_at(danger.building)
    typed = job.arguments["words"] if job else before.snapshot["content"] if before else None
    if typed is not None:
        names = ("hazard", "done", "told", "measure", "fixed_to", "done_on", "placed", "holder")
        kept = {name: typed[name] for name in names}
        return kept | {"closed_at": now, "photograph": typed["photograph"] or first}
    seen = latest_sighting(danger)
    note = seen.note if seen else danger.note
    held = danger.state_on().held_by
    act = danger.acts.filter(pk=held.facts.key).first() if held else None  # type: ignore[misc]
    return {
        "hazard": f"{danger.shown_kind.name}. {note}".strip()[:300],
        "done": act.because[:240] if act else "",
        "measure": act.measure if act else None,
        "fixed_to": act.fixed_to if act else "",
        "done_on": act.day if act else today,
        "closed_at": now,
        "photograph": first,
    }


class OpeningForm(RecordedForm):
    """Closed areas opened again: by two people, or as their notice is taken back."""

    areas = forms.ModelMultipleChoiceField(
        queryset=AreaClosure.objects.none(),
        label=_("Which areas"),
        widget=forms.CheckboxSelectMultiple,
    )

    class Meta:
        model = ClosureEnd
        fields = [
            "safe_by",
            "safe_trade",
            "how_known",
            "reopened_by",
            "authority",
            "because",
            "day",
        ]
        widgets = {
            "day": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "because": forms.Textarea(attrs={"rows": 3}),
            "safe_by": forms.TextInput(attrs={"autocomplete": "off"}),
            "reopened_by": forms.TextInput(attrs={"autocomplete": "off"}),
            "how_known": forms.RadioSelect,
        }
        help_texts = {
            "safe_by": _("Somebody competent for it. The name is shown to the office alone."),
            "reopened_by": _("Whoever has charge of the building: another person."),
            "authority": _("Churchwarden, trustee, owner, the authority: who may answer for it."),
        }

    def __init__(
        self, *args: Any, danger: Danger, kind: EndOfClosure, user: User, **kwargs: Any
    ) -> None:
        self.danger, self.kind = danger, kind
        rows = AreaClosure.objects.standing().for_list().filter(danger=danger)
        self.standing = [
            each for each in rows if kind == EndOfClosure.REOPENED or may_withdraw(each, user)
        ]
        initial = {"day": today_at(danger.building), "areas": [each.pk for each in self.standing]}
        if kind == EndOfClosure.REOPENED and len(self.standing) > 1:
            initial["areas"] = []
        super().__init__(
            *args, instance=ClosureEnd(kind=kind), user=user, initial=initial, **kwargs
        )

    def prepare(self) -> None:
        areas = self.fields["areas"]
        areas.queryset = AreaClosure.objects.filter(danger=self.danger)
        areas.choices = [(each.pk, each.area.name) for each in self.standing]
        if self.kind == EndOfClosure.WITHDRAWN:
            for name in ("safe_by", "safe_trade", "how_known", "reopened_by", "authority"):
                del self.fields[name]
            self.fields["because"].label = _("Why it was a mistake")
            return
        self.fields["because"].label = _("What was done, and what makes it safe there")
        self.fields["safe_trade"].choices = [("", _("Choose the trade")), *TradeOf.choices]
        self.fields["how_known"].choices = HowKnown.choices
        for name in ("safe_by", "safe_trade", "how_known", "reopened_by", "authority"):
            self.fields[name].required = True

    def layout(self) -> Layout:
        if self.kind == EndOfClosure.WITHDRAWN:
            return Layout("areas", "because", "day")
        return Layout(
            "areas",
            group(
                _("Who says that it is safe"),
                side_by_side("safe_by", "safe_trade"),
                "how_known",
                "because",
            ),
            group(_("Who reopens it"), side_by_side("reopened_by", "authority"), "day"),
        )

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        names = ("safe_by", "safe_trade", "how_known", "reopened_by", "authority", "because")
        self.data_read = ClosureEndData(
            kind=self.kind,
            day=cleaned.get("day") or today_at(self.danger.building),
            **{name: cleaned[name] for name in names if name in cleaned},
        )
        keys = [each.pk for each in cleaned.get("areas") or ()]
        self.chosen = list(self.danger.closures.for_list().filter(pk__in=keys))
        return why_not_opened(self.danger, self.chosen, self.data_read, self.user)

    def write(self) -> None:
        self.recorded = end_closures(
            self.danger, self.chosen, self.data_read, self.instance.pk, self.user
        )
