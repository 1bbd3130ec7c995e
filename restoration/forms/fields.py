"""Boxes for figures and for the thing worked on, and the widgets they share."""

from typing import Any
from uuid import UUID

from django import forms
from django.utils.translation import gettext as _

from condition.models import ActionKind
from condition.models.choices import Step
from sites.forms.fields import CountField
from sites.models import AttachedItem, Building, Opening, Panel

Choice = tuple[str, str]
Groups = list[tuple[str, list[Choice]]]
Subject = Opening | Panel | AttachedItem


class PhaseField(CountField):
    """The number of a phase: as many as the database takes."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{**options, "min_value": 1, "max_value": 99})


class DaysField(CountField):
    """A number of days for which a quote may stand. Ten years catch a slip of the keyboard."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**{**options, "min_value": 1, "max_value": 3650})


def day_box() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


def kinds_by_step(kinds: list[ActionKind]) -> Groups:
    """Return kinds of action as choices under the steps of the repair ladder, mildest first."""
    groups: Groups = []
    for step in Step:
        of_step = [(str(kind.pk), kind.name) for kind in kinds if kind.step == step]
        if of_step:
            groups.append((str(step.label), of_step))
    return groups


class SubjectField(forms.ChoiceField):
    """One list of a building's openings, each with its panels and attached items under it.

    Cleans to the opening, panel or item itself; a key from another building is no choice.
    """

    def offer(self, building: Building) -> None:
        """Let the user choose among what is registered in `building`, in three queries."""
        self._subjects: dict[str, Subject] = {}
        parts: dict[UUID, list[Choice]] = {}
        openings = list(building.openings.all())
        for panel in Panel.objects.filter(opening__building=building):
            self._add(parts, panel, _("panel %(number)s") % {"number": panel.number})
        for item in AttachedItem.objects.filter(opening__building=building):
            words = f"{item.get_kind_display()} {item.number}"
            self._add(parts, item, words[0].lower() + words[1:])
        by_key = {opening.pk: opening for opening in openings}
        groups: Groups = []
        for opening in openings:
            self._subjects[str(opening.pk)] = opening
            whole = (
                str(opening.pk),
                _("%(opening)s, the whole window") % {"opening": opening.number},
            )
            own = [(key, f"{opening.number}, {words}") for key, words in parts.get(opening.pk, [])]
            groups.append((str(opening), [whole, *own]))
        for subject in self._subjects.values():
            if not isinstance(subject, Opening):
                subject.opening = by_key[subject.opening_id]
        self.choices = [("", _("Choose a place")), *groups]

    def clean(self, value: Any) -> Subject | None:
        key = super().clean(value)
        return self._subjects[key] if key else None

    def _add(self, parts: dict[UUID, list[Choice]], part: Panel | AttachedItem, words: str) -> None:
        self._subjects[str(part.pk)] = part
        parts.setdefault(part.opening_id, []).append((str(part.pk), words))
