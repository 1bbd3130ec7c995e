"""What did fall: recorded from the building or from a danger, read, listed at the building."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import incident_for
from condition.forms.incidents import IncidentForm
from condition.models import Danger
from sites.access import abilities_at, building_for
from sites.compute.roles import READ_PEOPLE, SURVEY
from sites.forms.idempotency import read_key
from sites.hooks import Section
from sites.models import Building
from sites.views.form_page import form_page
from sites.web import AppRequest

ORDER = 12


@require_http_methods(["GET", "POST"])
def incident_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Record something that fell; `?danger=` is the danger whose page led here."""
    building = building_for(request.user, key, SURVEY)
    danger = _came_from(request, building)
    back = danger.get_absolute_url() if danger else building.get_absolute_url()
    return form_page(
        request,
        IncidentForm(request.POST or None, building=building, danger=danger, user=request.user),
        title=_("Something fell"),
        submit=_("Keep what happened"),
        cancel_url=back,
        success_message=_("It is kept. A danger stays open until somebody ends it."),
        success_url=back if danger else f"{back}#incidents",
        template="condition/incident_add.html",
        building=building,
        up_url=danger.get_absolute_url() if danger else "",
        up_text=danger.label if danger else "",
    )


@require_safe
def incident(request: AppRequest, key: UUID) -> HttpResponse:
    """Show what fell; who is named in it, to the office alone."""
    shown = incident_for(request.user, key)
    context = {
        "incident": shown,
        "building": shown.building,
        "may_read_people": READ_PEOPLE in abilities_at(request.user, shown.building),
    }
    return render(request, "condition/incident.html", context)


def building_incidents(request: AppRequest, building: Building) -> Section | None:
    """What fell at a building, the newest first, and the way to record more."""
    may_survey = SURVEY in abilities_at(request.user, building)
    incidents = list(building.incidents.all())
    if not (incidents or may_survey):
        return None
    context = {
        "incidents": incidents,
        "may_survey": may_survey,
        "add_url": reverse("condition:incident-add", args=[building.pk]),
    }
    return Section(ORDER, "condition/incidents_section.html", context)


def _came_from(request: AppRequest, building: Building) -> Danger | None:
    key = read_key(request.GET.get("danger", ""))
    rows = Danger.objects.select_related("kind", "opening", "panel", "attached_item")
    return rows.filter(building=building, pk=key).first() if key else None
