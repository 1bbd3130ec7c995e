"""The list of buildings, and one building."""

from dataclasses import dataclass
from urllib.parse import urlencode
from uuid import UUID

from django.core.paginator import Paginator
from django.db.models import Count, Q
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from sites.access import abilities_at, building_for, studio_for
from sites.compute.roles import EDIT_REGISTER, READ_PEOPLE, roles_that_may
from sites.forms.building import BuildingForm
from sites.hooks import Mark, Marks, actions_of, hooks, marks_of, sections_of
from sites.models import Building, Opening
from sites.models.choices import Level, Wall
from sites.views.form_page import form_page
from sites.views.plan import plan_of
from sites.web import AppRequest, render_swap

PER_PAGE = 50


@dataclass(frozen=True)
class WallGroup:
    """The openings of one wall at one level, each with its mark."""

    wall: str
    level: str
    openings: list[tuple[Opening, Mark | None]]


@require_safe
def buildings(request: AppRequest) -> HttpResponse:
    """List the buildings the user may see; `q` narrows them by name or place."""
    # No name holds a NUL, and PostgreSQL refuses to look for one.
    query = request.GET.get("q", "").replace("\x00", "").strip()
    rows = Building.objects.open_to(request.user).annotate(opening_count=Count("openings"))
    # A query that counts forgets the model's own order.
    rows = rows.order_by("name", "place", "pk")
    for word in query.split():
        rows = rows.filter(Q(name__icontains=word) | Q(place__icontains=word))
    page = Paginator(rows, PER_PAGE).get_page(request.GET.get("page"))
    marks = marks_of(hooks.building_marks, request, list(page))
    context = {
        "page": page,
        "query": query,
        "query_part": f"{urlencode({'q': query})}&" if query else "",
        "rows": [(row, marks.get(row.pk)) for row in page],
        "may_add": _may_add(request),
    }
    return render_swap(request, "sites/building_list.html", "sites/_building_rows.html", context)


@require_safe
def building(request: AppRequest, key: UUID) -> HttpResponse:
    """One building: its openings by wall, what the other rooms know of it, people, access."""
    record = building_for(request.user, key)
    may = abilities_at(request.user, record)
    openings = list(record.openings.for_list().order_by("order", "number"))
    marks = marks_of(hooks.opening_marks, request, record)
    context = {
        "building": record,
        "may_edit": EDIT_REGISTER in may,
        "plan": plan_of(record, openings, marks, request.user.units),
        "walls": by_wall(openings, marks),
        "opening_count": len(openings),
        "people": record.people.all() if READ_PEOPLE in may else None,
        "sections": sections_of(hooks.building_sections, request, record),
        "actions": actions_of(hooks.building_actions, request, record),
    }
    return render(request, "sites/building_detail.html", context)


@require_http_methods(["GET", "POST"])
def building_add(request: AppRequest) -> HttpResponse:
    record = Building(studio=studio_for(request.user, EDIT_REGISTER))
    return form_page(
        request,
        BuildingForm(request.POST or None, instance=record, units=request.user.units),
        title=_("Register a building"),
        submit=_("Register the building"),
        cancel_url=reverse("sites:buildings"),
        success_message=_("The building is registered. Add its openings next."),
        success_url=record.get_absolute_url(),
    )


@require_http_methods(["GET", "POST"])
def building_edit(request: AppRequest, key: UUID) -> HttpResponse:
    record = building_for(request.user, key, EDIT_REGISTER)
    return form_page(
        request,
        BuildingForm(request.POST or None, instance=record, units=request.user.units),
        title=_("Change %(building)s") % {"building": record.name},
        submit=_("Save the building"),
        cancel_url=record.get_absolute_url(),
        success_message=_("The building is saved."),
        success_url=record.get_absolute_url(),
        building=building_for(request.user, key),
    )


def by_wall(openings: list[Opening], marks: Marks) -> list[WallGroup]:
    """Return the openings by wall, then by level, each group in the openings' own order."""
    groups = []
    for wall in Wall:
        for level in Level:
            members = [o for o in openings if o.wall == wall and o.level == level]
            if members:
                marked = [(opening, marks.get(opening.pk)) for opening in members]
                groups.append(WallGroup(str(wall.label), str(level.label), marked))
    return groups


def _may_add(request: AppRequest) -> bool:
    return request.user.memberships.filter(
        building__isnull=True, role__in=roles_that_may(EDIT_REGISTER)
    ).exists()
