"""One repair action: added by hand, changed, taken away."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from condition.models import ActionKind
from restoration.access import action_for, estimate_for
from restoration.forms.actions import ActionForm
from restoration.models import Estimate
from restoration.services.estimates import (
    findings_to_price,
    usual_cautions,
    usual_option,
)
from restoration.services.site_safety import SiteSafety, site_safety
from sites.compute.roles import PRICE
from sites.forms.base import Words
from sites.views.form_page import form_page
from sites.web import AppRequest, render_swap

PAGE = "restoration/action_edit.html"
KIND_FACTS = "restoration/_kind_facts.html"


@require_http_methods(["GET", "POST"])
def action_add(request: AppRequest, key: UUID) -> HttpResponse:
    """Add an action; `?finding=`, `?where=` or `?kind=` fill in what is known already.

    Asked by htmx, only what is to be known of the chosen kind of work.
    """
    estimate = estimate_for(request.user, key, PRICE)
    if request.method == "GET" and request.htmx:
        return _kind_facts(request, estimate)
    initial = _known_already(request, estimate)
    form = ActionForm(request.POST or None, estimate=estimate, initial=initial, user=request.user)
    return _page(request, form, estimate, _("Add an action"), _("Add the action"))


@require_http_methods(["GET", "POST"])
def action_edit(request: AppRequest, key: UUID) -> HttpResponse:
    action = action_for(request.user, key)
    title = f"{action.kind.name}, {action.subject_label}"
    initial = {"where": str(action.subject_key)}
    form = ActionForm(
        request.POST or None,
        instance=action,
        estimate=action.estimate,
        initial=initial,
        user=request.user,
    )
    submit = _("Save the action")
    return _page(request, form, action.estimate, title, submit, action_key=action.pk)


@require_POST
def action_delete(request: AppRequest, key: UUID) -> HttpResponse:
    action = action_for(request.user, key)
    action.delete()
    messages.success(request, _("%(action)s is taken out of the estimate.") % {"action": action})
    return redirect(action.estimate.get_absolute_url())


def _page(
    request: AppRequest,
    form: ActionForm,
    estimate: Estimate,
    title: Words,
    submit: Words,
    **context: Any,
) -> HttpResponse:
    back = estimate.get_absolute_url()
    kind = _chosen_kind(form["kind"].value(), estimate)
    return form_page(
        request,
        form,
        title=title,
        submit=submit,
        cancel_url=back,
        success_message=_("The action is saved."),
        success_url=f"{back}#action-{form.instance.pk}",
        template=PAGE,
        building=estimate.building,
        up_url=back,
        up_text=estimate.title,
        estimate=estimate,
        safety=_safety(form, kind),
        **kind_context(kind),
        **context,
    )


def _safety(form: ActionForm, kind: ActionKind | None) -> SiteSafety | None:
    """What the chosen kind of work is to mind at the opening it is recorded at, if at one."""
    action = form.instance
    opening = action.opening if action.opening_id else None
    work = [(kind, opening)] if kind else []
    return site_safety(form.estimate.building, form.estimate.title, work)


def kind_context(kind: ActionKind | None) -> dict[str, Any]:
    """What `_kind_facts.html` needs: the kind, and the usual cautions of such work."""
    return {"kind": kind, "cautions": usual_cautions([kind] if kind else [])}


def _kind_facts(request: AppRequest, estimate: Estimate) -> HttpResponse:
    kind = _chosen_kind(request.GET.get("kind"), estimate)
    return render_swap(request, KIND_FACTS, KIND_FACTS, kind_context(kind))


def _chosen_kind(key: Any, estimate: Estimate) -> ActionKind | None:
    wanted: Any = key or None
    try:
        return estimate.building.studio.action_kinds.filter(pk=wanted).first()
    except ValidationError:
        return None


def _known_already(request: AppRequest, estimate: Estimate) -> dict[str, Any]:
    """What the address says of the new action; a key from elsewhere says nothing."""
    known: dict[str, Any] = {"kind": request.GET["kind"]} if request.GET.get("kind") else {}
    wanted: Any = request.GET.get("finding") or None
    try:
        finding = findings_to_price(estimate).filter(pk=wanted).first()
    except ValidationError:
        finding = None
    if finding is None:
        return known | {"where": request.GET.get("where", "")}
    return known | {
        "where": str(finding.subject_key),
        "opening": finding.opening_id,
        "findings": [finding.pk],
        "option": usual_option(finding),
    }
