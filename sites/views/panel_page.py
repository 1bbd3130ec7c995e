"""One panel: its outline and sizes, its leads, its mass, and the came to buy for it."""

from dataclasses import dataclass
from typing import Final
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from sites.access import abilities_at, panel_for
from sites.compute.geometry.rings import Ring
from sites.compute.quantities.schedule import CameLength
from sites.compute.roles import EDIT_REGISTER
from sites.forms.came import PanelLeadsForm
from sites.hooks import hooks, marks_of, sections_of
from sites.models import CameRun
from sites.services.figures import figures_of
from sites.services.quantities import quantities_of, shape_of, sizes_of_panel
from sites.services.shapes import division_of
from sites.views.form_page import form_page
from sites.web import AppRequest

DRAWN_UNITS: Final = 320.0
MARGIN: Final = 4.0


@dataclass(frozen=True)
class OutlineDrawing:
    """A panel's outline as seen from inside, in a box of `width` × `height` units."""

    path: str
    view_box: str


@dataclass(frozen=True)
class CameRow:
    """A line of the schedule, with the record it is of where there is one."""

    line: CameLength
    run: CameRun | None


@require_safe
def panel(request: AppRequest, key: UUID) -> HttpResponse:
    record = panel_for(request.user, key)
    opening = record.opening
    building = opening.building
    runs = list(record.came_runs.select_related("profile"))
    division = division_of(opening)
    figures = figures_of(building.studio)
    told = quantities_of(record, division, figures, runs)
    shape = shape_of(record, division)
    context = {
        "panel": record,
        "opening": opening,
        "building": building,
        "may_edit": EDIT_REGISTER in abilities_at(request.user, building),
        "mark": marks_of(hooks.part_marks, request, opening).get(record.pk),
        "drawing": draw_outline(shape.rings) if shape else None,
        "sizes": sizes_of_panel(record, shape, division, figures),
        "told": told,
        "came_rows": rows_of(told.came, runs),
        "loose_runs": [run for run in runs if not told.came],
        "sections": sections_of(hooks.panel_sections, request, record),
    }
    return render(request, "sites/panel_detail.html", context)


@require_http_methods(["GET", "POST"])
def panel_leads(request: AppRequest, key: UUID) -> HttpResponse:
    record = panel_for(request.user, key, EDIT_REGISTER)
    back = reverse("sites:panel", args=[record.pk])
    return form_page(
        request,
        PanelLeadsForm(request.POST or None, instance=record, user=request.user),
        title=_("Leads and glass of the panel"),
        submit=_("Save the panel"),
        cancel_url=back,
        success_message=_("The panel is saved."),
        success_url=back,
        building=record.opening.building,
        opening=record.opening,
        up_url=back,
        up_text=record.number,
    )


def draw_outline(rings: tuple[Ring, ...]) -> OutlineDrawing:
    """Return the rings with the longest side at DRAWN_UNITS, y downwards."""
    boxes = [ring.box for ring in rings]
    left, top = min(box.left for box in boxes), max(box.top for box in boxes)
    width = max(box.right for box in boxes) - left
    height = top - min(box.bottom for box in boxes)
    scale = DRAWN_UNITS / max(width, height)
    size = f"{width * scale + 2 * MARGIN:.1f} {height * scale + 2 * MARGIN:.1f}"
    return OutlineDrawing(
        path=" ".join(ring.path(scale=scale, flip=True) for ring in rings),
        view_box=f"{left * scale - MARGIN:.1f} {-top * scale - MARGIN:.1f} {size}",
    )


def rows_of(came: tuple[CameLength, ...], runs: list[CameRun]) -> list[CameRow]:
    """Return the lines of the schedule, each with the record of its profile and place."""
    by_place = {(str(run.profile_id), run.border): run for run in runs}
    return [CameRow(line, by_place.get((line.profile.key, line.border))) for line in came]
