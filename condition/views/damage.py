"""The damage map of an opening at one survey, and a finding's marks on its own page."""

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import Any
from uuid import UUID

from django.db.models import Count, QuerySet
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from condition.access import survey_for
from condition.compute.rectify.homography import RectifyError
from condition.compute.strokes import StrokeError
from condition.models import Finding, FindingMark, Photograph
from condition.models.finding import FindingQuerySet
from condition.services.closures import closed_at
from condition.services.extents import working_of
from condition.services.marks import figured_on_elevation, figured_on_photograph, marks_of
from condition.services.rectifying import limits_of, measured
from condition.services.surfaces import ElevationSurface
from condition.views.mark_boards import Board, MarkRow, elevation_board, photograph_board, rows_of
from condition.views.names import survey_name
from condition.views.pictures import caption_of
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.hooks import Section
from sites.models import Opening
from sites.web import AppRequest

# Photographs with marks on them that a damage map shows; each is straightened where it can be.
MOST_PICTURES = 12


@dataclass(frozen=True)
class MarkedPicture:
    """A photograph with marks on it, its caption, its legend and what was computed."""

    photograph: Photograph
    caption: str
    board: Board


@require_safe
def damage_map(request: AppRequest, key: UUID, opening_key: UUID) -> HttpResponse:
    """Show all that a survey drew of one opening: on the elevation and on photographs."""
    survey = survey_for(request.user, key)
    opening = Opening.objects.filter(pk=opening_key, building=survey.building_id).first()
    if opening is None:
        raise Http404
    marks = list(
        marks_of(FindingMark.objects.filter(finding__survey=survey, finding__opening=opening))
    )
    units = request.user.units
    from_outside = request.GET.get("from") == "outside"
    on_elevation = [mark for mark in marks if mark.photograph_id is None]
    board = elevation_board(opening, on_elevation, units, from_outside)
    context = {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "opening": opening,
        "closed": closed_at(opening),
        "board": board,
        "rows": _figures(on_elevation, board, units),
        "pictures": marked_pictures(marks, units),
        "findings": _undrawn(survey.findings.filter(opening=opening), marks),
        "may_survey": SURVEY in abilities_at(request.user, survey.building),
    }
    return render(request, "condition/damage_map.html", context)


def marks_section(request: AppRequest, finding: Finding) -> Section | None:
    """A finding's marks with their figures, and how its amount was measured."""
    building = finding.survey.building
    may_survey = SURVEY in abilities_at(request.user, building)
    marks = list(marks_of(finding.marks.all()))
    working = working_of(finding)
    if not (marks or working or may_survey):
        return None
    units = request.user.units
    on_elevation = [mark for mark in marks if mark.photograph_id is None]
    board = None
    rows: list[MarkRow] = []
    if on_elevation:
        board = elevation_board(finding.opening, on_elevation, units, finding.side == "outside")
        rows = _figures(on_elevation, board, units)
    context = {
        "finding": finding,
        "board": board,
        "rows": rows,
        "pictures": marked_pictures(marks, units),
        "working": working,
        "stale": bool(finding.amount_working) and working is None,
        "may_survey": may_survey,
        "marks_url": reverse("condition:finding-marks", args=[finding.pk]),
        "map_url": reverse("condition:damage-map", args=[finding.survey_id, finding.opening_id]),
    }
    return Section(15, "condition/marks_section.html", context)


def damage_maps(request: AppRequest, opening: Opening) -> Section | None:
    """Which surveys drew something of an opening, the latest first."""
    surveys: QuerySet[Any] = (
        opening.building.surveys.filter(findings__opening=opening)
        .annotate(count=Count("findings__marks"))
        .filter(count__gt=0)
        .order_by("-day", "-id")
    )
    maps = [
        (
            reverse("condition:damage-map", args=[each.pk, opening.pk]),
            survey_name(each),
            each.count,
        )
        for each in surveys
    ]
    return Section(25, "condition/damage_maps.html", {"maps": maps}) if maps else None


def marked_pictures(marks: list[FindingMark], units: str) -> list[MarkedPicture]:
    """Return the photographs the marks are on, with their marks; straightened where they can be."""
    by_photograph: dict[UUID, list[FindingMark]] = defaultdict(list)
    for mark in marks:
        if mark.photograph_id:
            by_photograph[mark.photograph_id].append(mark)
    rows = (
        Photograph.objects.filter(pk__in=by_photograph)
        .select_related("building__studio", "opening")
        .with_renditions()
        .with_findings()
    )
    return [_marked(each, by_photograph[each.pk], units) for each in rows[:MOST_PICTURES]]


def _marked(photograph: Photograph, marks: list[FindingMark], units: str) -> MarkedPicture:
    sheet = measured(photograph, limits_of(photograph.building.studio))
    try:
        figured = figured_on_photograph(marks, sheet)
        board = photograph_board(photograph, sheet, marks, units)
    except (RectifyError, StrokeError):
        figured = figured_on_photograph(marks, None)
        board = photograph_board(photograph, None, marks, units)
    board = replace(board, rows=rows_of(figured, units))
    return MarkedPicture(photograph, photograph.caption or caption_of(photograph), board)


def _figures(marks: list[FindingMark], board: Board, units: str) -> list[MarkRow]:
    surface = board.surface
    if not isinstance(surface, ElevationSurface):
        return []
    return rows_of(figured_on_elevation(marks, surface.parts), units)


def _undrawn(findings: FindingQuerySet, marks: list[FindingMark]) -> list[Finding]:
    """The opening's findings nobody has drawn yet."""
    drawn = {mark.finding_id for mark in marks}
    rows = findings.select_related("kind", "opening", "panel", "attached_item")
    return [each for each in rows.order_by("number") if each.pk not in drawn]
