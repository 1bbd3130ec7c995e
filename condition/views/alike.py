"""Photographs that look alike, side by side: keep all of them, or print only some."""

from dataclasses import dataclass
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.utils.translation import ngettext
from django.views.decorators.http import require_http_methods

from condition.access import survey_for
from condition.models import Photograph, Survey
from condition.models.choices import Alike
from condition.services.alike import NoneKeptError, decide, groups_alike, print_again
from condition.views.names import survey_name
from condition.views.pictures import SCREEN_PX, Picture, caption_of, picture_of
from sites.compute.roles import SURVEY
from sites.services.figures import figures_of
from sites.web import AppRequest


@dataclass(frozen=True)
class OneAlike:
    """One of several that look alike: its picture, where it is filed, and whether it is printed."""

    picture: Picture
    filed: str
    size: str
    printed: bool


@require_http_methods(["GET", "POST"])
def photographs_alike(request: AppRequest, key: UUID) -> HttpResponse:
    """Show photographs that look alike, and take a decision on one group."""
    survey = survey_for(request.user, key, SURVEY)
    if request.method == "POST":
        _decide(request, survey)
        return redirect(reverse("condition:photographs-alike", args=[survey.pk]))
    photographs = list(
        survey.photographs.select_related("opening").with_renditions().with_findings()
    )
    groups = groups_alike(photographs, figures_of(survey.building.studio))
    studio_id = survey.building.studio_id
    context = {
        "survey": survey,
        "survey_name": survey_name(survey),
        "building": survey.building,
        "groups": [[_one(each, studio_id) for each in group] for group in groups],
        "left_out": [_one(each, studio_id) for each in photographs if each.alike == Alike.LEFT_OUT],
    }
    return render(request, "condition/photographs_alike.html", context)


def _one(photograph: Photograph, studio_id: UUID) -> OneAlike:
    return OneAlike(
        picture=picture_of(photograph, studio_id, SCREEN_PX),
        filed=caption_of(photograph),
        size=f"{photograph.width} × {photograph.height}",
        printed=photograph.alike != Alike.LEFT_OUT,
    )


def _decide(request: AppRequest, survey: Survey) -> None:
    group = _keys(request, survey, "group")
    if again := _keys(request, survey, "again"):
        print_again(survey.photographs.get(pk=again[0]))
        messages.success(request, _("It is printed again."))
        return
    printed = group if "all" in request.POST else _keys(request, survey, "printed")
    try:
        left_out = decide(survey, group, printed)
    except NoneKeptError as reason:
        messages.error(request, str(reason))
        return
    if left_out:
        text = ngettext(
            "%d is not printed. It stays with the survey.",
            "%d are not printed. They stay with the survey.",
            left_out,
        )
        messages.success(request, text % left_out)
    else:
        messages.success(request, _("All of them are printed."))


def _keys(request: AppRequest, survey: Survey, name: str) -> list[UUID]:
    """The photographs of the survey among the keys that were sent."""
    there = {str(key): key for key in survey.photographs.values_list("pk", flat=True)}
    return [there[value] for value in request.POST.getlist(name) if value in there]
