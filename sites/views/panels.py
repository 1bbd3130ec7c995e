"""The panels of an opening."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST

from sites.access import opening_for, panel_for
from sites.compute.roles import EDIT_REGISTER
from sites.forms.opening import PanelForm, PanelGridForm
from sites.models import Panel
from sites.views.form_page import form_page
from sites.views.openings import opening_page
from sites.web import AppRequest


@require_http_methods(["GET", "POST"])
def panel_add(request: AppRequest, key: UUID) -> HttpResponse:
    opening = opening_for(request.user, key, EDIT_REGISTER)
    panel = Panel(opening=opening)
    return form_page(
        request,
        PanelForm(request.POST or None, instance=panel, user=request.user),
        title=_("Add a panel"),
        submit=_("Save the panel"),
        cancel_url=opening.get_absolute_url(),
        success_message=_("The panel is saved."),
        success_url=panel.get_absolute_url(),
        another=True,
        building=opening.building,
        opening=opening,
    )


@require_http_methods(["GET", "POST"])
def panel_edit(request: AppRequest, key: UUID) -> HttpResponse:
    panel = panel_for(request.user, key, EDIT_REGISTER)
    return form_page(
        request,
        PanelForm(request.POST or None, instance=panel, user=request.user),
        title=_("Change the panel"),
        submit=_("Save the panel"),
        cancel_url=panel.get_absolute_url(),
        success_message=_("The panel is saved."),
        success_url=panel.get_absolute_url(),
        building=panel.opening.building,
        opening=panel.opening,
    )


@require_POST
def panels_lay_out(request: AppRequest, key: UUID) -> HttpResponse:
    """Make the panels of so many rows across the opening's lights, all at once."""
    opening = opening_for(request.user, key, EDIT_REGISTER)
    form = PanelGridForm(request.POST, opening=opening)
    panels = form.lay_out()
    if not panels:
        return opening_page(request, opening, grid_form=form)
    said = ngettext("%d panel is laid out.", "%d panels are laid out.", len(panels))
    messages.success(request, said % len(panels))
    return redirect(f"{opening.get_absolute_url()}#panels")
