"""A survey: opened, changed, and read through before its report."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import survey_for
from condition.forms.inspections import NothingFoundForm
from condition.forms.photographs import SortForm
from condition.forms.surveys import SurveyForm
from condition.hooks import hooks
from condition.models import Survey
from condition.services.issuing import open_job, recorded_after
from condition.views.names import box_name, since_choice, survey_name
from condition.views.review import Review, review_of
from sites.access import abilities_at, building_for
from sites.compute.roles import ISSUE_REPORTS, SURVEY
from sites.hooks import actions_of, sections_of
from sites.models import Job
from sites.models.job import JobState
from sites.services.numbers import today_at
from sites.views.form_page import form_page
from sites.web import AppRequest

TRAY_SHOWS = 24
FACTS = ("client", "purpose", "method", "access", "weather", "limits")


@require_safe
def survey(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a survey: what was said of each opening, and what is still open."""
    shown = survey_for(request.user, key)
    allowed = abilities_at(request.user, shown.building)
    review = review_of(shown, request.user.units)
    job = _job_of(shown)
    reports = list(shown.reports.select_related("superseded_by", "issued_by", "survey"))
    context = {
        "survey": shown,
        "survey_name": survey_name(shown),
        "building": shown.building,
        "facts": _facts_of(shown),
        "review": review,
        "may_survey": SURVEY in allowed,
        "may_issue": ISSUE_REPORTS in allowed,
        **since_choice(shown),
        # The page's one button: issuing, once there is something to report and until it is done.
        "issue_first": ISSUE_REPORTS in allowed and review.says_something and not reports,
        "reports": reports,
        "recorded_after": recorded_after(reports[0]) if reports else [],
        "job": job,
        # Only whoever asked for a job is told how far it is.
        "may_follow": job is not None and job.asked_by_id == request.user.pk,
        "actions": actions_of(hooks.survey_actions, request, shown),
        "sections": sections_of(hooks.survey_sections, request, shown),
        **_forms(shown, review, SURVEY in allowed),
    }
    return render(request, "condition/survey.html", context)


@require_http_methods(["GET", "POST"])
def survey_add(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, SURVEY)
    new = Survey(building=building, day=today_at(building), surveyors=request.user.name)
    return form_page(
        request,
        SurveyForm(request.POST or None, instance=new),
        title=_("Start a survey"),
        submit=_("Start the survey"),
        cancel_url=building.get_absolute_url(),
        success_message=_("The survey is started. Log what you see, opening by opening."),
        success_url=new.get_absolute_url(),
        building=building,
    )


@require_http_methods(["GET", "POST"])
def survey_edit(request: AppRequest, key: UUID) -> HttpResponse:
    changed = survey_for(request.user, key, SURVEY)
    url = changed.get_absolute_url()
    return form_page(
        request,
        SurveyForm(request.POST or None, instance=changed),
        title=_("Change the survey"),
        submit=_("Save the survey"),
        cancel_url=url,
        success_message=_("The survey is saved."),
        success_url=url,
        template="condition/survey_edit.html",
        building=changed.building,
        up_url=url,
        up_text=survey_name(changed),
        issued=changed.reports.order_by("-version").first(),
    )


def _forms(shown: Survey, review: Review, may_survey: bool) -> dict[str, object]:
    if not may_survey:
        return {}
    return {
        "nothing_found": NothingFoundForm(survey=shown) if review.silent else None,
        "sort_form": SortForm(survey=shown) if review.unsorted else None,
        "tray": review.unsorted[:TRAY_SHOWS],
        "beyond_tray": max(0, len(review.unsorted) - TRAY_SHOWS),
    }


def _job_of(shown: Survey) -> Job | None:
    """The latest asking for the survey's report, unless it has been issued."""
    job = open_job(shown)
    return None if job is None or job.state == JobState.DONE else job


def _facts_of(shown: Survey) -> list[tuple[str, str]]:
    """What is written about the visit, by the words of the form."""
    written = [(box_name(shown, name), getattr(shown, name)) for name in FACTS]
    return [(capfirst(name), text) for name, text in written if text.strip()]
