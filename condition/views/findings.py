"""A finding: logged, shown with its evidence, changed, taken away."""

from urllib.parse import urlencode
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from condition.access import finding_for, survey_for
from condition.hooks import hooks
from condition.models import Danger, Finding, Survey
from condition.services.continuing import chain_of
from condition.services.dangers import line_of
from condition.services.findings import FindingStaysError, take_away_finding, why_it_stays
from condition.services.steps import steps_of
from condition.views.classes import classes_told
from condition.views.finding_form import FindingPage
from condition.views.names import survey_name
from condition.views.pictures import SCREEN_PX, pictures_of
from condition.views.review import finding_row
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.hooks import sections_of
from sites.services.figures import figures_of
from sites.web import AppRequest


@require_safe
def finding(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a finding with all that it rests on: survey, photographs, earlier and later findings."""
    shown = finding_for(request.user, key)
    building = shown.survey.building
    may_survey = SURVEY in abilities_at(request.user, building)
    photographs = shown.photographs.with_renditions().with_findings()
    pictures = pictures_of(photographs, building.studio_id, SCREEN_PX)
    chain = chain_of(shown)
    chain = chain if len(chain) > 1 else []
    danger = Danger.objects.with_facts().filter(findings=shown).first()
    context = {
        "finding": shown,
        "danger": line_of(danger) if danger else None,
        "classes": classes_told(shown),
        "row": finding_row(shown, pictures, request.user.units),
        "building": building,
        "survey_name": survey_name(shown.survey),
        "steps": _steps(shown),
        "chain": chain,
        "came_together": _came_together(shown),
        "became": _became(shown),
        "later": chain[0] if chain and chain[0] != shown else None,
        "next_url": next_finding_url(shown.survey, shown),
        "may_survey": may_survey,
        "stays": why_it_stays(shown) if may_survey else "",
        "sections": sections_of(hooks.finding_sections, request, shown),
    }
    return render(request, "condition/finding.html", context)


def _steps(shown: Finding) -> list[str]:
    """What would be done about it next, as report and quote name it."""
    figures = figures_of(shown.survey.building.studio)
    return steps_of([shown], figures)[shown.pk].names(shown.recommendation_class)


@require_http_methods(["GET", "POST"])
def finding_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Log a finding; its photographs may come with it."""
    survey = survey_for(request.user, key, SURVEY)
    page = FindingPage(request, survey, Finding(survey=survey))
    if page.is_for_htmx:
        return page.part()
    if request.method == "POST":
        # A second tap on "Save", or the page sent again: the first one is what counts, even
        # where it is only done while we try.
        saved = page.saved_before()
        if saved is None and page.save():
            saved = page.finding
            messages.success(request, _("Finding %d is saved.") % saved.number)
            page.tell_outcomes()
        if saved := saved or page.saved_before():
            return redirect(_next_url(request, saved))
        page.keep_photographs()
    return page.whole(
        title=_("Log a finding"),
        cancel_url=survey.get_absolute_url(),
        up_url=survey.get_absolute_url(),
        up_text=survey_name(survey),
    )


@require_http_methods(["GET", "POST"])
def finding_edit(request: AppRequest, key: UUID) -> HttpResponse:
    changed = finding_for(request.user, key, SURVEY)
    page = FindingPage(request, changed.survey, changed)
    if page.is_for_htmx:
        return page.part()
    url = changed.get_absolute_url()
    if request.method == "POST":
        if page.save():
            messages.success(request, _("Finding %d is saved.") % changed.number)
            page.tell_outcomes()
            return redirect(url)
        page.keep_photographs()
    return page.whole(
        title=_("Change finding %d") % changed.number,
        cancel_url=url,
        up_url=url,
        up_text=_("Finding %d") % changed.number,
        issued=changed.survey.reports.order_by("-version").first(),
    )


@require_POST
def finding_delete(request: AppRequest, key: UUID) -> HttpResponse:
    gone = finding_for(request.user, key, SURVEY)
    number = gone.number
    try:
        photographs = take_away_finding(gone)
    except FindingStaysError as reason:
        messages.error(request, str(reason))
        return redirect(gone)
    messages.success(request, _("Finding %d is taken away.") % number)
    if photographs:
        messages.success(
            request,
            _("Its photographs stay with %s, as views of the window.") % gone.opening.number,
        )
    return redirect(gone.survey)


def _came_together(shown: Finding) -> list[Finding]:
    """The earlier findings it comes from, where they are several."""
    others = list(shown.also_from.select_related("survey"))
    return [shown.continues, *others] if others and shown.continues else []


def _became(shown: Finding) -> list[Finding]:
    """The later findings it became: several, or one in which it came together with others."""
    parts = list(shown.continuations.select_related("survey"))
    joined = list(shown.joined_into.select_related("survey"))
    return [*parts, *joined] if joined or len(parts) > 1 else []


def next_finding_url(survey: Survey, after: Finding) -> str:
    """Return where the next finding is logged, with the place of the one before filled in."""
    place = {"opening": after.opening_id, "side": after.side}
    if after.panel_id:
        place["panel"] = after.panel_id
    if after.attached_item_id:
        place["item"] = after.attached_item_id
    return f"{reverse('condition:finding-add', args=[survey.pk])}?{urlencode(place)}"


def _next_url(request: AppRequest, saved: Finding) -> str:
    if "next_here" in request.POST:
        return next_finding_url(saved.survey, saved)
    return saved.get_absolute_url()
