"""Issued quotes: read as they were issued, downloaded, and what became of them."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST, require_safe

from restoration.access import quote_for
from restoration.forms.quotes import QuoteEventForm
from restoration.models import Quote
from restoration.services.decisions import quote_status, standing_of
from sites.access import abilities_at
from sites.compute.roles import READ_COSTS, RECORD_DECISIONS
from sites.documents.words import locale_of
from sites.services.numbers import today_at
from sites.web import AppRequest, send_pdf

PAGE = "restoration/quote_detail.html"


@require_safe
def quote(request: AppRequest, key: UUID) -> HttpResponse:
    """A quote from its own snapshot: nothing on the page is computed again."""
    found = quote_for(request.user, key)
    return render(request, PAGE, _context(request, found))


@require_safe
def quote_pdf(request: AppRequest, key: UUID) -> HttpResponseBase:
    """The issued file itself; `?download=1` saves it instead of showing it."""
    found = quote_for(request.user, key)
    return send_pdf(request, found.pdf, f"{found.number}-v{found.version}.pdf")


@require_POST
def quote_event_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Record what happened to a quote: sent, accepted, declined, withdrawn."""
    found = quote_for(request.user, key, RECORD_DECISIONS)
    form = QuoteEventForm(request.POST, quote=found, user=request.user)
    if form.store_once():
        recorded = found.events.get(pk=form.instance.pk)
        messages.success(
            request, _("Recorded: %(what)s.") % {"what": recorded.get_decision_display()}
        )
        return redirect(f"{found.get_absolute_url()}#decisions")
    return render(request, PAGE, _context(request, found, form), status=422)


def _context(
    request: AppRequest, found: Quote, form: QuoteEventForm | None = None
) -> dict[str, Any]:
    abilities = abilities_at(request.user, found.building)
    events = list(found.events.select_related("recorded_by"))
    standing = standing_of(events)
    today = today_at(found.building)
    may_record = RECORD_DECISIONS in abilities and standing.withdrawn is None
    if may_record and form is None:
        form = QuoteEventForm(quote=found, user=request.user, initial={"day": today})
    return {
        "quote": found,
        "building": found.building,
        "locale": locale_of(found.building),
        "status": quote_status(found, standing, today),
        "standing": standing,
        "days_left": (found.valid_until - today).days,
        "events": events,
        "form": form if may_record or (form and form.is_bound) else None,
        "may_read_costs": READ_COSTS in abilities,
    }
