"""Rate books: the list, one book, and its own figures."""

from typing import Any
from uuid import UUID

from django.db.models import Count
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods, require_safe

from restoration.access import rate_book_for
from restoration.forms.rate_books import RateBookAddForm, RateBookForm
from restoration.models import Norm, NormMaterial, RateBook
from sites.access import studio_for
from sites.compute.roles import PRICE
from sites.views.form_page import form_page
from sites.web import AppRequest


@require_safe
def rate_books(request: AppRequest) -> HttpResponse:
    """The studio's rate books, the newest first."""
    studio = studio_for(request.user, PRICE)
    books = studio.rate_books.annotate(estimate_count=Count("estimates")).order_by(
        "-valid_from", "name"
    )
    return render(request, "restoration/rate_book_list.html", {"books": books, "studio": studio})


@require_safe
def rate_book(request: AppRequest, key: UUID) -> HttpResponse:
    """One book whole: labour, materials, norms, percentages."""
    book = rate_book_for(request.user, key)
    context = {
        "book": book,
        "labour": book.labour_rates.all(),
        "materials": book.materials.all(),
        "norms": norms_with_materials(book),
        "without_norm": book.studio.action_kinds.exclude(norms__rate_book=book),
        "estimate_count": book.estimates.count(),
    }
    return render(request, "restoration/rate_book_detail.html", context)


def norms_with_materials(book: RateBook) -> list[dict[str, Any]]:
    """Return the book's norms by kind of action, with what each uses, in two queries."""
    uses: dict[UUID, list[NormMaterial]] = {}
    for use in book.norm_materials.select_related("material").order_by("material__name"):
        uses.setdefault(use.action_kind_id, []).append(use)
    norms = book.norms.select_related("action_kind", "labour_rate").order_by(
        "action_kind__order", "action_kind__name", "labour_rate__trade"
    )
    shown: list[dict[str, Any]] = []
    before: Norm | None = None
    for norm in norms:
        first = before is None or before.action_kind_id != norm.action_kind_id
        # A kind that two trades work at uses its materials once.
        shown.append({"norm": norm, "uses": uses.get(norm.action_kind_id, []) if first else []})
        before = norm
    return shown


@require_http_methods(["GET", "POST"])
def rate_book_add(request: AppRequest) -> HttpResponse:
    studio = studio_for(request.user, PRICE)
    form = RateBookAddForm(request.POST or None, studio=studio, day=timezone.localdate())
    return form_page(
        request,
        form,
        title=_("A new rate book"),
        submit=_("Make the rate book"),
        cancel_url=reverse("restoration:rate-books"),
        success_message=_(
            "The rate book is made. Go through its figures before you price with it."
        ),
        success_url=form.instance.get_absolute_url(),
        template="restoration/rate_book_edit.html",
    )


@require_http_methods(["GET", "POST"])
def rate_book_edit(request: AppRequest, key: UUID) -> HttpResponse:
    book = rate_book_for(request.user, key)
    return form_page(
        request,
        RateBookForm(request.POST or None, instance=book),
        title=_("Percentages and payment"),
        submit=_("Save the rate book"),
        cancel_url=book.get_absolute_url(),
        success_message=_("The rate book is saved. %(effect)s")
        % {"effect": effect_on_estimates(book)},
        success_url=book.get_absolute_url(),
        template="restoration/rate_book_edit.html",
        book=RateBook.objects.get(pk=book.pk),
    )


def effect_on_estimates(book: RateBook) -> str:
    """Say what changing a book does, and what it never does."""
    count = book.estimates.count()
    if not count:
        return _("No estimate is priced with it yet.")
    return (
        ngettext(
            "%d estimate priced with it follows; issued quotes stay as they are.",
            "%d estimates priced with it follow; issued quotes stay as they are.",
            count,
        )
        % count
    )
