"""The studio, one's own settings, and the sheet of patterns."""

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from sites.access import studio_for
from sites.compute.roles import MANAGE
from sites.forms.studio import OwnSettingsForm, StudioForm
from sites.models import User
from sites.views.form_page import form_page
from sites.views.pattern_sheet import pattern_context
from sites.web import AppRequest


@require_http_methods(["GET", "POST"])
def studio_edit(request: AppRequest) -> HttpResponse:
    studio = studio_for(request.user, MANAGE)
    return form_page(
        request,
        StudioForm(request.POST or None, instance=studio),
        title=_("The studio"),
        submit=_("Save the studio"),
        cancel_url=reverse("sites:buildings"),
        success_message=_("The studio is saved. Documents already issued stay as they are."),
        success_url=reverse("sites:studio-edit"),
        template="sites/studio_edit.html",
    )


@require_http_methods(["GET", "POST"])
def own_settings(request: AppRequest) -> HttpResponse:
    # A fresh copy: a name that does not validate must not show in the menu.
    user = User.objects.get(pk=request.user.pk)
    return form_page(
        request,
        OwnSettingsForm(request.POST or None, instance=user),
        title=_("Your settings"),
        submit=_("Save your settings"),
        cancel_url=reverse("sites:buildings"),
        success_message=_("Your settings are saved."),
        success_url=reverse("sites:own-settings"),
        template="sites/own_settings.html",
    )


@require_safe
def patterns(request: AppRequest) -> HttpResponse:
    """Every shared component on one page, for those who work on the program."""
    studio_for(request.user, MANAGE)
    return render(request, "sites/patterns.html", pattern_context(request.GET.get("wrong") == "1"))
