"""What the views of every room share."""

from typing import Any, Final

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.cache import patch_vary_headers
from django_htmx.middleware import HtmxDetails

from sites.models import User

# A browser's own viewer of PDFs needs its styles and its plug-in, and nothing from anywhere.
PDF_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'none'"
)


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


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """Say which address was expected and which came: nearly always a proxy's setting."""
    told = {
        "reason": reason,
        "host": request.META.get("HTTP_HOST", ""),
        "origin": request.META.get("HTTP_ORIGIN", ""),
        "scheme": request.scheme,
    }
    return render(request, "csrf_failure.html", told, status=403)
