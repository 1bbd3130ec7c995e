"""The form of something that did fall."""

from collections.abc import Iterable, Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from condition.forms.recorded import RecordedForm
from condition.models import Danger, Incident
from condition.services.recording.incidents import (
    IncidentData,
    record_incident,
    why_not_recorded,
)
from sites.models import Building
from sites.services.numbers import today_at
from sites.services.recording import Problem


class IncidentForm(RecordedForm):
    """What fell, who saw it, who was hurt, who must be told, and when. No survey is needed."""

    class Meta:
        model = Incident
        fields = ["what_fell", "day", "danger", "seen_by", "hurt", "must_be_told"]
        widgets = {
            "day": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
            "what_fell": forms.Textarea(attrs={"rows": 3}),
            **{
                name: forms.TextInput(attrs={"autocomplete": "off"})
                for name in ("seen_by", "hurt", "must_be_told")
            },
        }
        help_texts = {
            "seen_by": _("Names are shown to the office alone, and kept out of the history."),
            "must_be_told": _(
                "Owner, insurer, the authority having jurisdiction: local law says who, and when."
            ),
        }

    def __init__(
        self, *args: Any, building: Building, danger: Danger | None = None, **kwargs: Any
    ) -> None:
        self.building = building
        initial = {"day": today_at(building), "danger": danger.pk if danger else None}
        super().__init__(*args, instance=Incident(building=building), initial=initial, **kwargs)

    def prepare(self) -> None:
        dangers = self.building.dangers.select_related("kind", "opening", "panel", "attached_item")
        box = self.fields["danger"]
        box.queryset = dangers
        box.empty_label = _("None that is recorded")
        box.label_from_instance = lambda danger: f"{danger.where}: {danger.shown_kind.name}"

    def problems(self, cleaned: Mapping[str, Any]) -> Iterable[Problem]:
        danger = cleaned.get("danger")
        words = ("what_fell", "seen_by", "hurt", "must_be_told")
        self.data_read = IncidentData(
            building=self.building.pk,
            danger=danger.pk if danger else None,
            day=cleaned.get("day") or today_at(self.building),
            **{name: cleaned.get(name, "") for name in words},
        )
        return why_not_recorded(self.data_read, self.user)

    def write(self) -> None:
        self.recorded = record_incident(self.data_read, self.instance.pk, self.user)
