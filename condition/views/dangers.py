"""The dangers of a building: one with all that was said and done about it, and its forms."""

from typing import Any, Final
from uuid import UUID

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import danger_for
from condition.compute.danger.facts import Act
from condition.documents.danger_words import end_words
from condition.forms.dangers import ActForm, DangerForm
from condition.models import Danger, Survey
from condition.models.danger_facts import studio_row_of
from condition.services.closures import closed_at, names_of
from condition.services.dangers import line_of, lines_of
from condition.views.notices import notices_of_danger
from sites.access import abilities_at, building_for
from sites.compute.roles import SURVEY
from sites.documents.words import locale_of
from sites.hooks import Action, Section
from sites.models import AttachedItem, Building, Opening, Panel
from sites.views.form_page import form_page
from sites.web import AppRequest

ORDER: Final = 5
REPORTED: Final = 30
# The acts as they stand in addresses, with what their page and its button are called.
ACTS: Final[dict[str, tuple[Act, str | Promise, str | Promise]]] = {
    "answer": (Act.ANSWER, _("Can it come down?"), _("Keep the answer")),
    "measure": (Act.MEASURE, _("What was done about it"), _("Keep the measure")),
    "look": (Act.LOOK, _("Look at what holds it"), _("Keep what was seen")),
    "end": (Act.END, _("How this danger ended"), _("It has ended")),
    "take-back": (Act.TAKEN_BACK, _("It has not ended"), _("Take the end back")),
}


@require_safe
def danger(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a danger: its state, what holds it, and all that was said and done, newest first."""
    shown = danger_for(request.user, key)
    line = line_of(shown)
    acts = shown.acts.select_related("recorded_by", "finding__survey", "photograph")
    context = {
        "danger": shown,
        "line": line,
        "ended": end_words(line.state, locale_of(shown.building)),
        "row": studio_row_of(shown),
        "building": shown.building,
        "acts": acts.order_by("-received_at", "-id"),
        "sightings": shown.findings.select_related("survey", "kind").order_by("-survey__day"),
        "may_survey": SURVEY in abilities_at(request.user, shown.building),
        "closed": closed_at(shown),
        "incidents": shown.incidents.all(),
        "incident_url": reverse("condition:incident-add", args=[shown.building_id]),
        "told": notices_of_danger(request, shown),
    }
    return render(request, "condition/danger.html", context)


@require_http_methods(["GET", "POST"])
def danger_act(request: AppRequest, key: UUID, act: str) -> HttpResponse:
    """Say or do something about a danger; `act` is one of ACTS."""
    if act not in ACTS:
        raise Http404
    about = danger_for(request.user, key, SURVEY)
    kind, title, submit = ACTS[act]
    return form_page(
        request,
        ActForm(request.POST or None, danger=about, act=kind, user=request.user),
        title=title,
        submit=submit,
        cancel_url=about.get_absolute_url(),
        success_message=_kept(about, kind),
        success_url=about.get_absolute_url(),
        template="condition/danger_act.html",
        building=about.building,
        up_url=about.get_absolute_url(),
        up_text=about.label,
        danger=about,
        row=studio_row_of(about),
        act=act,
    )


def _kept(about: Danger, kind: Act) -> str | Promise:
    """What is said once an act is kept; an end opens no area."""
    closed = closed_at(about) if kind == Act.END else []
    if not closed:
        return _("It is kept with the danger.")
    text = _("The danger has ended. Still closed, until it is reopened by itself: %s.")
    return str(text) % names_of(closed)


@require_http_methods(["GET", "POST"])
def danger_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Record a danger that was told by telephone, or something that fell: no survey is needed."""
    building = building_for(request.user, key, SURVEY)
    form = DangerForm(request.POST or None, building=building, user=request.user)
    url = building.get_absolute_url()
    return form_page(
        request,
        form,
        title=_("A danger was reported"),
        submit=_("Keep it as open"),
        cancel_url=url,
        success_message=_("It stands among the open dangers of the building."),
        success_url=f"{url}#dangers",
        building=building,
    )


@require_safe
def danger_where(request: AppRequest) -> HttpResponse:
    """Ask at which building a danger was reported; where there is but one, go on at once."""
    buildings = list(Building.objects.open_to(request.user, SURVEY).order_by("name", "pk"))
    if len(buildings) == 1:
        return redirect("condition:danger-add", buildings[0].pk)
    return render(request, "condition/danger_where.html", {"buildings": buildings})


def danger_action(request: AppRequest, building: Building) -> Action | None:
    """A danger told by telephone needs no survey."""
    if SURVEY not in abilities_at(request.user, building):
        return None
    url = reverse("condition:danger-add", args=[building.pk])
    return Action(REPORTED, url, gettext("A danger was reported"))


def building_dangers(request: AppRequest, building: Building) -> Section | None:
    return _section(request, building, Danger.objects.filter(building=building))


def opening_dangers(request: AppRequest, opening: Opening) -> Section | None:
    return _section(request, opening.building, Danger.objects.filter(opening=opening))


def item_dangers(request: AppRequest, item: AttachedItem) -> Section | None:
    return _section(request, item.opening.building, Danger.objects.filter(attached_item=item))


def panel_dangers(request: AppRequest, panel: Panel) -> Section | None:
    return _section(request, panel.opening.building, Danger.objects.filter(panel=panel))


def survey_dangers(request: AppRequest, survey: Survey) -> Section | None:
    """Every open danger of the building, whatever survey saw it."""
    return _section(
        request, survey.building, Danger.objects.filter(building=survey.building_id), survey
    )


def _section(
    request: AppRequest, building: Building, dangers: Any, survey: Survey | None = None
) -> Section | None:
    lines = lines_of(dangers.not_ended().with_facts())
    if not lines:
        return None
    seen = set(survey.findings.values_list("danger", flat=True)) if survey else set()
    not_seen = {line.danger.pk for line in lines} - seen if survey else set()
    context = {
        "lines": lines,
        "not_seen": not_seen,
        "may_survey": SURVEY in abilities_at(request.user, building),
    }
    return Section(ORDER, "condition/dangers_section.html", context)
