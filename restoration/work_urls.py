"""Addresses of estimates, quotes and rate books."""

from django.urls import path

from restoration.views import (
    actions,
    estimates,
    from_findings,
    quotes,
    rate_books,
    rates,
    shared_costs,
)

app_name = "restoration"
urlpatterns = [
    path("buildings/<uuid:key>/estimates/add/", estimates.estimate_add, name="estimate-add"),
    path("estimates/<uuid:key>/", estimates.estimate, name="estimate"),
    path("estimates/<uuid:key>/edit/", estimates.estimate_edit, name="estimate-edit"),
    path("estimates/<uuid:key>/actions/add/", actions.action_add, name="action-add"),
    path(
        "estimates/<uuid:key>/actions/from-findings/",
        from_findings.actions_from_findings,
        name="actions-from-findings",
    ),
    path("actions/<uuid:key>/edit/", actions.action_edit, name="action-edit"),
    path("actions/<uuid:key>/delete/", actions.action_delete, name="action-delete"),
    path(
        "estimates/<uuid:key>/shared-costs/add/",
        shared_costs.shared_cost_add,
        name="shared-cost-add",
    ),
    path("shared-costs/<uuid:key>/edit/", shared_costs.shared_cost_edit, name="shared-cost-edit"),
    path(
        "shared-costs/<uuid:key>/delete/",
        shared_costs.shared_cost_delete,
        name="shared-cost-delete",
    ),
    path("estimates/<uuid:key>/quote/issue/", estimates.quote_issue, name="quote-issue"),
    path("quotes/<uuid:key>/", quotes.quote, name="quote"),
    path("quotes/<uuid:key>/pdf/", quotes.quote_pdf, name="quote-pdf"),
    path("quotes/<uuid:key>/events/add/", quotes.quote_event_add, name="quote-event-add"),
    path("rate-books/", rate_books.rate_books, name="rate-books"),
    path("rate-books/add/", rate_books.rate_book_add, name="rate-book-add"),
    path("rate-books/<uuid:key>/", rate_books.rate_book, name="rate-book"),
    path("rate-books/<uuid:key>/edit/", rate_books.rate_book_edit, name="rate-book-edit"),
    path("rate-books/<uuid:key>/labour-rates/add/", rates.labour_rate_add, name="labour-rate-add"),
    path("labour-rates/<uuid:key>/edit/", rates.labour_rate_edit, name="labour-rate-edit"),
    path("rate-books/<uuid:key>/materials/add/", rates.material_add, name="material-add"),
    path("materials/<uuid:key>/edit/", rates.material_edit, name="material-edit"),
    path("rate-books/<uuid:key>/norms/add/", rates.norm_add, name="norm-add"),
    path("norms/<uuid:key>/edit/", rates.norm_edit, name="norm-edit"),
]
