"""Make-safe notices: issued of a danger, read as issued; closed areas shown first, and reopened."""

from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import danger_for, notice_for
from condition.compute.danger.closing import EndOfClosure
from condition.documents.make_safe.layout import closed_since
from condition.forms.notices import NoticeForm, OpeningForm, notice_initial
from condition.models import AreaClosure, Danger, MakeSafeNotice, Photograph
from condition.services.closures import closed_at
from condition.services.notices import (
    ask_for_notice,
    latest_sighting,
    next_notice_version,
    open_job,
    why_no_notice,
)
from condition.services.uploads import Outcome, Place, take_in
from condition.views.pictures import SCREEN_PX, Picture, picture_of, pictures_of
from sites.access import abilities_at
from sites.compute.roles import READ_PEOPLE, SURVEY
from sites.models.job import JobState
from sites.services.recording import NotRecordedError
from sites.views.form_page import form_page
from sites.web import AppRequest, send_pdf

Words = str | Promise
PAGE: Final = "condition/notice_issue.html"
# Of each way to open an area: title, button, what is said once it is done.
OPENING: Final[dict[EndOfClosure, tuple[Words, Words, Words]]] = {
    EndOfClosure.REOPENED: (
        gettext_lazy("Reopen an area"),
        gettext_lazy("The area is open again"),
        gettext_lazy("The area is open again."),
    ),
    EndOfClosure.WITHDRAWN: (
        gettext_lazy("Take the notice back"),
        gettext_lazy("It was a mistake"),
        gettext_lazy("The notice is taken back: that is no reopening."),
    ),
}


@require_http_methods(["GET", "POST"])
def notice_issue(request: AppRequest, key: UUID) -> HttpResponse:
    """Issue a danger's notice, or its next version: a form for a phone, then the worker prints."""
    danger = danger_for(request.user, key, SURVEY)
    if reason := why_no_notice(danger):
        messages.error(request, reason)
        return redirect(danger)
    next_one = next_notice_version(danger)
    if request.method == "GET":
        before = danger.notices.order_by("-version").first()
        job = open_job(danger)
        failed = job if job is not None and job.state == JobState.FAILED else None
        form = NoticeForm(danger=danger, initial=notice_initial(danger, before, failed))
        return _issue_page(request, danger, form, next_one, [])
    return _issue(request, danger, next_one)


def _issue(request: AppRequest, danger: Danger, next_one: int) -> HttpResponse:
    version = _version(request, next_one)
    outcomes = _taken_in(request, danger)
    data = request.POST.copy()
    for outcome in outcomes:
        if outcome.is_in and outcome.photograph is not None:
            data["photograph"] = str(outcome.photograph.pk)
    form = NoticeForm(data, danger=danger)
    if form.is_valid() and all(outcome.is_in for outcome in outcomes):
        try:
            ask_for_notice(danger, form.words, version, request.user)
        except NotRecordedError as refusal:
            form.show(refusal.problems)
        else:
            text = _("The areas are closed from now on. The notice is being printed.")
            messages.success(request, text)
            return redirect(f"{danger.get_absolute_url()}#notice")
    return _issue_page(request, danger, form, next_one, outcomes)


def _taken_in(request: AppRequest, danger: Danger) -> list[Outcome]:
    """A picture taken for this notice is kept whatever else must be mended on the form."""
    seen = latest_sighting(danger)
    if seen is None:
        return []
    place = Place(seen.survey, seen.opening, (seen,))
    return take_in(request.FILES.getlist("camera")[:1], place, request.user)


def _version(request: AppRequest, next_one: int) -> int:
    """The version the page was opened for; a page sent twice asks twice for the same one."""
    text = request.POST.get("version", "")
    if not (text.isascii() and text.isdigit() and len(text) < 5):
        return next_one
    return max(1, min(int(text), next_one))


def _issue_page(
    request: AppRequest,
    danger: Danger,
    form: NoticeForm,
    version: int,
    outcomes: list[Outcome],
) -> HttpResponse:
    building = danger.building
    photographs = Photograph.objects.of_danger(danger).with_renditions().with_findings()
    context = {
        "form": form,
        "danger": danger,
        "building": building,
        "meta": f"{danger.label} · {danger.shown_kind.name}",
        "closed": closed_at(danger),
        "areas": form.fields["areas"].queryset.exists(),
        "pictures": pictures_of(photographs, building.studio_id),
        "chosen": str(form["photograph"].value() or ""),
        "may_photograph": danger.findings.exists(),
        "version": version,
        "refused": [outcome for outcome in outcomes if not outcome.is_in],
        "title": _("Issue a make-safe notice") if version == 1 else _("Issue the notice anew"),
    }
    return render(request, PAGE, context, status=422 if form.is_bound else 200)


