"""Classes: proposed with their reasons, accepted in one press, or set otherwise with a reason."""

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from condition.access import finding_for, survey_for
from condition.compute.classes.kept import from_kept
from condition.compute.classes.propose import Proposal
from condition.forms.classes import FindingClassesForm, SubjectClassesForm
from condition.models import Finding, SubjectAssessment, Survey
from condition.models.choices import ConditionClass, RecommendationClass, UrgencyClass
from condition.services.classes import (
    findings_within,
    levels_of,
    parts_within,
    proposals_for,
    propose_for_subject,
    set_classes,
    subject_columns,
    why_refused,
)
from condition.views.names import survey_name
from sites.compute.roles import SURVEY
from sites.models import AttachedItem, Opening, Panel
from sites.services.recording import NotRecordedError
from sites.views.form_page import form_page
from sites.web import AppRequest

Subject = Opening | Panel | AttachedItem
CHOICES: Final = (ConditionClass, UrgencyClass, RecommendationClass)
NAMES: Final = (
    gettext_lazy("Condition"),
    gettext_lazy("Urgency"),
    gettext_lazy("Recommended"),
)


@dataclass(frozen=True)
class Mark:
    """One class as a page shows it: its name, number and word; None is not set."""

    name: str
    level: int | None
    word: str


@dataclass(frozen=True)
class ClassesTold:
    """What a finding's page says of its classes.

    proposal: as of now. before: what was proposed when they were set, where it is another now.
    otherwise: they were set otherwise than proposed. impossible: why they cannot stand, and
    whether that is a danger. whole: the classes of the whole subject, where they were set.
    """

    finding: Finding
    proposal: Proposal
    before: Proposal | None
    is_set: bool
    otherwise: bool
    impossible: str
    is_danger: bool
    whole: SubjectAssessment | None

    @property
    def can_be_accepted(self) -> bool:
        return None not in self.proposal.levels and levels_of(self.finding) != self.proposal.levels

    @property
    def marks(self) -> list[Mark]:
        return marks_of(self.proposal.levels)

    @property
    def marks_before(self) -> list[Mark]:
        return marks_of(self.before.levels) if self.before else []

    @property
    def marks_of_whole(self) -> list[Mark]:
        row = self.whole
        if row is None:
            return []
        return marks_of((row.condition_class, row.urgency_class, row.recommendation_class))

    @property
    def shown(self) -> str:
        return shown_as(self.proposal)


def marks_of(levels: tuple[int | None, int | None, int | None]) -> list[Mark]:
    """Return classes with their names and words, in the order condition, urgency, measure."""
    return [
        Mark(str(name), level, "" if level is None else str(choices(level).label))
        for name, choices, level in zip(NAMES, CHOICES, levels, strict=True)
    ]


def shown_as(proposal: Proposal) -> str:
    """Return the proposed classes as a button carries them: what was seen is what is accepted."""
    return "-".join("" if level is None else str(level) for level in proposal.levels)


def classes_told(finding: Finding) -> ClassesTold:
    """Return what a page says of a finding's classes, what is proposed now included."""
    proposal = proposals_for([finding])[finding.pk]
    kept = from_kept(finding.proposal)
    levels = levels_of(finding)
    is_set = any(level is not None for level in levels)
    refusal = why_refused(finding)
    return ClassesTold(
        finding=finding,
        proposal=proposal,
        before=kept if is_set and kept and kept.levels != proposal.levels else None,
        is_set=is_set,
        otherwise=is_set and levels != (kept or proposal).levels,
        impossible=str(refusal.message) if refusal else "",
        is_danger=refusal is not None and finding.hazard,
        whole=SubjectAssessment.objects.filter(
            survey=finding.survey_id, subject_key=finding.subject_key
        ).first(),
    )


@require_http_methods(["GET", "POST"])
def finding_classes(request: AppRequest, key: UUID) -> HttpResponse:
    """Set a finding's classes: as proposed by one press, or otherwise with a reason."""
    finding = finding_for(request.user, key, SURVEY)
    back = f"{finding.get_absolute_url()}#classes"
    if "accept" in request.POST:
        _accept(request, finding)
        return redirect(back)
    proposal = proposals_for([finding])[finding.pk]
    return form_page(
        request,
        FindingClassesForm(
            request.POST or None,
            instance=finding,
            user=request.user,
            initial=_initial(finding, proposal),
        ),
        title=_("Classes of finding %d") % finding.number,
        meta=str(finding.kind),
        number=finding.subject_label,
        submit=_("Set the classes"),
        cancel_url=back,
        success_message=_("The classes of finding %d are set.") % finding.number,
        success_url=back,
        template="condition/class_form.html",
        proposal=proposal,
        marks=marks_of(proposal.levels),
        building=finding.survey.building,
        opening=finding.opening,
        up_url=finding.get_absolute_url(),
        up_text=_("Finding %d") % finding.number,
    )


@require_http_methods(["GET", "POST"])
def subject_classes(request: AppRequest, key: UUID, subject: UUID) -> HttpResponse:
    """Set the classes of an opening, a panel or an item as a whole."""
    survey = survey_for(request.user, key, SURVEY)
    judged = _subject_of(survey, subject)
    findings = findings_within(survey, judged)
    proposal = propose_for_subject(findings, parts_within(survey, judged))
    row = SubjectAssessment.objects.filter(survey=survey, subject_key=subject).first()
    row = row or SubjectAssessment(survey=survey, **subject_columns(judged))
    opening = judged if isinstance(judged, Opening) else judged.opening
    back = survey.get_absolute_url()
    return form_page(
        request,
        SubjectClassesForm(
            request.POST or None,
            instance=row,
            user=request.user,
            subject=judged,
            initial=_initial(row, proposal),
        ),
        title=_("Classes of the whole"),
        meta=survey_name(survey),
        number=row.subject_label,
        submit=_("Set the classes"),
        cancel_url=back,
        success_message=_("The classes of %s are set.") % row.subject_label,
        success_url=back,
        template="condition/class_form.html",
        proposal=proposal,
        marks=marks_of(proposal.levels),
        findings=findings,
        building=survey.building,
        opening=opening,
        up_url=back,
        up_text=survey_name(survey),
    )


def _accept(request: AppRequest, finding: Finding) -> None:
    """Set what is proposed, if it is still what the button was pressed for."""
    proposal = proposals_for([finding])[finding.pk]
    if request.POST.get("shown") != shown_as(proposal):
        messages.warning(
            request, _("What is proposed has changed meanwhile. Look at it and press again.")
        )
        return
    try:
        set_classes(finding, proposal.levels, "", request.user, proposal)
    except NotRecordedError as refused:
        messages.error(request, str(refused))
        return
    messages.success(request, _("The classes of finding %d are set as proposed.") % finding.number)


def _initial(row: Finding | SubjectAssessment, proposal: Proposal) -> dict[str, int | None]:
    """What the boxes show: what is set, or else what is proposed."""
    columns = ("condition_class", "urgency_class", "recommendation_class")
    if any(getattr(row, column) is not None for column in columns):
        return {}
    return dict(zip(columns, proposal.levels, strict=True))


def _subject_of(survey: Survey, key: UUID) -> Subject:
    """The opening, panel or item of the survey's building. Raises Http404 for any other key."""
    building = survey.building
    found: Subject | None = building.openings.filter(pk=key).first()
    for model in (Panel, AttachedItem):
        rows = model.objects.filter(opening__building=building, pk=key)
        found = found or rows.select_related("opening").first()
    if found is None:
        raise Http404
    return found
