"""Site safety sheets: made from a job's facts, read with their working, printed on one page."""

from decimal import Decimal, InvalidOperation
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import safety_sheet_for
from condition.compute.safety.sheet import DEFERRAL
from condition.documents.safety_sheet.facts import told_facts
from condition.forms.safety_sheets import SafetySheetForm
from condition.models import SafetySheet
from condition.services.safety_sheets import (
    built_year_of,
    cautions_of,
    facts_for_work,
    print_sheet,
)
from sites.access import abilities_at, building_for
from sites.compute.lengths import format_mm
from sites.compute.roles import SURVEY
from sites.documents.vocabulary import caution_codes_known
from sites.errors import PrintError
from sites.hooks import Section
from sites.models import Building
from sites.services.numbers import today_at
from sites.views.form_page import form_page
from sites.web import PDF, PDF_HEADERS, AppRequest

FORM_PAGE = "condition/safety_sheet_edit.html"
PAGE = "condition/safety_sheet.html"
ORDER = 25
SHOWN = 5
HIGHEST_MM = 100_000


@require_http_methods(["GET", "POST"])
def safety_sheet_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Make a sheet; the address may tell what planned work is known to need (see `_known`)."""
    building = building_for(request.user, key, SURVEY)
    new = SafetySheet(building=building, day=today_at(building), built_year=built_year_of(building))
    _fill(new, request)
    return form_page(
        request,
        SafetySheetForm(request.POST or None, instance=new, units=request.user.units),
        title=_("Make a site safety sheet"),
        submit=_("Make the sheet"),
        cancel_url=building.get_absolute_url(),
        success_message=_("The sheet is made. Read it before you go, and print it."),
        success_url=new.get_absolute_url(),
        template=FORM_PAGE,
        building=building,
    )


@require_http_methods(["GET", "POST"])
def safety_sheet_edit(request: AppRequest, key: UUID) -> HttpResponse:
    sheet = safety_sheet_for(request.user, key, SURVEY)
    url = sheet.get_absolute_url()
    return form_page(
        request,
        SafetySheetForm(request.POST or None, instance=sheet, units=request.user.units),
        title=_("Change the site safety sheet"),
        submit=_("Save the sheet"),
        cancel_url=url,
        success_message=_("The sheet is saved."),
        success_url=url,
        template=FORM_PAGE,
        building=sheet.building,
        up_url=url,
        up_text=_("Site safety sheet"),
    )


@require_safe
def safety_sheet(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a sheet: what to mind, the figures with their working, whose they are."""
    shown = safety_sheet_for(request.user, key)
    return render(request, PAGE, _context(request, shown))


@require_safe
def safety_sheet_pdf(request: AppRequest, key: UUID) -> HttpResponse:
    """Print a sheet on one page of the building's paper."""
    shown = safety_sheet_for(request.user, key)
    try:
        printed = print_sheet(shown)
    except PrintError as problem:
        context = _context(request, shown) | {"problem": str(problem)}
        return render(request, PAGE, context, status=422)
    kind = "attachment" if "download" in request.GET else "inline"
    name = f"{slugify(shown.title) or 'sheet'}-{shown.day:%Y-%m-%d}.pdf"
    return HttpResponse(
        printed.pdf,
        content_type=PDF,
        headers={"Content-Disposition": f'{kind}; filename="{name}"', **PDF_HEADERS},
    )


def building_sheets(request: AppRequest, building: Building) -> Section | None:
    """The newest sheets of a building, and the way to the next one."""
    may_survey = SURVEY in abilities_at(request.user, building)
    sheets = list(building.safety_sheets.all()[:SHOWN])
    if not (sheets or may_survey):
        return None
    context = {
        "sheets": sheets,
        "may_survey": may_survey,
        "add_url": reverse("condition:safety-sheet-add", args=[building.pk]),
    }
    return Section(ORDER, "condition/safety_sheets_section.html", context)


def _context(request: AppRequest, shown: SafetySheet) -> dict[str, Any]:
    return {
        "sheet": shown,
        "building": shown.building,
        "facts": told_facts(shown),
        "cautions": cautions_of(shown),
        "deferral": DEFERRAL,
        "may_survey": SURVEY in abilities_at(request.user, shown.building),
    }


def _fill(new: SafetySheet, request: AppRequest) -> None:
    """Fill in what the address tells of planned work; what makes no sense is left.

    `title`, `codes` of its usual cautions, `height` of the opening's head in mm, `below=0` where
    nobody can be.
    """
    codes = set(request.GET.get("codes", "").split(",")) & caution_codes_known()
    height = _millimetres(request.GET.get("height", ""))
    # Taken to pass below until somebody says that nobody can.
    below = request.GET.get("below") != "0"
    new.title = request.GET.get("title", "").replace("\x00", "")[:160]
    new.people_below = below
    if height is not None:
        new.height_mm, new.height_typed = height, format_mm(height)
    if codes:
        told = facts_for_work(new.building, codes, height_mm=height, people_below=below)
        for name in ("access", "hot_work", "lead", "old_paint", "putty", "nesting"):
            setattr(new, name, getattr(told, name))


def _millimetres(text: str) -> Decimal | None:
    try:
        height = Decimal(text[:12])
    except InvalidOperation:
        return None
    return height if height.is_finite() and 0 < height <= HIGHEST_MM else None
