"""Made-up contents for the sheet of patterns. Nothing of it is stored."""

from types import SimpleNamespace
from typing import Any
from uuid import UUID

from crispy_forms.layout import Layout
from django import forms

from sites.forms.base import RecordForm, group, side_by_side
from sites.models import Job, Opening
from sites.models.job import JobState


class PatternForm(RecordForm):
    """One box of each sort."""

    lengths = {"width": "Width", "height": "Height"}
    old_dates = ("made",)
    side = forms.ChoiceField(
        label="Side", choices=[("in", "Inside"), ("out", "Outside")], widget=forms.RadioSelect
    )

    class Meta:
        model = Opening
        fields = ["number", "title", "wall", "made", "under_inside", "access"]

    def layout(self) -> Layout:
        return Layout(
            group("Which", side_by_side("number", "wall"), "title", "side"),
            group("Size", side_by_side("width", "height"), self.length_help()),
            group("Its story", "made", "under_inside", "access"),
        )


def pattern_context(wrong: bool) -> dict[str, Any]:
    """Return what `sites/patterns.html` shows; `wrong` fills the form so that it fails."""
    posted = {"number": "", "width": "4'' 3", "height": "873", "made": "yesteryear"}
    return {
        "form": PatternForm(posted if wrong else None),
        "jobs": [_job(state) for state in JobState],
        "levels": list(enumerate(["No symptoms", "Minor symptoms", "Moderate", "Major symptoms"])),
        "photographs": [
            SimpleNamespace(page_url="#photographs", image_url="", caption="12 May 2026", note=note)
            for note in ("", "Damaged, kept as received")
        ],
    }


def _job(state: JobState) -> Job:
    return Job(
        id=UUID(int=0),
        state=state,
        step="Printing the report" if state == JobState.RUNNING else "",
        done=12,
        total=40 if state == JobState.RUNNING else 0,
        problem="The photograph of finding 14 is missing." if state == JobState.FAILED else "",
        result={"url": "#progress", "text": "Open the report"},
    )
