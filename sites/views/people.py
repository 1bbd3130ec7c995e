"""The people to speak to about a building."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from sites.access import building_for, person_for
from sites.compute.roles import EDIT_REGISTER
from sites.forms.building import PersonForm
from sites.models import Building, BuildingPerson
from sites.views.form_page import form_page
from sites.web import AppRequest


@require_http_methods(["GET", "POST"])
def person_add(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, EDIT_REGISTER)
    person = BuildingPerson(building=building)
    return form_page(
        request,
        PersonForm(request.POST or None, instance=person),
        title=_("Add a person"),
        submit=_("Save the person"),
        cancel_url=people_url(building),
        success_message=_("The person is saved."),
        success_url=people_url(building),
        building=building,
        meta=_("Kept out of every document and out of the history."),
    )


@require_http_methods(["GET", "POST"])
def person_edit(request: AppRequest, key: UUID) -> HttpResponse:
    person = person_for(request.user, key)
    return form_page(
        request,
        PersonForm(request.POST or None, instance=person),
        title=_("Change a person"),
        submit=_("Save the person"),
        cancel_url=people_url(person.building),
        success_message=_("The person is saved."),
        success_url=people_url(person.building),
        building=person.building,
        meta=_("Kept out of every document and out of the history."),
    )


@require_POST
def person_delete(request: AppRequest, key: UUID) -> HttpResponse:
    person = person_for(request.user, key)
    person.delete()
    messages.success(request, _("The person is taken off the list."))
    return redirect(people_url(person.building))


def people_url(building: Building) -> str:
    return f"{building.get_absolute_url()}#people"
