"""Make-safe notices: issued from a finding, read as issued, signed reopened."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import finding_for, notice_for
from condition.forms.notices import NoticeForm, ReopeningForm, notice_initial
from condition.models import Finding, MakeSafeNotice, Survey
from condition.services.notices import (
    NoticeError,
    ask_for_notice,
    next_notice_version,
    open_job,
    open_rows,
)
from condition.services.uploads import Outcome, Place, take_in
from condition.views.pictures import SCREEN_PX, Picture, picture_of, pictures_of
from sites.access import abilities_at
from sites.compute.roles import READ_PEOPLE, SURVEY
from sites.hooks import Section
from sites.models import AttachedItem, Building, Opening, Panel
from sites.services.numbers import today_at
from sites.views.form_page import form_page
from sites.web import AppRequest, send_pdf

PAGE = "condition/notice_issue.html"
FIRST = 1
OWN = 2
PAST = 45


@require_http_methods(["GET", "POST"])
def notice_issue(request: AppRequest, key: UUID) -> HttpResponse:
    """Issue a danger's notice, or its next version: a form for a phone, then the worker prints."""
    finding = finding_for(request.user, key, SURVEY)
    if not finding.hazard:
        messages.error(
            request, _("This finding is not marked as able to hurt someone: say that first.")
        )
        return redirect("condition:finding-edit", finding.pk)
    next_one = next_notice_version(finding)
    if request.method == "GET":
        before = finding.notices.order_by("-version").first()
        form = NoticeForm(finding=finding, initial=notice_initial(finding, before))
        return _issue_page(request, finding, form, next_one, [])
    return _issue(request, finding, next_one)


def _issue(request: AppRequest, finding: Finding, next_one: int) -> HttpResponse:
    version = _version(request, next_one)
    # A picture taken for this notice is kept whatever else must be mended on the form.
    place = Place(finding.survey, finding.opening, (finding,))
    outcomes = take_in(request.FILES.getlist("camera")[:1], place, request.user)
    data = request.POST.copy()
    for outcome in outcomes:
        if outcome.is_in and outcome.photograph is not None:
            data["photograph"] = str(outcome.photograph.pk)
    form = NoticeForm(data, finding=finding)
    if form.is_valid() and all(outcome.is_in for outcome in outcomes):
        try:
            ask_for_notice(finding, form.words, version, request.user)
        except NoticeError as problem:
            form.add_error(None, str(problem))
        else:
            messages.success(
                request, _("The notice is being printed. Once issued it never changes.")
            )
            return redirect(f"{finding.get_absolute_url()}#notice")
    return _issue_page(request, finding, form, next_one, outcomes)


def _version(request: AppRequest, next_one: int) -> int:
    """The version the page was opened for; a page sent twice asks twice for the same one."""
    text = request.POST.get("version", "")
    if not (text.isascii() and text.isdigit() and len(text) < 5):
        return next_one
    return max(1, min(int(text), next_one))


def _issue_page(
    request: AppRequest,
    finding: Finding,
    form: NoticeForm,
    version: int,
    outcomes: list[Outcome],
) -> HttpResponse:
    building = finding.survey.building
    photographs = finding.photographs.with_renditions().with_findings()
    context = {
        "form": form,
        "finding": finding,
        "building": building,
        "pictures": pictures_of(photographs, building.studio_id),
        "chosen": str(form["photograph"].value() or ""),
        "version": version,
        "refused": [outcome for outcome in outcomes if not outcome.is_in],
        "title": _("Issue a make-safe notice") if version == 1 else _("Issue the notice anew"),
    }
    return render(request, PAGE, context, status=422 if form.is_bound else 200)


