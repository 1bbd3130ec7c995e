"""What the work adds to the register's pages: estimates, quotes, actions."""

from django.db.models import QuerySet
from django.urls import reverse
from django.utils.translation import gettext as _

from condition.hooks import ConditionHooks
from condition.models import Survey
from condition.services import steps
from restoration.models import Estimate, Quote, RepairAction
from restoration.services.decisions import quote_status, standing_of
from restoration.services.work_on import work_on
from sites.access import abilities_at
from sites.compute.roles import PRICE, READ_COSTS, READ_QUOTES
from sites.documents.words import locale_of
from sites.hooks import Action, Hooks, Section
from sites.models import AttachedItem, Building, Opening
from sites.services.numbers import today_at
from sites.web import AppRequest

ESTIMATES, QUOTES = 50, 60
PRICING = 50


def register(hooks: Hooks, survey_hooks: ConditionHooks) -> None:
    """Add the sections of the work to the pages of the register, pricing to a survey's, and what
    is proposed to what is said of a finding."""
    steps.work_on[:] = [work_on]
    survey_hooks.survey_actions.append(pricing_action)
    hooks.building_sections.append(estimates_section)
    hooks.building_sections.append(quotes_section)
    hooks.opening_sections.append(opening_actions_section)
    hooks.item_sections.append(item_actions_section)


def pricing_action(request: AppRequest, survey: Survey) -> Action | None:
    """From a survey to its newest estimate, or to starting one."""
    if PRICE not in abilities_at(request.user, survey.building):
        return None
    if estimate := survey.estimates.order_by("-made_at").first():
        return Action(PRICING, estimate.get_absolute_url(), _("Open the estimate"))
    start = reverse("restoration:estimate-add", args=[survey.building_id])
    return Action(PRICING, f"{start}?survey={survey.pk}", _("Price the repairs"))


def estimates_section(request: AppRequest, building: Building) -> Section | None:
    """The building's estimates, for those who may see costs."""
    abilities = abilities_at(request.user, building)
    if READ_COSTS not in abilities:
        return None
    estimates = Estimate.objects.filter(building=building).for_list().order_by("-made_at")
    context = {
        "building": building,
        "estimates": list(estimates),
        "may_price": PRICE in abilities,
    }
    return Section(ESTIMATES, "restoration/_building_estimates.html", context)


def quotes_section(request: AppRequest, building: Building) -> Section | None:
    """The building's issued quotes; nothing where there are none yet."""
    if READ_QUOTES not in abilities_at(request.user, building):
        return None
    quotes = (
        Quote.objects.filter(building=building)
        .select_related("superseded_by")
        .prefetch_related("events")
    )
    today = today_at(building)
    rows = [
        {"quote": quote, "status": quote_status(quote, standing_of(quote.events.all()), today)}
        for quote in quotes
    ]
    if not rows:
        return None
    context = {"rows": rows, "locale": locale_of(building)}
    return Section(QUOTES, "restoration/_building_quotes.html", context)


def opening_actions_section(request: AppRequest, opening: Opening) -> Section | None:
    """The actions proposed anywhere at the opening."""
    actions = RepairAction.objects.filter(opening=opening)
    return _actions_section(request, opening.building, actions)


def item_actions_section(request: AppRequest, item: AttachedItem) -> Section | None:
    """The actions proposed on the item."""
    actions = RepairAction.objects.filter(attached_item=item)
    return _actions_section(request, item.opening.building, actions)


def _actions_section(
    request: AppRequest, building: Building, actions: QuerySet[RepairAction]
) -> Section | None:
    if READ_COSTS not in abilities_at(request.user, building):
        return None
    rows = list(
        actions.select_related("kind", "opening", "panel", "attached_item", "estimate").order_by(
            "-estimate__made_at", "phase", "number"
        )
    )
    if not rows:
        return None
    return Section(ESTIMATES, "restoration/_proposed_actions.html", {"actions": rows})
