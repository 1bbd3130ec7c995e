"""The plan of a building: typed or traced, seen while it is, and its openings numbered from it."""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from uuid import UUID

from django.contrib import messages
from django.http import FileResponse, Http404, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sites.access import building_for, plan_picture_for
from sites.compute.drawing.scales import Room
from sites.compute.drawing.scene import SCREEN
from sites.compute.drawing.svg import Link, page_svg
from sites.compute.numbering import Numerals
from sites.compute.numbering_plan import NumberingError
from sites.compute.photographs.errors import PhotographDamaged, PhotographRefused
from sites.compute.plan.rows import ReadWall
from sites.compute.plan.scene import Drawn, PlanScene, plan_scene
from sites.compute.plan.sheet import PlanWords, plan_sheet
from sites.compute.plan.walls import OnWall
from sites.compute.roles import EDIT_REGISTER
from sites.forms.plan import MOST_ROWS, PlanForm, PlanPictureForm
from sites.hooks import Marks
from sites.models import Building, Opening
from sites.models.choices import Units
from sites.services.numbering import (
    Proposal,
    StaleNumbersError,
    give_numbers,
    propose,
    usual_numerals,
)
from sites.services.numbers import today_at
from sites.services.plan import STOREYS, keep_picture, plan_scene_of, remove_picture, save_plan
from sites.web import AppRequest

# The plan lies where there is room for it and stands on a phone; units are about pixels.
LYING: Final = Room(760.0, 460.0)
STANDING: Final = Room(320.0, 900.0)
PREVIEW: Final = Room(560.0, 420.0)
PREVIEW_STANDING: Final = Room(320.0, 620.0)
PICTURE_POLICY: Final = "default-src 'none'; sandbox"


@dataclass(frozen=True)
class PlanDrawing:
    """What `sites/_plan.html` shows: the plan lying and standing, and who has no place on it."""

    lying: SafeString
    standing: SafeString
    unplaced: list[Opening]


def plan_of(
    building: Building, openings: Sequence[Opening], marks: Marks, units: str
) -> PlanDrawing | None:
    """Return a building's plan for its page, or None where none is drawn."""
    scenes = [
        plan_scene_of(building, marks, SCREEN, room, east_up)
        for room, east_up in ((LYING, False), (STANDING, True))
    ]
    lying, standing = scenes
    if lying is None or standing is None:
        return None
    links = _links(openings, marks)
    placed = {each.key for each in lying.openings}
    return PlanDrawing(
        _svg(lying, LYING, units, links),
        _svg(standing, STANDING, units, links),
        [opening for opening in openings if str(opening.pk) not in placed],
    )


def _svg(scene: PlanScene, room: Room, units: str, links: dict[str, Link]) -> SafeString:
    words = PlanWords(_("N"), _("liturgical east"))
    sheet = plan_sheet(scene, words, units == Units.INCH, room.width)
    # Written by an XML library, which escapes every text in it.
    return mark_safe(page_svg(sheet, _("Plan with the openings"), links))


def _links(openings: Sequence[Opening], marks: Marks) -> dict[str, Link]:
    links = {}
    for opening in openings:
        mark = marks.get(opening.pk)
        said = [_("Opening %s") % opening.number, opening.title]
        said += [_("danger") if mark and mark.hazard else "", mark.word if mark else ""]
        title = ": ".join(filter(None, (opening.number, opening.title)))
        links[str(opening.pk)] = Link(
            opening.get_absolute_url(), ", ".join(filter(None, said)), title, "plan-opening"
        )
    return links


@require_http_methods(["GET", "POST"])
def plan_edit(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, EDIT_REGISTER)
    data = request.POST if request.method == "POST" else None
    form = PlanForm(building, request.user.units, data)
    if form.is_valid() and not form.is_unfinished:
        form.store()
        messages.success(request, _("The plan is saved."))
        return redirect(building)
    return _editor(request, form, None)


def _editor(
    request: AppRequest, form: PlanForm, picture_form: PlanPictureForm | None
) -> HttpResponse:
    is_wrong = picture_form is not None or (form.is_bound and not form.is_unfinished)
    context = {
        "building": form.building,
        "form": form,
        "shows_errors": form.is_bound and not form.is_unfinished,
        "picture": form.picture,
        "most_rows": MOST_ROWS,
        "has_plan": form.building.plan_walls.exists(),
        "picture_form": picture_form or PlanPictureForm(),
        "free": form.building.openings.filter(plan_wall=None),
        **_preview(form, request.user.units),
    }
    return render(request, "sites/plan_edit.html", context, status=422 if is_wrong else 200)


@require_POST
def plan_preview(request: AppRequest, key: UUID) -> HttpResponse:
    """The drawing of what is typed so far, saved nowhere, with what cannot be drawn yet."""
    building = building_for(request.user, key, EDIT_REGISTER)
    form = PlanForm(building, request.user.units, request.POST)
    context = {"form": form, "shows_errors": True, **_preview(form, request.user.units)}
    return render(request, "sites/_plan_preview.html", context)


