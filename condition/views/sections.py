"""What this room shows on the register's pages: surveys, open dangers, findings, photographs."""

from datetime import date
from itertools import groupby
from uuid import UUID

from django.urls import reverse
from django.utils.translation import gettext as _

from condition.models import Finding, Photograph
from condition.models.photograph import PhotographQuerySet
from condition.views.names import day_words, survey_name
from condition.views.pictures import Picture, picture_of, pictures_of
from condition.views.review import FindingRow, finding_row
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.hooks import Action, Section
from sites.models import AttachedItem, Building, Opening
from sites.services.numbers import today_at
from sites.web import AppRequest

SHOWN_AT_ONCE = 12
# A survey older than this is closed to new findings by habit: what is seen today is a new survey.
STILL_UNDER_WAY_DAYS = 31


def surveys_section(request: AppRequest, building: Building) -> Section:
    surveys = (
        building.surveys.for_list()
        .prefetch_related("reports__superseded_by")
        .order_by("-day", "-id")
    )
    context = {
        "building": building,
        "surveys": surveys,
        "may_survey": SURVEY in abilities_at(request.user, building),
    }
    return Section(10, "condition/building_surveys.html", context)


def survey_action(request: AppRequest, building: Building) -> Action | None:
    if SURVEY not in abilities_at(request.user, building):
        return None
    url = reverse("condition:survey-add", args=[building.pk])
    return Action(10, url, _("Start a survey"))


def finding_action(request: AppRequest, opening: Opening) -> Action | None:
    """Logging a finding at an opening, in the survey under way; without one, starting a survey."""
    building = opening.building
    if SURVEY not in abilities_at(request.user, building):
        return None
    survey = building.surveys.first()
    if survey is None or (today_at(building) - survey.day).days > STILL_UNDER_WAY_DAYS:
        return survey_action(request, building)
    url = reverse("condition:finding-add", args=[survey.pk])
    return Action(10, f"{url}?opening={opening.pk}", _("Log a finding"))


def opening_findings(request: AppRequest, opening: Opening) -> Section:
    findings = Finding.objects.filter(opening=opening)
    return _findings_section(request, list(findings.for_list()), opening.building)


def item_findings(request: AppRequest, item: AttachedItem) -> Section:
    findings = Finding.objects.filter(attached_item=item)
    return _findings_section(request, list(findings.for_list()), item.opening.building)


def opening_photographs(request: AppRequest, opening: Opening) -> Section | None:
    return _photographs_section(opening.photographs.all(), opening.building)


def item_photographs(request: AppRequest, item: AttachedItem) -> Section | None:
    photographs = Photograph.objects.filter(findings__attached_item=item).distinct()
    return _photographs_section(photographs, item.opening.building)


def _findings_section(request: AppRequest, findings: list[Finding], building: Building) -> Section:
    """Findings by survey, the newest first and open, the older ones folded away."""
    studio_id, units = building.studio_id, request.user.units
    findings.sort(key=lambda each: (each.survey.day, each.survey_id, -each.number), reverse=True)
    surveys = [
        (survey, survey_name(survey), [_row(each, studio_id, units) for each in members])
        for survey, members in groupby(findings, key=lambda each: each.survey)
    ]
    return Section(20, "condition/findings_section.html", {"surveys": surveys})


def _row(finding: Finding, studio_id: UUID, units: str) -> FindingRow:
    pictures = pictures_of(finding.photographs.all(), studio_id)
    return finding_row(finding, pictures, units)


def _photographs_section(photographs: PhotographQuerySet, building: Building) -> Section | None:
    rows = photographs.select_related("survey", "opening").with_renditions().with_findings()
    pictures = [_dated(row, building.studio_id) for row in rows.order_by("-taken_local", "-id")]
    if not pictures:
        return None
    context = {"shown": pictures[:SHOWN_AT_ONCE], "folded": pictures[SHOWN_AT_ONCE:]}
    return Section(30, "condition/photographs_section.html", context)


def _dated(photograph: Photograph, studio_id: UUID) -> Picture:
    picture = picture_of(photograph, studio_id)
    day = photograph.survey.day if photograph.survey else None
    if photograph.taken_local:
        day = date.fromisoformat(photograph.taken_local[:10])
    return picture.with_day(day_words(day) if day else "")
