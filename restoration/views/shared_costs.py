"""Costs that several actions share: added, changed, taken away."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from restoration.access import estimate_for, shared_cost_for
from restoration.forms.estimates import SharedCostForm
from restoration.models import Estimate
from sites.compute.roles import PRICE
from sites.forms.base import Words
from sites.views.form_page import form_page
from sites.web import AppRequest


@require_http_methods(["GET", "POST"])
def shared_cost_add(request: AppRequest, key: UUID) -> HttpResponse:
    estimate = estimate_for(request.user, key, PRICE)
    form = SharedCostForm(request.POST or None, estimate=estimate)
    return _page(request, form, estimate, _("A shared cost"))


@require_http_methods(["GET", "POST"])
def shared_cost_edit(request: AppRequest, key: UUID) -> HttpResponse:
    cost = shared_cost_for(request.user, key)
    title = cost.description
    form = SharedCostForm(request.POST or None, instance=cost, estimate=cost.estimate)
    return _page(request, form, cost.estimate, title, cost_key=cost.pk)


@require_POST
def shared_cost_delete(request: AppRequest, key: UUID) -> HttpResponse:
    cost = shared_cost_for(request.user, key)
    cost.delete()
    messages.success(request, _("%(cost)s is taken away.") % {"cost": cost.description})
    return redirect(f"{cost.estimate.get_absolute_url()}#shared")


def _page(
    request: AppRequest, form: SharedCostForm, estimate: Estimate, title: Words, **context: Any
) -> HttpResponse:
    back = f"{estimate.get_absolute_url()}#shared"
    return form_page(
        request,
        form,
        title=title,
        submit=_("Save the shared cost"),
        cancel_url=back,
        success_message=_("The shared cost is saved."),
        success_url=back,
        template="restoration/shared_cost_edit.html",
        building=estimate.building,
        up_url=estimate.get_absolute_url(),
        up_text=estimate.title,
        **context,
    )
