"""Photographs: sent many at once, sorted in, shown, captioned."""

from datetime import datetime
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from condition.access import photograph_for, survey_for
from condition.documents.words import subject_of
from condition.forms.photographs import PhotographForm, SendForm, SortForm
from condition.models import Photograph
from condition.services.photographs import photograph_limits
from condition.services.uploads import MOST_AT_ONCE, take_in
from condition.views.names import survey_name
from condition.views.pictures import LARGE_PX, picture_of
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.services.recording import NotRecordedError
from sites.views.form_page import form_page
from sites.web import AppRequest, render_swap

MEGA = 1_000_000


@require_http_methods(["GET", "POST"])
def photograph_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Send photographs; each is taken in or refused by itself, and the page says which."""
    survey = survey_for(request.user, key, SURVEY)
    initial = {"place": request.GET.getlist("place")}
    form = SendForm(request.POST or None, survey=survey, initial=initial)
    files = request.FILES.getlist("photographs")
    outcomes, nothing_sent = [], ""
    if request.method == "POST":
        if not files:
            nothing_sent = _("Choose the photographs first.")
        elif form.is_valid():
            outcomes = take_in(files, form.chosen, request.user)
        else:
            nothing_sent = _("None was taken in. Choose what they show, and the photographs again.")
    limits = photograph_limits()
    context = {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "form": form,
        "outcomes": outcomes,
        "received": [outcome for outcome in outcomes if outcome.is_in],
        "nothing_sent": nothing_sent,
        "most_at_once": MOST_AT_ONCE,
        "max_megabytes": limits.max_bytes // MEGA,
        "max_megapixels": limits.max_pixels // MEGA,
    }
    failed = request.method == "POST" and not context["received"]
    template = "condition/photograph_add.html"
    return render(request, template, context, status=422 if failed else 200)


@require_POST
def photographs_sort(request: AppRequest, key: UUID) -> HttpResponse:
    """File the photographs ticked in the tray at one opening or finding."""
    survey = survey_for(request.user, key, SURVEY)
    form = SortForm(request.POST, survey=survey)
    if _filed(request, form):
        count = len(form.cleaned_data["photographs"])
        text = ngettext("%d photograph is sorted in.", "%d photographs are sorted in.", count)
        messages.success(request, text % count)
        return redirect(f"{survey.get_absolute_url()}#tray")
    for errors in form.errors.values():
        messages.error(request, str(errors[0]))
    # Without the anchor: what is to be mended stands at the top of the page.
    return redirect(survey)


def _filed(request: AppRequest, form: SortForm) -> bool:
    if not form.is_valid():
        return False
    try:
        form.file(request.user)
    except NotRecordedError as refusal:
        form.add_error(None, str(refusal))
        return False
    return True


@require_safe
def photograph(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a photograph large, with its facts; htmx asks again while it is being prepared."""
    shown = photograph_for(request.user, key)
    context = {
        "photograph": shown,
        "picture": picture_of(shown, shown.building.studio_id, LARGE_PX),
        "building": shown.building,
        "survey_name": survey_name(shown.survey) if shown.survey else "",
        "heading": _heading(shown),
        "label": _label(shown),
        "shows": [(each, subject_of(each)) for each in shown.findings.all()],
        "taken_words": _taken_words(shown),
        "megabytes": shown.bytes / MEGA,
        "may_survey": SURVEY in abilities_at(request.user, shown.building),
    }
    return render_swap(
        request, "condition/photograph.html", "condition/_photograph_picture.html", context
    )


@require_http_methods(["GET", "POST"])
def photograph_edit(request: AppRequest, key: UUID) -> HttpResponse:
    changed = photograph_for(request.user, key, SURVEY)
    url = reverse("condition:photograph", args=[changed.pk])
    survey = changed.survey
    return form_page(
        request,
        PhotographForm(request.POST or None, instance=changed, user=request.user),
        title=_("What the photograph shows"),
        submit=_("Save"),
        cancel_url=url,
        success_message=_("The photograph is saved."),
        success_url=url,
        template="condition/photograph_edit.html",
        picture=picture_of(changed, changed.building.studio_id),
        building=changed.building,
        up_url=survey.get_absolute_url() if survey else "",
        up_text=survey_name(survey) if survey else "",
    )


def _heading(shown: Photograph) -> str:
    """What stands beside the number of the opening or panel: its own words, or what it shows."""
    if shown.caption:
        return shown.caption
    if findings := shown.findings.all():
        return ", ".join(dict.fromkeys(each.kind.name for each in findings))
    return (shown.opening.title if shown.opening else shown.name) or _("Photograph")


def _label(shown: Photograph) -> str:
    """The one thing it shows, or the opening where it shows several."""
    labels = {each.subject_label for each in shown.findings.all()}
    if len(labels) == 1:
        return labels.pop()
    return shown.opening.number if shown.opening else ""


def _taken_words(shown: Photograph) -> str:
    """When the camera says it was taken: its own clock, with the offset where it noted one."""
    if not shown.taken_local:
        return ""
    taken = datetime.fromisoformat(shown.taken_local)
    zone = f" ({taken:%Z})" if taken.tzinfo else ""
    return f"{taken.day} {taken:%B %Y, %H:%M}{zone}"
