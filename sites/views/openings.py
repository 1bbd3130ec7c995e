"""One opening: its drawing, its panels, what is attached to it, its older numbers."""

from uuid import UUID

from django.contrib import messages
from django.db.models import Sum
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sites.access import abilities_at, building_for, older_number_for, opening_for
from sites.compute.numbering import natural_order
from sites.compute.roles import EDIT_REGISTER
from sites.forms.base import RecordForm
from sites.forms.opening import OlderNumberForm, OpeningForm, PanelGridForm
from sites.hooks import actions_of, hooks, marks_of, sections_of
from sites.models import OlderNumber, Opening
from sites.views.came import opening_came
from sites.views.drawings import drawing_of
from sites.views.form_page import form_page
from sites.web import AppRequest


@require_safe
def opening(request: AppRequest, key: UUID) -> HttpResponse:
    return opening_page(request, opening_for(request.user, key))


def opening_page(
    request: AppRequest,
    record: Opening,
    older_form: RecordForm | None = None,
    grid_form: PanelGridForm | None = None,
) -> HttpResponse:
    """Show an opening; with a form that was sent and is wrong, as 422 with the form's errors."""
    panels = list(record.panels.all())
    items = sorted(
        record.attached_items.select_related("panel").annotate(count=Sum("fixings__count")),
        key=lambda item: natural_order(item.number),
    )
    marks = marks_of(hooks.part_marks, request, record)
    outside = request.GET.get("from") == "outside"
    wrong = [form for form in (older_form, grid_form) if form is not None]
    context = {
        "opening": record,
        "building": record.building,
        "may_edit": EDIT_REGISTER in abilities_at(request.user, record.building),
        "panels": [(panel, marks.get(panel.pk)) for panel in panels],
        "items": [(item, marks.get(item.pk)) for item in items],
        "drawing": drawing_of(record, panels, items, marks, request.user.units, outside),
        "older_numbers": record.older_numbers.all(),
        "older_form": older_form or OlderNumberForm(instance=OlderNumber(opening=record)),
        "grid_form": grid_form or PanelGridForm(opening=record),
        "wrong": wrong[0] if wrong else None,
        "came": opening_came(record, panels),
        "sections": sections_of(hooks.opening_sections, request, record),
        "actions": actions_of(hooks.opening_actions, request, record),
    }
    return render(request, "sites/opening_detail.html", context, status=422 if wrong else 200)


@require_http_methods(["GET", "POST"])
def opening_add(request: AppRequest, key: UUID) -> HttpResponse:
    building = building_for(request.user, key, EDIT_REGISTER)
    record = Opening(building=building)
    return form_page(
        request,
        OpeningForm(request.POST or None, instance=record, user=request.user),
        title=_("Add an opening"),
        submit=_("Save the opening"),
        cancel_url=building.get_absolute_url(),
        success_message=_("The opening is saved."),
        success_url=record.get_absolute_url(),
        another=True,
        building=building,
    )


@require_http_methods(["GET", "POST"])
def opening_edit(request: AppRequest, key: UUID) -> HttpResponse:
    record = opening_for(request.user, key, EDIT_REGISTER)
    return form_page(
        request,
        OpeningForm(request.POST or None, instance=record, user=request.user),
        title=_("Change the opening"),
        submit=_("Save the opening"),
        cancel_url=record.get_absolute_url(),
        success_message=_("The opening is saved."),
        success_url=record.get_absolute_url(),
        building=record.building,
        # As it stands in the register, whatever has just been typed.
        opening=opening_for(request.user, key),
    )


@require_POST
def older_number_add(request: AppRequest, key: UUID) -> HttpResponse:
    record = opening_for(request.user, key, EDIT_REGISTER)
    form = OlderNumberForm(request.POST, instance=OlderNumber(opening=record))
    if form.store_once():
        messages.success(request, _("The older number is saved."))
        return redirect(f"{record.get_absolute_url()}#older-numbers")
    return opening_page(request, record, older_form=form)


@require_POST
def older_number_delete(request: AppRequest, key: UUID) -> HttpResponse:
    older = older_number_for(request.user, key, EDIT_REGISTER)
    older.delete()
    messages.success(request, _("The older number is taken away."))
    return redirect(f"{older.opening.get_absolute_url()}#older-numbers")
