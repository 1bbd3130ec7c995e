"""Stored files as they are sent: copies by signed address, the others to those who may."""

from typing import Final
from uuid import UUID

from django.contrib.auth.decorators import login_not_required
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponseBase
from django.views.decorators.http import require_safe

from condition.access import photograph_for, report_for
from condition.photo_urls import check
from condition.services.photographs import ask_for_lost_copies, note_damage
from sites.compute.roles import SURVEY
from sites.web import AppRequest, send_pdf

# An original is somebody else's file: whatever it holds, nothing of it runs or loads.
ORIGINAL_POLICY: Final = "default-src 'none'; sandbox"
TYPES: Final = {
    "JPEG": "image/jpeg",
    "PNG": "image/png",
    "HEIC": "image/heic",
    "TIFF": "image/tiff",
}


@login_not_required
@require_safe
def photograph_file(request: HttpRequest, key: UUID, size: int) -> HttpResponseBase:
    """Send a copy of a photograph to whoever holds its signed address; see `photo_urls`."""
    asked = request.GET
    try:
        name, seconds_left = check(
            key, size, asked.get("studio", ""), asked.get("until", ""), asked.get("key", "")
        )
        file = default_storage.open(name)
    except ValueError as problem:
        raise Http404 from problem
    except FileNotFoundError as problem:
        ask_for_lost_copies(key)
        raise Http404 from problem
    response = FileResponse(file, content_type="image/jpeg")
    response["Cache-Control"] = f"private, max-age={seconds_left}, immutable"
    response["Content-Security-Policy"] = ORIGINAL_POLICY
    return response


@require_safe
def photograph_original(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send the original as it was received, to be saved and not shown.

    It is read first: one that is no longer what was received bears that in its name.
    """
    photograph = photograph_for(request.user, key, SURVEY)
    damaged = "damaged " if note_damage(photograph) else ""
    name = photograph.name or f"{photograph.pk}.{photograph.format.lower()}"
    try:
        file = photograph.original.open("rb")
    except FileNotFoundError as problem:
        raise Http404 from problem
    response = FileResponse(
        file,
        as_attachment=True,
        filename=f"{damaged}{name}",
        content_type=TYPES.get(photograph.format, "application/octet-stream"),
    )
    response["Content-Security-Policy"] = ORIGINAL_POLICY
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, no-cache"
    return response


@require_safe
def report_pdf(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send an issued report to be read in the browser, or saved with `?download=1`."""
    report = report_for(request.user, key)
    return send_pdf(request, report.pdf, f"{report.number}-v{report.version}.pdf")


@require_safe
def report_archival(request: AppRequest, key: UUID) -> HttpResponseBase:
    """Send the copy of an issued report that is made for keeping, to be saved."""
    report = report_for(request.user, key)
    name = f"{report.number}-v{report.version}-archival.pdf"
    return send_pdf(request, report.archival, name, attached=True)
