"""What the views of every room share."""

import logging
from typing import Any, Final

from django.db.models.fields.files import FieldFile
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers
from django_htmx.middleware import HtmxDetails

from sites.models import User

logger = logging.getLogger(__name__)

PDF: Final = "application/pdf"
# A browser's own viewer of PDFs needs its styles and its plug-in, and nothing from anywhere. What
# is issued is for those who may read it: no browser and no proxy keeps a copy for somebody else.
PDF_HEADERS: Final = {
    "Cache-Control": "private, no-store",
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
}


class AppRequest(HttpRequest):
    """A request behind the sign-in: there is always a user."""

    user: User
    htmx: HtmxDetails


def render_swap(
    request: AppRequest, page: str, fragment: str, context: dict[str, Any], status: int = 200
) -> HttpResponse:
    """Render `fragment` where htmx will swap it in, the whole `page` otherwise."""
    htmx = request.htmx
    swaps = bool(htmx) and not htmx.boosted and not htmx.history_restore_request
    response = render(request, fragment if swaps else page, context, status=status)
    patch_vary_headers(response, ("HX-Request", "HX-Boosted", "HX-History-Restore-Request"))
    return response


def send_pdf(
    request: HttpRequest, file: FieldFile, name: str, *, attached: bool = False
) -> FileResponse:
    """Send an issued document to be read in the browser, or saved with `?download=1`.

    name: it is saved under, with its ending. attached: it is only ever saved.

    Raises Http404 for a file that is not in the store; that one should be is logged.
    """
    if not file:
        raise Http404
    try:
        opened = file.open("rb")
    except FileNotFoundError as problem:
        logger.exception("the file %s of %r is not in the store", file.name, file.instance)
        raise Http404 from problem
    return FileResponse(
        opened,
        as_attachment=attached or "download" in request.GET,
        filename=name,
        content_type=PDF,
        headers=PDF_HEADERS,
    )


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say which address was expected and which came: nearly always a proxy's setting."""
    told = {
        "reason": reason,
        "host": request.META.get("HTTP_HOST", ""),
        "origin": request.META.get("HTTP_ORIGIN", ""),
        "scheme": request.scheme,
    }
    return render(request, "csrf_failure.html", told, status=403)