@require_safe
def notice(request: AppRequest, key: UUID) -> HttpResponse:
    """Show an issued notice as it was issued, and which of its areas are still closed."""
    shown = notice_for(request.user, key)
    allowed = abilities_at(request.user, shown.building)
    areas = shown.snapshot["made_safe"]["areas"]
    closures = AreaClosure.objects.for_list().filter(pk__in=[each["id"] for each in areas])
    rows = list(closures.order_by("closed_at", "pk"))
    context = {
        "notice": shown,
        "snapshot": shown.snapshot,
        "closed_since": closed_since(areas),
        "building": shown.building,
        "danger": shown.danger,
        "finding": shown.finding,
        "closures": rows,
        "is_closed": any(not hasattr(each, "closure_end") for each in rows),
        "danger_ended": shown.danger.state_on().end is not None,
        "newer": getattr(shown, "superseded_by", None),
        "pictures": _pictures(shown),
        "may_survey": SURVEY in allowed,
        "may_read_people": READ_PEOPLE in allowed,
        "versions": shown.danger.notices.order_by("-version"),
    }
    return render(request, "condition/notice.html", context)


def _pictures(shown: MakeSafeNotice) -> list[Picture]:
    """The photograph the notice was issued with, if it is still among the danger's."""
    told = shown.snapshot["picture"]
    photographs = Photograph.objects.of_danger(shown.danger).with_renditions().with_findings()
    photograph = photographs.filter(pk=told["id"]).first() if told else None
    return [picture_of(photograph, shown.building.studio_id, SCREEN_PX)] if photograph else []


@require_safe
def notice_pdf(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send an issued notice to be read in the browser, or saved with `?download=1`."""
    shown = notice_for(request.user, key)
    return send_pdf(request, shown.pdf, f"{shown.number}-v{shown.version}.pdf")


@require_http_methods(["GET", "POST"])
def danger_reopen(request: AppRequest, key: UUID) -> HttpResponse:
    """Record that closed areas of a danger may be used again: it takes two people."""
    return _open_areas(request, key, EndOfClosure.REOPENED)


@require_http_methods(["GET", "POST"])
def danger_withdraw(request: AppRequest, key: UUID) -> HttpResponse:
    """Take back a notice that was issued by mistake: by its author, with a reason."""
    return _open_areas(request, key, EndOfClosure.WITHDRAWN)


def _open_areas(request: AppRequest, key: UUID, kind: EndOfClosure) -> HttpResponse:
    danger = danger_for(request.user, key, SURVEY)
    title, submit, done = OPENING[kind]
    form = OpeningForm(request.POST or None, danger=danger, kind=kind, user=request.user)
    if not (form.standing or form.saved_before()):
        messages.error(request, _why_none(danger))
        return redirect(danger)
    still = _of_danger(danger)
    return form_page(
        request,
        form,
        title=title,
        submit=submit,
        cancel_url=danger.get_absolute_url(),
        success_message=f"{done} {still}",
        success_url=danger.get_absolute_url(),
        template="condition/notice_reopen.html",
        building=danger.building,
        up_url=danger.get_absolute_url(),
        up_text=danger.label,
        danger=danger,
        still=still,
        reopens=kind == EndOfClosure.REOPENED,
        closed=closed_at(danger),
    )


def _why_none(danger: Danger) -> str:
    if closed_at(danger):
        return _("Only who issued the notice may take it back. An area is reopened by two people.")
    return _("No area stands closed for this danger.")


def _of_danger(danger: Danger) -> str:
    """What opening an area leaves as it is."""
    if danger.state_on().end is not None:
        return _("The danger itself has ended.")
    return _("The danger itself stays open until somebody ends it.")


def notices_of_danger(request: AppRequest, danger: Danger) -> dict[str, Any]:
    """Return what the pages of a danger and of its findings show of its notices.

    Its issued notices, how far the printing of the next is, and whether one may be issued.
    """
    may_survey = SURVEY in abilities_at(request.user, danger.building)
    job = open_job(danger) if may_survey else None
    return {
        "danger": danger,
        "notices": danger.notices.select_related("superseded_by").order_by("-version"),
        "is_closed": danger.closures.standing().exists(),
        "may_issue": may_survey and not why_no_notice(danger),
        "may_survey": may_survey,
        "job": job,
        "may_follow": job is not None and job.asked_by_id == request.user.pk,
        "issue_url": reverse("condition:notice-issue", args=[danger.pk]),
    }
