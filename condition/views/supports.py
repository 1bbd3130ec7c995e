"""The wind at a building, and the screening of an opening's bars under it."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_safe

from condition.compute.supports.bar_drawing import draw_bars
from condition.compute.supports.words import HISTORIC_BAR, IGNORED, SCREENING
from condition.forms.supports import WindSiteForm
from condition.models import WindSite
from condition.services.closures import closed_at
from condition.services.supports import Supports, pressure_at, supports_of, wind_site_of
from condition.views.support_rows import (
    bar_row,
    load_row,
    pressure_text,
    rule_text,
    standing_text,
)
from sites.access import abilities_at, building_for, opening_for
from sites.compute.roles import EDIT_REGISTER, READ
from sites.hooks import Section
from sites.models import Building, Opening, Panel
from sites.models.choices import ProtectiveGlazing
from sites.services.figures import figures_of
from sites.views.form_page import form_page
from sites.web import AppRequest

SUPPORTS = 25
WIND = 60
USUAL = (
    "supports.net_en_wall",
    "supports.net_en_corner",
    "supports.net_asce_wall",
    "supports.net_asce_corner",
    "supports.asce_direction",
)


@require_http_methods(["GET", "POST"])
def wind_site(request: AppRequest, key: UUID) -> HttpResponse:
    ability = EDIT_REGISTER if request.method == "POST" else READ
    building = building_for(request.user, key, ability)
    site, figures = wind_site_of(building), figures_of(building.studio)
    wind, trouble = pressure_at(site, figures)
    opening = _came_from(request, building)
    context: dict[str, Any] = {
        "title": _("Wind at the building"),
        "building": building,
        "opening": opening,
        "site": site,
        "wind": wind,
        "pressure": pressure_text(wind.net_pa) if wind else "",
        "trouble": trouble,
        "usual": [figures[name] for name in USUAL],
        "caution": SCREENING,
        "meta": building.name,
    }
    if EDIT_REGISTER not in abilities_at(request.user, building):
        return render(request, "condition/wind_read.html", context)
    back = reverse("condition:opening-supports", args=[opening.pk]) if opening else None
    return form_page(
        request,
        WindSiteForm(
            request.POST or None,
            instance=site or WindSite(building=building),
            units=request.user.units,
        ),
        submit=_("Save the wind"),
        cancel_url=back or building.get_absolute_url(),
        success_message=_("The wind at the building is saved."),
        success_url=back or request.path,
        template="condition/wind_site.html",
        **context,
    )


@require_safe
def opening_supports(request: AppRequest, key: UUID) -> HttpResponse:
    opening = opening_for(request.user, key)
    told = supports_of(opening)
    units = request.user.units
    beyond = frozenset(str(each.bar.pk) for each in told.beyond)
    numbers = {str(each.bar.pk): each.number for each in told.bars}
    context = {
        "opening": opening,
        "building": opening.building,
        "closed": closed_at(opening),
        "may_edit": EDIT_REGISTER in abilities_at(request.user, opening.building),
        "told": told,
        "summary": summary_of(told),
        "pressure": pressure_text(told.wind.net_pa) if told.wind else "",
        "wind_url": _wind_url(opening),
        "drawing": draw_bars(told.division, numbers, beyond),
        "rows": [bar_row(each, told, units) for each in told.bars],
        "loads": [load_row(each, told, units) for each in told.loads],
        "ignored": IGNORED,
        "caution": SCREENING,
        "historic": HISTORIC_BAR,
        "behind_glazing": opening.protective_glazing
        in (ProtectiveGlazing.VENTED, ProtectiveGlazing.UNVENTED),
    }
    return render(request, "condition/supports.html", context)


def summary_of(told: Supports) -> str:
    """How many bars there are, can be reckoned, and are beyond what they are compared with."""
    bars, reckoned, beyond = len(told.bars), len(told.reckoned), len(told.beyond)
    if not bars:
        return _("No bar is recorded.")
    if not reckoned:
        return _("Bars recorded: %(bars)d; none can be reckoned yet.") % {"bars": bars}
    return _(
        "Bars recorded: %(bars)d; reckoned: %(reckoned)d; beyond %(rule)s or the stress set: "
        "%(beyond)d."
    ) % {"bars": bars, "reckoned": reckoned, "beyond": beyond, "rule": rule_text(told)}


def opening_section(request: AppRequest, opening: Opening) -> Section:
    """A line on the opening's page, with the way to its supports."""
    told = supports_of(opening, with_weights=False)
    return Section(SUPPORTS, "condition/supports_line.html", _line(told))


def panel_section(request: AppRequest, panel: Panel) -> Section | None:
    """The support check of a panel's window on its page, and what the panel stands on."""
    told = supports_of(panel.opening)
    if not told.bars:
        return None
    loads = [load for load in told.loads if panel.number in load.panels]
    texts = [standing_text(load, told, request.user.units) for load in loads]
    return Section(SUPPORTS, "condition/supports_line.html", {**_line(told), "standing": texts})


def building_section(request: AppRequest, building: Building) -> Section:
    """What wind is recorded at a building, with the way to it."""
    url = reverse("condition:wind-site", args=[building.pk])
    context = {"site": wind_site_of(building), "url": url}
    return Section(WIND, "condition/wind_line.html", context)


def _line(told: Supports) -> dict[str, Any]:
    return {
        "summary": summary_of(told),
        "wind_missing": told.wind is None,
        "beyond": bool(told.beyond),
        "url": reverse("condition:opening-supports", args=[told.opening.pk]),
        "caution": SCREENING,
    }


def _wind_url(opening: Opening) -> str:
    return f"{reverse('condition:wind-site', args=[opening.building_id])}?opening={opening.pk}"


def _came_from(request: AppRequest, building: Building) -> Opening | None:
    """The opening whose page led here, to go back to; it must be one of this building."""
    try:
        key = UUID(request.GET.get("opening", ""))
    except ValueError:
        return None
    return building.openings.filter(pk=key).first()
