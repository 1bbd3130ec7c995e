"""One rate, one material, one norm: added to a rate book, or changed in it."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from restoration.access import labour_rate_for, material_for, norm_for, rate_book_for
from restoration.forms.rates import LabourRateForm, MaterialForm, NormAddForm, NormForm
from restoration.models import RateBook
from restoration.views.rate_books import effect_on_estimates
from sites.forms.base import RecordForm, Words
from sites.views.form_page import form_page
from sites.web import AppRequest

TEMPLATE = "restoration/rate_book_edit.html"


@require_http_methods(["GET", "POST"])
def labour_rate_add(request: AppRequest, key: UUID) -> HttpResponse:
    book = rate_book_for(request.user, key)
    form = LabourRateForm(request.POST or None, rate_book=book)
    return _page(request, form, book, _("A trade"), _("Save the rate"), "labour")


@require_http_methods(["GET", "POST"])
def labour_rate_edit(request: AppRequest, key: UUID) -> HttpResponse:
    rate = labour_rate_for(request.user, key)
    title = _("An hour of a %(trade)s") % {"trade": rate.trade}
    form = LabourRateForm(request.POST or None, instance=rate, rate_book=rate.rate_book)
    return _page(request, form, rate.rate_book, title, _("Save the rate"), "labour")


@require_http_methods(["GET", "POST"])
def material_add(request: AppRequest, key: UUID) -> HttpResponse:
    book = rate_book_for(request.user, key)
    form = MaterialForm(request.POST or None, rate_book=book)
    return _page(request, form, book, _("A material"), _("Save the material"), "materials")


@require_http_methods(["GET", "POST"])
def material_edit(request: AppRequest, key: UUID) -> HttpResponse:
    material = material_for(request.user, key)
    title = material.name
    form = MaterialForm(request.POST or None, instance=material, rate_book=material.rate_book)
    return _page(request, form, material.rate_book, title, _("Save the material"), "materials")


@require_http_methods(["GET", "POST"])
def norm_add(request: AppRequest, key: UUID) -> HttpResponse:
    book = rate_book_for(request.user, key)
    initial = {"action_kind": request.GET.get("kind", "")}
    form = NormAddForm(request.POST or None, rate_book=book, initial=initial)
    return _page(request, form, book, _("A norm"), _("Save the norm"), "norms")


@require_http_methods(["GET", "POST"])
def norm_edit(request: AppRequest, key: UUID) -> HttpResponse:
    norm = norm_for(request.user, key)
    form = NormForm(request.POST or None, instance=norm, rate_book=norm.rate_book)
    meta = _("Its quantity is counted in: %(unit)s") % {"unit": norm.action_kind.get_unit_display()}
    title = norm.action_kind.name
    return _page(request, form, norm.rate_book, title, _("Save the norm"), "norms", meta=meta)


def _page(
    request: AppRequest,
    form: RecordForm,
    book: RateBook,
    title: Words,
    submit: Words,
    part: str,
    **context: Any,
) -> HttpResponse:
    """A form of a part of the book; afterwards one is back at that part."""
    back = f"{book.get_absolute_url()}#{part}"
    return form_page(
        request,
        form,
        title=title,
        submit=submit,
        cancel_url=back,
        success_message=_("Saved. %(effect)s") % {"effect": effect_on_estimates(book)},
        success_url=back,
        template=TEMPLATE,
        book=book,
        **context,
    )
