"""One attached item: a plaque as it is drawn and worded, and what holds it."""

import re
from uuid import UUID

from django.contrib import messages
from django.db.models import prefetch_related_objects
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sites.access import abilities_at, fixing_for, item_for, opening_for
from sites.compute.fixings import tally
from sites.compute.roles import EDIT_REGISTER
from sites.documents.words import locale_of, placement_words
from sites.forms.attached import FixingForm, ItemForm
from sites.hooks import actions_of, hooks, marks_of, sections_of
from sites.models import AttachedItem, Fixing, Opening
from sites.services.fixings import fixings_told
from sites.services.numbers import today_at
from sites.views.form_page import form_page
from sites.views.proofs import proof_context
from sites.web import AppRequest


@require_safe
def item(request: AppRequest, key: UUID) -> HttpResponse:
    record = item_for(request.user, key)
    prefetch_related_objects([record], "fixings")
    fixings = record.fixings.all()
    abilities = abilities_at(request.user, record.opening.building)
    context = {
        "item": record,
        "opening": record.opening,
        "building": record.opening.building,
        "may_edit": EDIT_REGISTER in abilities,
        "mark": marks_of(hooks.part_marks, request, record.opening).get(record.pk),
        **proof_context(request, record, abilities),
        "fixings": fixings,
        "told": fixings_told(record, today_at(record.opening.building)),
        "placement": placement_words(record, locale_of(record.opening.building)),
        "tally": tally((fixing.count, fixing.state) for fixing in fixings),
        "sections": sections_of(hooks.item_sections, request, record),
        "actions": actions_of(hooks.item_actions, request, record),
    }
    return render(request, "sites/item_detail.html", context)


@require_http_methods(["GET", "POST"])
def item_add(request: AppRequest, key: UUID) -> HttpResponse:
    opening = opening_for(request.user, key, EDIT_REGISTER)
    record = AttachedItem(opening=opening, number=next_number(opening))
    return form_page(
        request,
        ItemForm(request.POST or None, instance=record, user=request.user),
        title=_("Add an attached item"),
        submit=_("Save the item"),
        cancel_url=opening.get_absolute_url(),
        success_message=_("The item is saved. Say next what holds it."),
        success_url=record.get_absolute_url(),
        another=True,
        building=opening.building,
        opening=opening,
    )


@require_http_methods(["GET", "POST"])
def item_edit(request: AppRequest, key: UUID) -> HttpResponse:
    record = item_for(request.user, key, EDIT_REGISTER)
    return form_page(
        request,
        ItemForm(request.POST or None, instance=record, user=request.user),
        title=_("Change the item"),
        submit=_("Save the item"),
        cancel_url=record.get_absolute_url(),
        success_message=_("The item is saved."),
        success_url=record.get_absolute_url(),
        building=record.opening.building,
        opening=record.opening,
    )


@require_http_methods(["GET", "POST"])
def fixing_add(request: AppRequest, key: UUID) -> HttpResponse:
    record = item_for(request.user, key, EDIT_REGISTER)
    return _fixing_page(request, Fixing(item=record), _("Add a fixing"), another=True)


@require_http_methods(["GET", "POST"])
def fixing_edit(request: AppRequest, key: UUID) -> HttpResponse:
    fixing = fixing_for(request.user, key, EDIT_REGISTER)
    return _fixing_page(request, fixing, _("Change the fixing"), another=False)


@require_POST
def fixing_delete(request: AppRequest, key: UUID) -> HttpResponse:
    fixing = fixing_for(request.user, key, EDIT_REGISTER)
    fixing.delete()
    messages.success(request, _("The fixing is taken away."))
    return redirect(fixings_url(fixing.item))


def fixings_url(record: AttachedItem) -> str:
    return f"{record.get_absolute_url()}#fixings"


def next_number(opening: Opening) -> str:
    """Return the number after the highest `P<n>` of the opening."""
    numbers = opening.attached_items.values_list("number", flat=True)
    taken = [int(match[1]) for number in numbers if (match := re.fullmatch(r"P(\d{1,4})", number))]
    return f"P{max(taken, default=0) + 1}"


def _fixing_page(request: AppRequest, fixing: Fixing, title: str, *, another: bool) -> HttpResponse:
    record = fixing.item
    return form_page(
        request,
        FixingForm(request.POST or None, instance=fixing, user=request.user),
        title=title,
        submit=_("Save the fixing"),
        cancel_url=fixings_url(record),
        success_message=_("The fixing is saved."),
        success_url=fixings_url(record),
        another=another,
        building=record.opening.building,
        opening=record.opening,
        up_url=record.get_absolute_url(),
        up_text=record.number,
    )
