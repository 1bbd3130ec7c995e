"""The page everybody begins on: what needs somebody."""

from typing import Any, Final

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_safe

from restoration.services.today import TodayList, today_list, today_lists, with_days_left
from sites.compute.roles import EDIT_REGISTER, SURVEY, roles_that_may
from sites.models import Building, User
from sites.web import AppRequest

TITLES: Final[dict[str, str | Promise]] = {
    "notices": _("Keep out: areas closed"),
    "dangers": _("Dangers open"),
    "looks": _("What holds them, to be looked at"),
    "surveys": _("Surveys under way"),
    "photographs": _("Photographs to look after"),
    "quotes": _("Quotes awaiting a decision"),
    "estimates": _("Estimates not issued"),
    "failed": _("Work that did not succeed"),
}
TASKS: Final[dict[str, str | Promise]] = {
    "issue_report": _("Issuing a condition report"),
    "issue_quote": _("Issuing a quote"),
    "issue_notice": _("Issuing a make-safe notice"),
    "prepare_photograph": _("Preparing a photograph"),
}


@require_safe
def today(request: AppRequest) -> HttpResponse:
    """What needs somebody, dangers first; `?list=` shows one list whole."""
    name = request.GET.get("list")
    if name is not None:
        return _one_list(request, name)
    lists = [_shown(each) for each in today_lists(request.user)]
    context: dict[str, Any] = {"lists": lists, "may_report": _may_report(request.user)}
    if not lists:
        context |= _nothing_to_do(request.user)
    return render(request, "restoration/today.html", context)


def _may_report(user: User) -> bool:
    """Whether there is a building at which the user may record a danger that was reported."""
    return Building.objects.open_to(user, SURVEY).exists()


def _one_list(request: AppRequest, name: str) -> HttpResponse:
    if name not in TITLES:
        raise Http404
    shown = _shown(today_list(request.user, name, request.GET.get("page")))
    return render(request, "restoration/today_list.html", {"shown": shown})


def _shown(listed: TodayList) -> dict[str, Any]:
    """A list as its template reads it."""
    rows: list[Any] = list(listed.page.object_list)
    if listed.name == "quotes":
        rows = list(with_days_left(rows))
    if listed.name == "failed":
        rows = [{"job": job, "task": TASKS.get(job.task, job.task)} for job in rows]
    return {
        "name": listed.name,
        "title": TITLES[listed.name],
        "template": f"restoration/_today_{listed.name}.html",
        "rows": rows,
        "total": listed.total,
        "more": listed.more,
        "page": listed.page,
        "url": f"{reverse('today')}?list={listed.name}",
        "query": f"list={listed.name}&",
    }


def _nothing_to_do(user: User) -> dict[str, Any]:
    """What an empty page teaches: the first building, or where to go on."""
    return {
        "has_buildings": Building.objects.open_to(user).exists(),
        "may_register": user.memberships.filter(
            building__isnull=True, role__in=roles_that_may(EDIT_REGISTER)
        ).exists(),
    }
