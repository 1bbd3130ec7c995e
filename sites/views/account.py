"""The user's own sign-in address: shown, and changed by nobody but the owner of the studio.

The library's pages for adding and confirming addresses are closed: whoever adds another
person's address to an account can lock that person out.
"""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from sites.web import AppRequest


@require_safe
def own_address(request: AppRequest) -> HttpResponse:
    return render(request, "account/email.html")


@login_not_required
def closed(request: HttpRequest, rest: str = "") -> HttpResponse:
    raise Http404
