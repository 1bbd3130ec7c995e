"""Figures the studio reckons with: the list, and putting its own in place of one."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from sites.access import studio_for
from sites.compute.figures import Figure
from sites.compute.roles import MANAGE
from sites.forms.figures import FigureForm
from sites.models import Studio, StudioFigure
from sites.services.figures import figures_of, forget_figure, groups_of, shipped_figures
from sites.views.form_page import form_page
from sites.web import AppRequest


@require_safe
def figures(request: AppRequest) -> HttpResponse:
    studio = studio_for(request.user, MANAGE)
    groups = groups_of(figures_of(studio))
    return render(request, "sites/figure_list.html", {"groups": groups})


@require_http_methods(["GET", "POST"])
def figure_edit(request: AppRequest, key: str) -> HttpResponse:
    studio, figure = _figure(request, key)
    back = f"{reverse('sites:figures')}#{key}"
    own = studio.figures.filter(key=key).first() or StudioFigure(studio=studio, key=key)
    return form_page(
        request,
        FigureForm(request.POST or None, instance=own, figure=figure),
        title=figure.name,
        submit=_("Save the figure"),
        cancel_url=back,
        success_message=_("The figure is saved. What is reckoned from now on takes it."),
        success_url=back,
        template="sites/figure_edit.html",
        figure=figure,
        up_url=reverse("sites:figures"),
        up_text=_("Figures"),
    )


@require_POST
def figure_forget(request: AppRequest, key: str) -> HttpResponse:
    studio, _figure_of_key = _figure(request, key)
    forget_figure(studio, key)
    messages.success(request, _("The shipped figure is reckoned with again."))
    return redirect(f"{reverse('sites:figures')}#{key}")


def _figure(request: AppRequest, key: str) -> tuple[Studio, Figure]:
    """The studio and its figure. Raises Http404 for a key that is not listed."""
    if key not in shipped_figures():
        raise Http404
    studio = studio_for(request.user, MANAGE)
    return studio, figures_of(studio)[key]
