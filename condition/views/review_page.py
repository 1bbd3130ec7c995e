"""The review of a survey: what is still open, what is proposed, dangers answered, then issued."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import survey_for
from condition.compute.classes.propose import Proposal
from condition.models import Finding, Survey
from condition.services.alike import groups_alike
from condition.services.classes import (
    proposals_for,
    set_classes,
)
from condition.services.closures import closed_at
from condition.services.continuing import offered
from condition.services.issuing import why_not_ready
from condition.views.classes import Mark, marks_of, shown_as
from condition.views.names import since_choice, survey_name
from condition.views.review import FindingRow, finding_row, review_of
from condition.views.review_lines import reviewed
from sites.access import abilities_at
from sites.compute.roles import ISSUE_REPORTS, SURVEY
from sites.services.figures import figures_of
from sites.services.recording import NotRecordedError
from sites.web import AppRequest


@require_safe
def survey_review(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a survey read through before its report."""
    survey = survey_for(request.user, key, SURVEY)
    review = review_of(survey, request.user.units)
    earlier = offered(survey)
    alike = groups_alike(review.photographs, figures_of(survey.building.studio))
    told = reviewed(survey, review, earlier, alike)
    context = {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "review": review,
        "closed": closed_at(survey.building),
        "told": told,
        "may_issue": ISSUE_REPORTS in abilities_at(request.user, survey.building),
        **since_choice(survey),
        "not_ready": why_not_ready(review.says_something, review.waiting_count),
        "issued": survey.reports.order_by("-version").only("number", "version").first(),
    }
    return render(request, "condition/survey_review.html", context)


@require_http_methods(["GET", "POST"])
def survey_classes(request: AppRequest, key: UUID) -> HttpResponse:
    """Show what is proposed for every finding without its classes; set those that are ticked."""
    survey = survey_for(request.user, key, SURVEY)
    here = reverse("condition:survey-classes", args=[survey.pk])
    if request.method == "POST":
        _accept(request, survey)
        return redirect(here)
    findings = _not_classed(survey)
    proposals = proposals_for(findings)
    rows = [_proposed(each, proposals[each.pk], request.user.units) for each in findings]
    context = {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "ready": [row for row in rows if row["value"]],
        "to_judge": [row for row in rows if not row["value"]],
    }
    return render(request, "condition/survey_classes.html", context)


def _not_classed(survey: Survey) -> list[Finding]:
    rows = survey.findings.select_related("kind", "opening", "panel", "attached_item")
    rows = rows.with_dangers()
    return [
        each
        for each in rows.order_by("number")
        if each.condition_class is None or each.urgency_class is None
    ]


def _proposed(
    finding: Finding, proposal: Proposal, units: str
) -> dict[str, FindingRow | Proposal | list[Mark] | str]:
    """What a row shows. Its value is sent back, so that only what was seen is ever set."""
    whole = None not in proposal.levels
    return {
        "row": finding_row(finding, [], units),
        "proposal": proposal,
        "marks": marks_of(proposal.levels),
        "value": f"{finding.pk} {shown_as(proposal)}" if whole else "",
    }


def _accept(request: AppRequest, survey: Survey) -> None:
    ticked = set(request.POST.getlist("accept"))
    findings = _not_classed(survey)
    proposals = proposals_for(findings)
    done, left = 0, len(ticked)
    for finding in findings:
        proposal = proposals[finding.pk]
        if None in proposal.levels or f"{finding.pk} {shown_as(proposal)}" not in ticked:
            continue
        try:
            set_classes(finding, proposal.levels, "", request.user, proposal)
        except NotRecordedError as refused:
            messages.error(request, _("Finding %d: ") % finding.number + str(refused))
        else:
            done += 1
        left -= 1
    if done:
        text = ngettext(
            "The classes of %d finding are set as proposed.",
            "The classes of %d findings are set as proposed.",
            done,
        )
        messages.success(request, text % done)
    if left:
        text = _("What is proposed has changed meanwhile. Look at it and press again.")
        messages.warning(request, text)
    if not ticked:
        messages.error(request, _("Tick the findings first."))