def _preview(form: PlanForm, units: str) -> dict[str, object]:
    levels = dict(form.building.openings.values_list("number", "level"))
    widths = dict(form.building.openings.values_list("number", "width_mm"))
    asked = [
        Drawn(
            OnWall(
                said.number,
                read.wall.key,
                float(said.along.mm) if said.along else None,
                STOREYS.get(levels.get(said.number, ""), "ground"),
            ),
            said.number,
            float(widths.get(said.number) or 0) or None,
        )
        for read in form.walls
        for said in read.openings
    ]
    east = None if form.east is None else float(form.east)
    walls = [read.wall for read in form.walls]
    lying, standing = (
        _svg(scene, room, units, {}) if scene else ""
        for room, up in ((PREVIEW, False), (PREVIEW_STANDING, True))
        for scene in [plan_scene(walls, asked, SCREEN, room, east, up, number_walls=True)]
    )
    return {
        "preview": lying,
        "preview_standing": standing,
        "lines": json.dumps([_line(read) for read in form.walls]),
    }


def _line(read: ReadWall) -> list[object]:
    """A wall for tracing: its row, and its points in mm."""
    return [read.row, [[round(at.x, 1), round(at.y, 1)] for at in read.wall.points(50.0)]]


@require_POST
def plan_delete(request: AppRequest, key: UUID) -> HttpResponse:
    """Take the whole plan away; its openings stay, without a place on it."""
    building = building_for(request.user, key, EDIT_REGISTER)
    save_plan(building, [], building.ritual_east)
    messages.success(request, _("The plan is taken away. Its openings keep their numbers."))
    return redirect(building)


@require_POST
def plan_picture_add(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, EDIT_REGISTER)
    form: PlanPictureForm | None = PlanPictureForm(request.POST, request.FILES)
    # What is typed but not saved yet comes along with the picture, and is kept in the page.
    data = request.POST if "direction" in request.POST else None
    if form and form.is_valid():
        try:
            keep_picture(building, form.cleaned_data["picture"], form.quarters_left)
        except PhotographRefused as refused:
            form.add_error("picture", str(refused))
        except PhotographDamaged as damaged:
            # A photograph of a window is kept all the same; under a plan it would be of no use.
            unseen = _("This picture cannot be shown: %s. Save it anew and send it again.")
            form.add_error("picture", unseen % damaged.reason)
        else:
            messages.success(request, _("The picture lies under the plan. Trace the walls on it."))
            saved = PlanForm(building, request.user.units)
            if data is None or PlanForm(building, request.user.units, data).says_as(saved):
                return redirect(f"{reverse('sites:plan-edit', args=[building.pk])}#trace")
            form = None
    typed = PlanForm(building, request.user.units, data)
    typed.is_unfinished = True
    return _editor(request, typed, form)


@require_safe
def plan_picture(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send a picture to those who may trace on it."""
    picture = plan_picture_for(request.user, key, EDIT_REGISTER)
    try:
        file = picture.file.open("rb")
    except FileNotFoundError as problem:
        raise Http404 from problem
    response = FileResponse(file, content_type="image/jpeg")
    response["Content-Security-Policy"] = PICTURE_POLICY
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-cache"
    return response


@require_POST
def plan_picture_delete(request: AppRequest, key: UUID) -> HttpResponse:
    picture = plan_picture_for(request.user, key, EDIT_REGISTER)
    remove_picture(picture)
    messages.success(request, _("The picture is taken away. The walls traced from it stay."))
    return redirect("sites:plan-edit", picture.building_id)


@require_http_methods(["GET", "POST"])
def numbers_assign(request: AppRequest, key: UUID) -> HttpResponse:
    """Show old and new numbers side by side; confirmed by a POST that says what was seen."""
    building = building_for(request.user, key, EDIT_REGISTER)
    asked = request.POST if request.method == "POST" else request.GET
    renumber_all = asked.get("which") == "all"
    numerals = _numerals(asked.get("numerals", ""), building)
    proposal: Proposal | None = None
    problem = ""
    try:
        if request.method == "POST":
            seen, today = asked.get("seen", ""), today_at(building)
            count = give_numbers(building, numerals, renumber_all, seen, today)
            messages.success(request, _numbered(count))
            return redirect(building)
        proposal = propose(building, numerals, renumber_all)
    except StaleNumbersError as stale:
        problem, proposal = str(stale), propose(building, numerals, renumber_all)
    except NumberingError as error:
        problem = str(error)
    context = {
        "building": building,
        "proposal": proposal,
        "problem": problem,
        "which": "all" if renumber_all else "missing",
        "numerals": numerals,
    }
    failed = request.method == "POST"
    return render(request, "sites/plan_numbers.html", context, status=422 if failed else 200)


def _numerals(said: str, building: Building) -> Numerals:
    if said == "roman":
        return "roman"
    return "arabic" if said == "arabic" else usual_numerals(building)


def _numbered(count: int) -> str:
    if not count:
        return _("Every opening on the plan has its number already.")
    text = ngettext(
        "%d opening has a new number; the old one is kept with it.",
        "%d openings have new numbers; the old ones are kept with them.",
        count,
    )
    return text % count
