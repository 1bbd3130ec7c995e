"""A photograph made measurable by its known points, and that photograph straightened."""

from decimal import Decimal
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.access import photograph_for
from condition.compute.rectify.homography import RectifyError
from condition.forms.scales import ScaleForm
from condition.models import Photograph
from condition.services.rectifying import (
    Measured,
    copy_of,
    forget_scale,
    limits_of,
    measured,
    straightened_jpeg,
)
from condition.views.files import ORIGINAL_POLICY
from condition.views.names import survey_name
from condition.views.pictures import Picture, caption_of, picture_of
from sites.compute.plain_numbers import plain_number
from sites.compute.roles import SURVEY
from sites.views.form_page import form_page
from sites.web import AppRequest

HOUR_SECONDS = 3600


@require_http_methods(["GET", "POST"])
def photograph_scale(request: AppRequest, key: UUID) -> HttpResponse:
    """Place the known points of a photograph; once placed, show what they are worth."""
    photograph = photograph_for(request.user, key, SURVEY)
    url = reverse("condition:photograph-scale", args=[photograph.pk])
    if request.method == "POST" and request.POST.get("act") == "forget":
        forget_scale(photograph)
        messages.success(request, _("The known points are taken away."))
        return redirect(url)
    copy = copy_of(photograph)
    sheet = measured(photograph, limits_of(photograph.building.studio))
    survey = photograph.survey
    return form_page(
        request,
        ScaleForm(request.POST or None, photograph=photograph, user=request.user),
        title=_("Measure on a photograph"),
        submit=_("Save the points"),
        cancel_url=reverse("condition:photograph", args=[photograph.pk]),
        success_message=_("The photograph can be measured on."),
        success_url=f"{url}#worth",
        template="condition/scale.html",
        photograph=photograph,
        picture=_shown(photograph, copy.size) if copy else None,
        building=photograph.building,
        opening=photograph.opening,
        sheet=sheet,
        step=_step(sheet),
        straight_url=_straight_url(sheet),
        marks_url=_marks_url(photograph),
        survey_name=survey_name(survey) if survey else "",
        up_url=reverse("condition:photograph", args=[photograph.pk]),
        up_text=photograph.caption or caption_of(photograph),
    )


@require_safe
def photograph_rectified(request: AppRequest, key: UUID) -> HttpResponse:
    """Send the photograph straightened, made anew from its copy each time it is asked for."""
    photograph = photograph_for(request.user, key)
    sheet = measured(photograph, limits_of(photograph.building.studio))
    if sheet is None:
        raise Http404
    try:
        jpeg = straightened_jpeg(sheet)
    except (RectifyError, FileNotFoundError) as problem:
        raise Http404 from problem
    response = HttpResponse(jpeg, content_type="image/jpeg")
    response["Cache-Control"] = f"private, max-age={HOUR_SECONDS}"
    response["Content-Security-Policy"] = ORIGINAL_POLICY
    response["X-Content-Type-Options"] = "nosniff"
    return response


def _shown(photograph: Photograph, size: int) -> Picture:
    return picture_of(photograph, photograph.building.studio_id, size)


def _step(sheet: Measured | None) -> str:
    """Millimetres a pixel of the straightened picture, as stated beside it."""
    try:
        return plain_number(Decimal(str(sheet.frame.mm_per_px))) if sheet else ""
    except RectifyError:
        return ""


def _straight_url(sheet: Measured | None) -> str:
    if sheet is None or not _step(sheet):
        return ""
    address = reverse("condition:photograph-rectified", args=[sheet.photograph.pk])
    return f"{address}?at={sheet.scale.set_at.timestamp():.0f}"


def _marks_url(photograph: Photograph) -> str:
    shown = photograph.findings.all()
    if not shown:
        return ""
    address = reverse("condition:finding-marks", args=[shown[0].pk])
    return f"{address}?on={photograph.pk}"