@require_safe
def notice(request: AppRequest, key: UUID) -> HttpResponse:
    """Show an issued notice as it was issued, and whether its area is still closed."""
    shown = notice_for(request.user, key)
    allowed = abilities_at(request.user, shown.building)
    reopening = getattr(shown, "reopening", None)
    newer = getattr(shown, "superseded_by", None)
    context = {
        "notice": shown,
        "snapshot": shown.snapshot,
        "building": shown.building,
        "finding": shown.finding,
        "reopening": reopening,
        "newer": newer,
        "is_open": reopening is None and newer is None,
        "pictures": _pictures(shown),
        "may_survey": SURVEY in allowed,
        "may_read_people": READ_PEOPLE in allowed,
        "versions": shown.finding.notices.defer("snapshot").order_by("-version"),
    }
    return render(request, "condition/notice.html", context)


def _pictures(shown: MakeSafeNotice) -> list[Picture]:
    """The photograph the notice was issued with, if it is still among the finding's."""
    told = shown.snapshot["picture"]
    photographs = shown.finding.photographs.with_renditions().with_findings()
    photograph = photographs.filter(pk=told["id"]).first() if told else None
    return [picture_of(photograph, shown.building.studio_id, SCREEN_PX)] if photograph else []


@require_safe
def notice_pdf(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send an issued notice to be read in the browser, or saved with `?download=1`."""
    shown = notice_for(request.user, key)
    return send_pdf(request, shown.pdf, f"{shown.number}-v{shown.version}.pdf")


@require_http_methods(["GET", "POST"])
def notice_reopen(request: AppRequest, key: UUID) -> HttpResponse:
    """Record who signed that the area of a notice may be used again."""
    shown = notice_for(request.user, key, SURVEY)
    form = ReopeningForm(
        request.POST or None,
        notice=shown,
        user=request.user,
        initial={"reopened_on": today_at(shown.building)},
    )
    return form_page(
        request,
        form,
        title=_("Sign the area reopened"),
        submit=_("The area is open again"),
        cancel_url=shown.get_absolute_url(),
        success_message=_("The area is signed reopened."),
        success_url=shown.get_absolute_url(),
        template="condition/notice_reopen.html",
        building=shown.building,
        up_url=shown.get_absolute_url(),
        up_text=shown.number,
        notice=shown,
    )


def building_notices(request: AppRequest, building: Building) -> Section | None:
    return _first(list(open_rows().filter(building=building)))


def survey_notices(request: AppRequest, survey: Survey) -> Section | None:
    return _first(list(open_rows().filter(building=survey.building_id)))


def opening_notices(request: AppRequest, opening: Opening) -> Section | None:
    return _first(list(open_rows().filter(finding__opening=opening)))


def item_notices(request: AppRequest, item: AttachedItem) -> Section | None:
    """A closed area under the window concerns everything fixed to it."""
    return _first(list(open_rows().filter(finding__opening=item.opening_id)))


def panel_notices(request: AppRequest, panel: Panel) -> Section | None:
    return _first(list(open_rows().filter(finding__opening=panel.opening_id)))


def finding_notice(request: AppRequest, finding: Finding) -> Section | None:
    """The finding's open notice; without one, how far its printing is, or the offer to issue it."""
    if not finding.hazard:
        return None
    may_survey = SURVEY in abilities_at(request.user, finding.survey.building)
    job = open_job(finding) if may_survey else None
    shown = list(open_rows().filter(finding=finding))
    if not (shown or may_survey):
        return None
    context = {
        "notices": shown,
        "finding": finding,
        "may_survey": may_survey,
        "job": job,
        "may_follow": job is not None and job.asked_by_id == request.user.pk,
        "issue_url": reverse("condition:notice-issue", args=[finding.pk]),
    }
    return Section(OWN, "condition/notice_of_finding.html", context)


def finding_past_notices(request: AppRequest, finding: Finding) -> Section | None:
    """Every notice of the finding that is no longer the open one."""
    issued = finding.notices.select_related("superseded_by", "reopening").defer("snapshot")
    past = [
        each
        for each in issued.order_by("-version")
        if each.is_superseded or hasattr(each, "reopening")
    ]
    return Section(PAST, "condition/notices_past.html", {"notices": past}) if past else None


def _first(shown: list[MakeSafeNotice]) -> Section | None:
    return Section(FIRST, "condition/notices_open.html", {"notices": shown}) if shown else None
