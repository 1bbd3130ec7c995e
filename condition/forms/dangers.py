"""Forms of a danger: one told without a survey, and everything that is said or done about one."""

from collections.abc import Iterable, Mapping
from typing import Any, Final, cast
from uuid import UUID

from crispy_forms.layout import Layout
from django import forms
from django.utils.translation import gettext_lazy as _

from condition.compute.danger.acts import ActData
from condition.compute.danger.facts import Act
from condition.forms.choices import kind_choices, part_choices, read_part
from condition.forms.recorded import RecordedForm
from condition.models import Danger, DangerAct
from condition.models.choices import DangerEnd, DangerSource, FallAnswer, MeasureTaken
from condition.services.recording.dangers import (
    DangerData,
    open_danger,
    problems_of,
    record_act,
    why_not_opened,
)
from sites.models import Building
from sites.services.numbers import today_at
from sites.services.recording import Problem

WHO: Final = ["day", "by_name", "by_trade"]
BOXES: Final[dict[str, list[str]]] = {
    Act.ANSWER: ["answer", "because", "judged_from", *WHO],
    Act.MEASURE: [
        *("measure", "fixed_to", "because", "keeper", "look_by", "cures_on", "parts_carry"),
        *("placed", "holder", *WHO),
    ],
    Act.LOOK: ["of", "holds", "is_reported", "because", "look_by", *WHO],
    Act.END: [
        *("end", "judged_from", "tried", "because", "placed", "holder", "cures_on", "parts_carry"),
        *WHO,
    ],
    Act.TAKEN_BACK: ["because", "day", "by_name"],
}
LABELS: Final[dict[str, dict[str, Any]]] = {
    Act.MEASURE: {"because": _("In words"), "placed": _("Where it is now, if it was taken away")},
    Act.LOOK: {"because": _("What was seen")},
    Act.END: {
        "because": _("Why, or whether it fell and who has it"),
        "tried": _("Mended: what was tried by hand"),
    },
    Act.TAKEN_BACK: {"because": _("Why it has not ended")},
}
DAYS: Final = ("day", "look_by", "cures_on")


class ActForm(RecordedForm):
    """One act about a danger; `act` decides which boxes there are."""

    class Meta:
        model = DangerAct
        fields = sorted({name for names in BOXES.values() for name in names})
        widgets = {
            **{name: forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d") for name in DAYS},
            "answer": forms.RadioSelect,
            "measure": forms.RadioSelect,
            "end": forms.RadioSelect,
        }

    def __init__(self, *args: Any, danger: Danger, act: Act, **kwargs: Any) -> None:
        self.danger, self.act = danger, act
        kwargs.setdefault("initial", {"day": today_at(danger.building)})
        instance = DangerAct(danger=danger, act=act)
        super().__init__(*args, instance=instance, **kwargs)

    def prepare(self) -> None:
        for name in set(self.fields) - set(BOXES[self.act]):
            del self.fields[name]
        for name, label in LABELS.get(self.act, {}).items():
            self.fields[name].label = label
        for name, choices in (
            ("answer", FallAnswer.choices),
            ("measure", MeasureTaken.choices),
            ("end", DangerEnd.choices),
        ):
            if name in self.fields:
                self.fields[name].choices = choices
        if self.act == Act.LOOK:
            self._offer_measures()

    def layout(self) -> Layout:
        return Layout(*BOXES[self.act])

    def _offer_measures(self) -> None:
        of, holds = self.fields["of"], self.fields["holds"]
        measures = self.danger.acts.filter(act=Act.MEASURE).order_by("-day", "-id")
        of.queryset, of.label, of.empty_label = measures, _("What was looked at"), None
        of.label_from_instance = lambda act: f"{act.measure_words}, {act.day:%d.%m.%Y}"
        holds.widget = forms.RadioSelect(choices=[("true", _("It holds")), ("false", _("Failed"))])
        self.initial.setdefault("of", measures.values_list("pk", flat=True).first())

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        values = {
            name: cleaned[name]
            for name in BOXES[self.act]
            if name not in ("of", "day") and name in cleaned
        }
        of = cleaned.get("of") or (self._end() if self.act == Act.TAKEN_BACK else None)
        day = cleaned.get("day") or today_at(self.danger.building)
        self.data_read = ActData(
            danger=self.danger.pk, act=self.act, day=day, of=of.pk if of else None, **values
        )
        return problems_of(self.data_read, self.danger)

    def _end(self) -> DangerAct | None:
        end = self.danger.state_on().end
        return self.danger.acts.filter(pk=cast("UUID", end.key)).first() if end else None

    def write(self) -> None:
        self.recorded = record_act(self.data_read, self.instance.pk, self.user)


class DangerForm(RecordedForm):
    """A danger told by telephone or mail, or something that fell: no survey saw it."""

    boxes = {"panel": "part", "attached_item": "part"}

    part = forms.ChoiceField(label=_("Panel or attached item"), required=False)
    answer = forms.ChoiceField(
        label=_("Can it come down?"),
        choices=[("", _("Not answered")), *((a, n) for a, n in FallAnswer.choices if a != "no")],
        required=False,
        help_text=_("Not answered counts as danger. A no is for who has seen it."),
    )

    class Meta:
        model = Danger
        fields = ["source", "kind", "opening", "what", "place", "side", "opened_on", "note"]
        widgets = {
            "opened_on": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "note": forms.Textarea(attrs={"rows": 3}),
        }

    def __init__(self, *args: Any, building: Building, **kwargs: Any) -> None:
        self.building = building
        kwargs.setdefault("initial", {}).setdefault("opened_on", today_at(building))
        super().__init__(*args, instance=Danger(building=building), **kwargs)

    def prepare(self) -> None:
        openings = list(self.building.openings.all())
        self.fields["opening"].queryset = self.building.openings.all()
        self.fields["opening"].empty_label = _("None of the windows: said in words below")
        kinds = self.building.studio.finding_kinds.all()
        self.fields["kind"].queryset = kinds
        self.fields["kind"].choices = [("", _("Choose what it is")), *kind_choices(kinds)]
        self.fields["part"].choices = part_choices(openings, None, only=False)
        told = [each for each in DangerSource.choices if each[0] != DangerSource.SURVEY]
        self.fields["source"].choices = told

    def layout(self) -> Layout:
        where = ("opening", "part", "what", "place", "side")
        return Layout("source", "kind", *where, "answer", "opened_on", "note")

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        part = read_part(cleaned.get("part") or "")
        words = ("what", "place", "side", "source", "note", "answer")
        self.data_read = DangerData(
            building=self.building.pk,
            kind=_key(cleaned.get("kind")),
            opening=_key(cleaned.get("opening")),
            panel=part.panel,
            attached_item=part.item,
            opened_on=cleaned.get("opened_on") or today_at(self.building),
            **{name: cleaned[name] for name in words if name in cleaned},
        )
        return why_not_opened(self.data_read, self.user)

    def write(self) -> None:
        self.recorded = open_danger(self.data_read, self.instance.pk, self.user)


def _key(row: Any) -> Any:
    return row.pk if row else None
