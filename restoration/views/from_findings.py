"""From findings to actions: ticked in one list, many at once."""

from itertools import groupby
from typing import Any, Final
from uuid import UUID

from django.contrib import messages
from django.core.paginator import Page, Paginator
from django.db import IntegrityError
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from condition.models import ActionKind, Finding
from restoration.access import estimate_for
from restoration.forms.from_findings import FindingRow, FromFindingsForm
from restoration.models import Estimate, RepairAction
from restoration.services.estimates import (
    add_actions,
    findings_to_price,
    suggestions_for,
    taken_in,
    usual_cautions,
)
from sites.compute.roles import PRICE
from sites.services.recording import NotRecordedError
from sites.web import AppRequest

# Each finding has some eight boxes; a form of more than a thousand is refused by the server.
A_PAGE: Final = 40


@require_http_methods(["GET", "POST"])
def actions_from_findings(request: AppRequest, key: UUID) -> HttpResponse:
    """List the survey's findings with their usual actions; make actions of those ticked."""
    estimate = estimate_for(request.user, key, PRICE)
    page = Paginator(findings_to_price(estimate), A_PAGE).get_page(request.GET.get("page"))
    kinds = list(estimate.building.studio.action_kinds.all())
    form = _form(request, estimate, list(page.object_list), kinds)
    if request.method == "POST" and (form.saved_before() or form.is_valid()):
        try:
            messages.success(request, _add_once(estimate, form))
        except NotRecordedError as error:
            form.add_error(None, str(error))
        else:
            return redirect(estimate.get_absolute_url())
    context = _context(estimate, page, form)
    return render(
        request,
        "restoration/actions_from_findings.html",
        context,
        status=422 if form.is_bound else 200,
    )


def _form(
    request: AppRequest, estimate: Estimate, findings: list[Finding], kinds: list[ActionKind]
) -> FromFindingsForm:
    suggestions = suggestions_for(findings, taken_in(estimate))
    return FromFindingsForm(
        request.POST or None,
        estimate=estimate,
        findings=findings,
        suggestions=suggestions,
        kinds=kinds,
    )


def _add_once(estimate: Estimate, form: FromFindingsForm) -> str:
    """Add what the page chose unless it has been sent before, and return what is to be said."""
    try:
        made = [] if form.saved_before() else add_actions(estimate, form.chosen, form.first_key)
    except IntegrityError:
        # The same page, sent twice, was only just saved; anything else is nobody's to hide.
        if not form.saved_before():
            raise
        made = []
    return _said(made) if made else _("The actions are added already.")


def _said(made: list[RepairAction]) -> str:
    missing = sum(action.quantity is None for action in made)
    added = ngettext("%d action is added.", "%d actions are added.", len(made)) % len(made)
    if not missing:
        return added
    without = ngettext("%d has no quantity yet.", "%d have no quantity yet.", missing) % missing
    return f"{added} {without}"


def _context(estimate: Estimate, page: Page, form: FromFindingsForm) -> dict[str, Any]:
    rows = form.rows()
    return {
        "estimate": estimate,
        "building": estimate.building,
        "form": form,
        "page": page,
        "groups": _by_opening(rows),
        "cautions": usual_cautions(each.kind for row in rows for each in row.suggestions),
    }


def _by_opening(rows: list[FindingRow]) -> list[dict[str, Any]]:
    return [
        {"opening": opening, "rows": list(of_opening)}
        for opening, of_opening in groupby(rows, key=lambda row: row.finding.opening)
    ]
