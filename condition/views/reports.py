"""Condition reports: issued, shown as they were issued."""

from typing import Final
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from condition.access import report_for, survey_for
from condition.documents.layout import danger_rows
from condition.forms.terms import ReportTermsForm
from condition.models import ReportTerms
from condition.services.issuing import ReportNotReadyError, ask_for_report
from condition.views.names import survey_name
from sites.access import abilities_at, building_for
from sites.compute.roles import ISSUE_REPORTS
from sites.forms.idempotency import read_key
from sites.views.form_page import form_page
from sites.web import AppRequest

NO_KEY: Final = UUID(int=0)


@require_POST
def report_issue(request: AppRequest, key: UUID) -> HttpResponse:
    """Ask for the survey's next report; the survey's page shows how far it is.

    since: the earlier survey to compare with; where it is not said, the suggested one.
    """
    survey = survey_for(request.user, key, ISSUE_REPORTS)
    since = request.POST.get("since")
    try:
        # A key that is none is one of no survey, and refused as such.
        chosen = None if since is None else read_key(since) or NO_KEY
        ask_for_report(survey, request.user, chosen)
    except ReportNotReadyError as not_ready:
        for missing in not_ready.missing:
            messages.error(request, missing)
    else:
        messages.success(request, _("The report is being printed. Once issued it never changes."))
    return redirect(survey)


@require_safe
def report(request: AppRequest, key: UUID) -> HttpResponse:
    """Show an issued report: what it is, and its first page in the words it was issued with."""
    shown = report_for(request.user, key)
    snapshot = shown.snapshot
    versions = shown.survey.reports.select_related("superseded_by").order_by("-version")
    context = {
        "report": shown,
        "building": shown.building,
        "survey_name": survey_name(shown.survey),
        "page": snapshot.get("page_one"),
        "rows": danger_rows(snapshot) if "page_one" in snapshot else [],
        "issued_by": snapshot.get("document", {}).get("issued_by") or shown.issued_by.name,
        "newer": getattr(shown, "superseded_by", None),
        "versions": versions,
        "terms": snapshot.get("terms"),
        "may_issue": ISSUE_REPORTS in abilities_at(request.user, shown.building),
    }
    return render(request, "condition/report.html", context)


@require_http_methods(["GET", "POST"])
def report_terms(request: AppRequest, key: UUID) -> HttpResponse:
    """Say what was agreed with the client on times and reliance; reports issued keep their own."""
    building = building_for(request.user, key, ISSUE_REPORTS)
    terms = ReportTerms.objects.in_force(building).first() or ReportTerms(building=building)
    url = building.get_absolute_url()
    return form_page(
        request,
        ReportTermsForm(request.POST or None, instance=terms),
        title=_("What is agreed on reports"),
        submit=_("Save what is agreed"),
        cancel_url=url,
        success_message=_("Saved. The next report says it; those issued stay as they are."),
        success_url=url,
        building=building,
    )
