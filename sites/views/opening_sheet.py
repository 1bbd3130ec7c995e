"""An opening as a sheet of paper: drawn at a true scale, as PDF."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _
from django.views.decorators.http import require_safe

from sites.access import opening_for
from sites.compute.drawing.scales import ScaleError
from sites.documents.opening_sheet import SheetOrder, sheet_html
from sites.errors import PrintError
from sites.models import Opening
from sites.printing import print_pdf
from sites.services.elevations import elevation_of
from sites.web import AppRequest


@require_safe
def opening_drawing(request: AppRequest, key: UUID) -> HttpResponse:
    """Return the sheet; a scale that cannot be has a page that says which can."""
    opening = opening_for(request.user, key)
    from_outside = request.GET.get("from") == "outside"
    asked = request.GET.get("scale", "")
    if asked and not (asked.isascii() and asked.isdigit()):
        return _refused(request, opening, _("A scale is a whole number: 20 for 1:20."), ())
    order = SheetOrder(
        opening=opening,
        elevation=elevation_of(opening),
        scale=int(asked[:6]) if asked else None,
        from_outside=from_outside,
        day=timezone.localdate(),
    )
    try:
        html, scale = sheet_html(order)
        printed = print_pdf(html)
    except ScaleError as refusal:
        return _refused(request, opening, str(refusal), refusal.possible)
    except PrintError as problem:
        return _refused(request, opening, str(problem), ())
    side = "-outside" if from_outside else ""
    name = f"{slugify(opening.number) or 'opening'}-1-{scale}{side}.pdf"
    return HttpResponse(
        printed.pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )


def _refused(
    request: AppRequest, opening: Opening, why: str, possible: tuple[int, ...]
) -> HttpResponse:
    context = {
        "opening": opening,
        "building": opening.building,
        "why": why,
        "possible": possible,
        "outside": request.GET.get("from") == "outside",
    }
    return render(request, "sites/opening_drawing.html", context, status=422)
