"""Around each request: sign-in for every page, and the actor's name for the history."""

from collections.abc import Callable
from typing import Any

from django.contrib.auth.middleware import LoginRequiredMiddleware
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase

from sites.rules.actor import acting_as

READING = ("GET", "HEAD", "OPTIONS")


class SignInMiddleware(LoginRequiredMiddleware):
    """Every page asks for sign-in; allauth's own pages of signing in are open.

    An htmx request is sent to the sign-in page whole: a form must not land inside a table.
    """

    def process_view(
        self, request: Any, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        if getattr(view, "__module__", "").startswith("allauth."):
            return None
        return super().process_view(request, view, args, kwargs)

    def handle_no_permission(self, request: Any, view: Any) -> Any:
        response = super().handle_no_permission(request, view)
        if getattr(request, "htmx", False):
            return HttpResponse(status=204, headers={"HX-Redirect": response["Location"]})
        return response


class PrivatePagesMiddleware:
    """Let a browser ask again before it shows a page of somebody signed in a second time.

    Somebody whose right is withdrawn, or who has signed out, is not shown it from the cache.
    """

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.user.is_authenticated and not response.has_header("Cache-Control"):
            response["Cache-Control"] = "private, no-cache"
        return response


class ActorMiddleware:
    """Name the signed-in user in the history of whatever the request changes."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method in READING or not request.user.is_authenticated:
            return self.get_response(request)
        with acting_as(str(request.user.pk)):
            return self.get_response(request)
