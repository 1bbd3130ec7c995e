"""How far long work is."""

from uuid import UUID

from django.http import HttpResponse
from django.views.decorators.http import require_safe

from sites.access import job_for
from sites.web import AppRequest, render_swap


@require_safe
def job(request: AppRequest, key: UUID) -> HttpResponse:
    """Show a job; asked by htmx, only the part that moves."""
    return render_swap(
        request, "sites/job.html", "components/_job.html", {"job": job_for(request.user, key)}
    )
