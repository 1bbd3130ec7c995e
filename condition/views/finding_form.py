"""The page on which a finding is logged or changed, with the photographs sent along."""

from collections.abc import Iterable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import ngettext

from condition.forms.choices import part_value
from condition.forms.findings import FindingForm
from condition.models import Finding, Photograph, Survey
from condition.services.classes import proposals_for
from condition.services.sorting import sort_in
from condition.services.uploads import Fate, Outcome, Place, take_in
from condition.views.classes import marks_of
from condition.views.pictures import pictures_of
from sites.web import AppRequest

PREFILLED = (
    "opening", "kind", "side", "extent", "continues", "subject_change", "amount", "unit",
    "of_total",
)  # fmt: skip


class FindingPage:
    """One showing or sending of the form.

    Photographs are taken in before anything can be wrong with the words: where a box is to be
    mended they wait with the survey, named in the page, and go to the finding once it is saved.
    """

    def __init__(self, request: AppRequest, survey: Survey, finding: Finding) -> None:
        self.request, self.survey, self.finding = request, survey, finding
        self.is_new = finding._state.adding
        self.outcomes: list[Outcome] = []
        self.kept: list[Photograph] = []
        self.form = self._form()

    @property
    def is_for_htmx(self) -> bool:
        """A part of the page is asked for again because the opening or the kind was changed."""
        return self.request.method == "GET" and bool(self.request.htmx)

    def part(self) -> HttpResponse:
        template = (
            "condition/_finding_measure.html"
            if self.request.htmx.trigger == "finding-measure"
            else "condition/_finding_place.html"
        )
        return render(self.request, template, {"form": self.form, "survey": self.survey})

    def saved_before(self) -> Finding | None:
        """The finding that this very page, with the same content, saved already, if it did.

        Gone back to and sent with other words or photographs, the page is another finding.
        """
        if not self.form.saved_before():
            return None
        return self.survey.findings.filter(pk=self.finding.pk).first()

    def save(self) -> bool:
        """Save the finding, then file its photographs; False where the form is to be mended."""
        if not (self.form.is_valid() and self.form.store()):
            return False
        self.finding = self.form.recorded
        place = Place(self.survey, self.finding.opening, (self.finding,))
        sort_in(self._waiting(), place, self.request.user)
        self.outcomes = take_in(self._files(), place, self.request.user)
        return True

    def keep_photographs(self) -> None:
        """Take the photographs in all the same, to wait with the survey."""
        self.outcomes = take_in(self._files(), Place(self.survey), self.request.user)
        received = [each.photograph for each in self.outcomes if each.is_in and each.photograph]
        waiting = [*self._waiting(), *received]
        rows = self.survey.photographs.filter(pk__in={each.pk for each in waiting})
        rows = rows.filter(findings=None).select_related("opening")
        self.kept = list(rows.with_renditions().with_findings())

    def tell_outcomes(self) -> None:
        """Say what became of each photograph, as messages of the next page."""
        tell(self.request, self.outcomes)

    def whole(self, **context: Any) -> HttpResponse:
        page = {
            "form": self.form,
            "survey": self.survey,
            "building": self.survey.building,
            "is_new": self.is_new,
            "kept": pictures_of(self.kept, self.survey.building.studio_id),
            "refused": [each for each in self.outcomes if not each.is_in],
            **self._proposed(),
            **context,
        }
        status = 422 if self.form.is_bound else 200
        return render(self.request, "condition/finding_form.html", page, status=status)

    def _proposed(self) -> dict[str, Any]:
        """What is proposed for a finding as it was last saved."""
        if self.is_new:
            return {}
        proposal = proposals_for([self.finding])[self.finding.pk]
        return {"proposal": proposal, "marks": marks_of(proposal.levels)}

    def _form(self) -> FindingForm:
        units = self.request.user.units
        if self.request.method == "POST":
            sent, files = self.request.POST, self.request.FILES
            return FindingForm(
                sent,
                files,
                survey=self.survey,
                instance=self.finding,
                units=units,
                user=self.request.user,
            )
        asked = {name: self.request.GET[name] for name in PREFILLED if name in self.request.GET}
        if part := self._asked_part():
            asked["part"] = part
        narrowed = self.is_for_htmx
        return FindingForm(
            survey=self.survey,
            instance=self.finding,
            initial=asked,
            narrowed=narrowed,
            units=units,
            user=self.request.user,
        )

    def _asked_part(self) -> str:
        asked = self.request.GET
        panel, item = _key(asked.get("panel", "")), _key(asked.get("item", ""))
        return part_value(panel, item) or asked.get("part", "")

    def _files(self) -> Iterable[Any]:
        return self.request.FILES.getlist("photographs")

    def _waiting(self) -> list[Photograph]:
        """Photographs kept from an earlier sending of this page, not filed meanwhile."""
        keys = [key for text in self.request.POST.getlist("kept") if (key := _key(text))]
        rows = self.survey.photographs.filter(pk__in=keys, findings=None)
        return list(rows.select_related("building").with_findings())


def tell(request: AppRequest, outcomes: list[Outcome]) -> None:
    """Say as messages how many photographs came in, and of each other one why not."""
    received = sum(outcome.is_in for outcome in outcomes)
    if received:
        text = ngettext("%d photograph is kept.", "%d photographs are kept.", received)
        messages.success(request, text % received)
    for outcome in outcomes:
        if not outcome.is_in:
            level = messages.WARNING if outcome.fate == Fate.ELSEWHERE else messages.ERROR
            messages.add_message(request, level, f"{outcome.name}: {outcome.reason}")


def _key(text: str) -> UUID | None:
    try:
        return UUID(text)
    except ValueError:
        return None
