"""Closed areas first on every page about the place, and the areas of a building."""

from uuid import UUID

from django.http import HttpResponse
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from condition.access import area_for
from condition.forms.areas import AreaForm
from condition.models import Area, AreaClosure, Finding, Survey
from condition.services.closures import ClosedArea, closed_at
from condition.views.notices import notices_of_danger
from sites.access import abilities_at, building_for
from sites.compute.roles import EDIT_REGISTER
from sites.hooks import Section
from sites.models import AttachedItem, Building, Opening, Panel
from sites.views.form_page import form_page
from sites.web import AppRequest

FIRST = 1
OWN = 45
AREAS = 62
CLOSED = "condition/closed_areas.html"


def building_closures(request: AppRequest, building: Building) -> Section | None:
    return _first(closed_at(building))


def survey_closures(request: AppRequest, survey: Survey) -> Section | None:
    return _first(closed_at(survey.building))


def opening_closures(request: AppRequest, opening: Opening) -> Section | None:
    return _first(closed_at(opening))


def item_closures(request: AppRequest, item: AttachedItem) -> Section | None:
    """A closed area under the window concerns everything fixed to it."""
    return _first(closed_at(item.opening))


def panel_closures(request: AppRequest, panel: Panel) -> Section | None:
    return _first(closed_at(panel.opening))


def finding_closures(request: AppRequest, finding: Finding) -> Section | None:
    """Whatever the finding is about: who stands under the window must know."""
    return _first(closed_at(finding.opening))


def finding_notices(request: AppRequest, finding: Finding) -> Section | None:
    """The notices of the finding's danger, and the offer to issue one."""
    if finding.danger is None:
        return None
    told = notices_of_danger(request, finding.danger)
    if not (told["notices"] or told["may_issue"] or told["job"]):
        return None
    return Section(OWN, "condition/notices_of_danger.html", told)


def _first(closed: list[ClosedArea]) -> Section | None:
    return Section(FIRST, CLOSED, {"closed": closed}) if closed else None


@require_http_methods(["GET", "POST"])
def building_areas(request: AppRequest, key: UUID) -> HttpResponse:
    """List the areas of a building that can be closed, and add one."""
    building = building_for(request.user, key, EDIT_REGISTER)
    here = reverse("condition:areas", args=[building.pk])
    standing = AreaClosure.objects.standing().filter(area__building=building)
    closed = set(standing.values_list("area", flat=True))
    return form_page(
        request,
        AreaForm(request.POST or None, instance=Area(building=building)),
        title=_("Areas of the building"),
        submit=_("Add the area"),
        cancel_url=building.get_absolute_url(),
        success_message=_("The area is on the list."),
        success_url=here,
        template="condition/areas.html",
        building=building,
        areas=[(area, area.pk in closed) for area in building.areas.all()],
    )


@require_http_methods(["GET", "POST"])
def area_edit(request: AppRequest, key: UUID) -> HttpResponse:
    """Rename an area. Notices issued already keep the words they were printed with."""
    area = area_for(request.user, key, EDIT_REGISTER)
    back = reverse("condition:areas", args=[area.building_id])
    return form_page(
        request,
        AreaForm(request.POST or None, instance=area),
        title=_("Rename the area"),
        submit=_("Save the name"),
        cancel_url=back,
        success_message=_("The area is renamed. Notices issued already keep the words on them."),
        success_url=back,
        building=area.building,
        up_url=back,
        up_text=_("Areas of the building"),
    )


def areas_section(request: AppRequest, building: Building) -> Section | None:
    """The way to the areas, for who may change them."""
    if EDIT_REGISTER not in abilities_at(request.user, building):
        return None
    context = {
        "areas": building.areas.all(),
        "url": reverse("condition:areas", args=[building.pk]),
    }
    return Section(AREAS, "condition/areas_section.html", context)
