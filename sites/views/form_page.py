"""A page that is one form: shown, sent back with what to mend, or saved and left."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render

from sites.forms.base import RecordForm, Words
from sites.web import AppRequest

FORM_PAGE = "components/form_page.html"


def form_page(
    request: AppRequest,
    form: RecordForm,
    *,
    title: Words,
    submit: Words,
    cancel_url: str,
    success_message: Words,
    success_url: str,
    template: str = FORM_PAGE,
    another: bool = False,
    **context: Any,
) -> HttpResponse:
    """Show the form; on a good POST store it, say `said` and go to `then`.

    another: offer to save and stay, for adding the next one of its kind.

    A form with something to mend comes back whole, with status 422 and the words kept.
    """
    if request.method == "POST" and form.store_once():
        messages.success(request, str(success_message))
        return redirect(request.path if another and "another" in request.POST else success_url)
    page = {
        "form": form,
        "title": title,
        "submit": submit,
        "cancel_url": cancel_url,
        "another": another,
        **context,
    }
    return render(request, template, page, status=422 if form.is_bound else 200)
