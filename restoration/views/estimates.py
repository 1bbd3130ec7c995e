"""Estimates: started from a survey, read with their working, changed."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from condition.models import Survey
from restoration.access import estimate_for
from restoration.forms.estimates import EstimateEditForm, EstimateForm
from restoration.models import Estimate, Quote, RepairAction
from restoration.services.decisions import quote_status, standing_of
from restoration.services.estimate_sheet import Sheet, read_sheet, says_the_same
from restoration.services.estimates import usual_cautions
from restoration.services.issuing import QuoteNotReadyError, ask_for_quote, open_job
from restoration.services.site_safety import site_safety
from sites.access import abilities_at, building_for
from sites.compute.roles import ISSUE_QUOTES, PRICE
from sites.documents.words import locale_of
from sites.models import Building, Job
from sites.services.numbers import today_at
from sites.views.form_page import form_page
from sites.web import AppRequest

PAGE = "restoration/estimate_detail.html"


@require_http_methods(["GET", "POST"])
def estimate_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Start an estimate; `?survey=` names the survey it starts from, the latest without it."""
    building = building_for(request.user, key, PRICE)
    survey = _survey_to_start_from(request, building)
    initial = {"survey": survey, "title": _title_after(survey)}
    form = EstimateForm(
        request.POST or None, building=building, day=today_at(building), initial=initial
    )
    estimate = form.instance
    # From a survey the next step is its findings; without one, the empty sheet says what to do.
    from_survey = request.POST.get("survey")
    then = "restoration:actions-from-findings" if from_survey else "restoration:estimate"
    return form_page(
        request,
        form,
        title=_("Start an estimate"),
        submit=_("Start the estimate"),
        cancel_url=building.get_absolute_url(),
        success_message=_("The estimate is started."),
        success_url=reverse(then, args=[estimate.pk]),
        template="restoration/estimate_edit.html",
        building=building,
    )


@require_http_methods(["GET", "POST"])
def estimate_edit(request: AppRequest, key: UUID) -> HttpResponse:
    estimate = estimate_for(request.user, key, PRICE)
    building = estimate.building
    form = EstimateEditForm(
        request.POST or None, instance=estimate, building=building, day=today_at(building)
    )
    return form_page(
        request,
        form,
        title=_("Change the estimate"),
        submit=_("Save the estimate"),
        cancel_url=estimate.get_absolute_url(),
        success_message=_("The estimate is saved."),
        success_url=estimate.get_absolute_url(),
        template="restoration/estimate_edit.html",
        building=building,
        up_url=estimate.get_absolute_url(),
        up_text=Estimate.objects.only("title").get(pk=estimate.pk).title,
    )


@require_safe
def estimate(request: AppRequest, key: UUID) -> HttpResponse:
    """The sheet: actions with their working, shared costs, sums, and the client's view."""
    found = estimate_for(request.user, key)
    return render(request, PAGE, sheet_context(request, found))


@require_POST
def quote_issue(request: AppRequest, key: UUID) -> HttpResponse:
    """Ask for the next version of the quote; what is missing is said on the page itself."""
    found = estimate_for(request.user, key, ISSUE_QUOTES)
    try:
        job = ask_for_quote(found, request.user)
    except QuoteNotReadyError as error:
        context = sheet_context(request, found) | {"not_ready": error.missing}
        return render(request, PAGE, context, status=422)
    if job.asked_by_id != request.user.pk:
        # A job is shown to whoever asked for it; the sheet says that it is under way.
        return redirect(found)
    if request.htmx:
        return render(request, "components/_job.html", {"job": job})
    return redirect("sites:job", job.pk)


def sheet_context(request: AppRequest, found: Estimate) -> dict[str, Any]:
    building = found.building
    abilities = abilities_at(request.user, building)
    sheet = read_sheet(found)
    quotes = list(
        found.quotes.select_related("superseded_by", "issued_by").prefetch_related("events")
    )
    return {
        "estimate": found,
        "building": building,
        "locale": locale_of(building),
        "currency": found.rate_book.currency,
        "sheet": sheet,
        "cautions": _cautions(sheet),
        "safety": site_safety(
            building, found.title, [(each.kind, each.opening) for each in _actions(sheet)]
        ),
        "quotes": issued_versions(quotes, building),
        "unchanged": bool(quotes) and says_the_same(sheet, found, quotes[0]),
        "job": _job_under_way(found),
        "may_change": PRICE in abilities,
        "may_issue": ISSUE_QUOTES in abilities,
    }


def issued_versions(quotes: list[Quote], building: Building) -> list[dict[str, Any]]:
    """Return quotes with the state each is in. Needs their events and successors loaded."""
    today = today_at(building)
    shown = []
    for quote in quotes:
        standing = standing_of(quote.events.all())
        status = quote_status(quote, standing, today)
        shown.append({"quote": quote, "status": status, "standing": standing})
    return shown


def _actions(sheet: Sheet) -> list[RepairAction]:
    return [row.action for phase in sheet.phases for group in phase.openings for row in group.rows]


def _cautions(sheet: Sheet) -> list[dict[str, str]]:
    return usual_cautions(action.kind for action in _actions(sheet))


def _job_under_way(found: Estimate) -> Job | None:
    """The job that is issuing this estimate just now, whoever asked for it."""
    job = open_job(found)
    return job if job and job.is_open else None


def _survey_to_start_from(request: AppRequest, building: Building) -> Survey | None:
    surveys = building.surveys.all()
    named = request.GET.get("survey", "")
    return next((each for each in surveys if str(each.pk) == named), surveys.first())


def _title_after(survey: Survey | None) -> str:
    if survey is None:
        return _("Repairs")
    return _("Repairs after the survey of %(day)s") % {"day": date_format(survey.day, "j F Y")}
