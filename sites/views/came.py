"""Came: the studio's profiles, and how much of which a panel has."""

from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sites.access import came_profile_for, came_run_for, panel_for, studio_for
from sites.compute.figures import Figures
from sites.compute.quantities.came import (
    SECTION_PARTS,
    profile_kg_m,
    section_corners,
)
from sites.compute.quantities.errors import QuantityError
from sites.compute.roles import EDIT_REGISTER
from sites.compute.working import Working
from sites.forms.came import CameProfileForm, CameRunForm
from sites.models import CameProfile, CameRun, Opening, Panel
from sites.services.came import profile_of
from sites.services.figures import figures_of
from sites.services.quantities import OpeningCame, came_of_opening
from sites.views.form_page import form_page
from sites.web import AppRequest


@dataclass(frozen=True)
class ProfileRow:
    """A profile in the list: its section drawn, and what a metre of it weighs.

    corners, view_box: of the drawing, in mm.
    """

    profile: CameProfile
    corners: str
    view_box: str
    kg_m: float | None
    working: Working | None


def opening_came(opening: Opening, panels: list[Panel]) -> OpeningCame | None:
    """Return the came of an opening by profile, or None where nothing of it is recorded."""
    prefetch_related_objects(panels, "came_runs__profile")
    if not any(panel.came_runs.all() for panel in panels):
        return None
    for panel in panels:
        panel.opening = opening
    return came_of_opening(opening, panels, figures_of(opening.building.studio))


@require_safe
def came_profiles(request: AppRequest) -> HttpResponse:
    studio = studio_for(request.user, EDIT_REGISTER)
    figures = figures_of(studio)
    rows = [_row(profile, figures) for profile in studio.came_profiles.all()]
    return render(request, "sites/came_profile_list.html", {"rows": rows})


@require_http_methods(["GET", "POST"])
def came_profile_add(request: AppRequest) -> HttpResponse:
    profile = CameProfile(studio=studio_for(request.user, EDIT_REGISTER))
    return _profile_page(request, profile, _("Add a came profile"), another=True)


@require_http_methods(["GET", "POST"])
def came_profile_edit(request: AppRequest, key: UUID) -> HttpResponse:
    profile = came_profile_for(request.user, key, EDIT_REGISTER)
    return _profile_page(request, profile, _("Change the came profile"), another=False)


@require_http_methods(["GET", "POST"])
def came_run_add(request: AppRequest, key: UUID) -> HttpResponse:
    panel = panel_for(request.user, key, EDIT_REGISTER)
    return _run_page(request, CameRun(panel=panel), _("Add came to the panel"), another=True)


@require_http_methods(["GET", "POST"])
def came_run_edit(request: AppRequest, key: UUID) -> HttpResponse:
    run = came_run_for(request.user, key, EDIT_REGISTER)
    return _run_page(request, run, _("Change the came of the panel"), another=False)


@require_POST
def came_run_delete(request: AppRequest, key: UUID) -> HttpResponse:
    run = came_run_for(request.user, key, EDIT_REGISTER)
    run.delete()
    messages.success(request, _("The came is taken away."))
    return redirect(came_url(run.panel))


def came_url(panel: Panel) -> str:
    return f"{reverse('sites:panel', args=[panel.pk])}#came"


def _row(profile: CameProfile, figures: Figures) -> ProfileRow:
    known = profile_of(profile)
    section = [known.part(name, figures)[0] for name in SECTION_PARTS]
    leaf, thickness, height, heart = section
    corners = _drawn(section_corners(known.shape, leaf, thickness, height, heart))
    box = f"-0.5 -0.5 {leaf + 1:.2f} {height + 2 * thickness + 1:.2f}"
    try:
        kg_m, working = profile_kg_m(known, figures)
    except QuantityError:
        return ProfileRow(profile, corners, box, None, None)
    return ProfileRow(profile, corners, box, kg_m, working)


def _drawn(corners: tuple[tuple[float, float], ...]) -> str:
    return " ".join(f"{x:.2f},{y:.2f}" for x, y in corners)


def _profile_page(
    request: AppRequest, profile: CameProfile, title: str, *, another: bool
) -> HttpResponse:
    back = reverse("sites:came-profiles")
    return form_page(
        request,
        CameProfileForm(request.POST or None, instance=profile, units=request.user.units),
        title=title,
        submit=_("Save the profile"),
        cancel_url=back,
        success_message=_("The profile is saved."),
        success_url=back,
        another=another,
        template="sites/came_profile_edit.html",
        up_url=back,
        up_text=_("Came profiles"),
    )


def _run_page(request: AppRequest, run: CameRun, title: str, *, another: bool) -> HttpResponse:
    panel, back = run.panel, came_url(run.panel)
    return form_page(
        request,
        CameRunForm(request.POST or None, instance=run, units=request.user.units),
        title=title,
        submit=_("Save the came"),
        cancel_url=back,
        success_message=_("The came is saved."),
        success_url=back,
        another=another,
        template="sites/came_run_edit.html",
        building=panel.opening.building,
        opening=panel.opening,
        up_url=back,
        up_text=panel.number,
        no_profiles=not panel.opening.building.studio.came_profiles.exists(),
    )
