"""The one way to what was seen: each record by its key, for a user, at its building."""

from typing import TypeVar
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db.models import Prefetch, QuerySet
from django.http import Http404

from condition.models import (
    Area,
    ClassRule,
    ConditionReport,
    Danger,
    DangerRow,
    Finding,
    Incident,
    Inspection,
    MakeSafeNotice,
    Photograph,
    SafetySheet,
    Survey,
)
from sites.access import fetch, studio_abilities
from sites.compute.roles import MANAGE, READ
from sites.models import User

StudioRow = TypeVar("StudioRow", ClassRule, DangerRow)


def survey_for(user: User, key: UUID, ability: str = READ) -> Survey:
    rows = Survey.objects.select_related("building__studio")
    return fetch(user, rows, key, lambda row: row.building, ability)


def finding_for(user: User, key: UUID, ability: str = READ) -> Finding:
    rows = Finding.objects.select_related(
        "survey__building__studio", "kind", "opening", "panel", "attached_item", "continues__survey"
    )
    return fetch(user, rows, key, lambda row: row.survey.building, ability)


def danger_for(user: User, key: UUID, ability: str = READ) -> Danger:
    return fetch(user, Danger.objects.with_facts(), key, lambda row: row.building, ability)


def inspection_for(user: User, key: UUID, ability: str = READ) -> Inspection:
    rows = Inspection.objects.select_related(
        "survey__building__studio", "opening", "panel", "attached_item"
    )
    return fetch(user, rows, key, lambda row: row.survey.building, ability)


def photograph_for(user: User, key: UUID, ability: str = READ) -> Photograph:
    rows = Photograph.objects.select_related(
        "building__studio",
        "survey",
        "opening",
        "recorded_by",
    )
    rows = rows.with_renditions().with_findings()
    return fetch(user, rows, key, lambda row: row.building, ability)


def class_rule_for(user: User, key: UUID) -> ClassRule:
    """Return a rule of the classes, to a user who manages the whole of its studio.

    Raises Http404 for whoever is not of the studio, and PermissionDenied for who may not.
    """
    return _of_studio(user, ClassRule.objects.select_related("studio", "kind"), key)


def danger_row_for(user: User, key: UUID) -> DangerRow:
    """Return a row of the table by kind, to a user who manages the whole of its studio.

    Raises Http404 for whoever is not of the studio, and PermissionDenied for who may not.
    """
    return _of_studio(user, DangerRow.objects.select_related("studio"), key)


def _of_studio(user: User, rows: QuerySet[StudioRow], key: UUID) -> StudioRow:
    row = rows.filter(pk=key).first()
    allowed = studio_abilities(user, row.studio) if row else frozenset()
    if row is None or READ not in allowed:
        raise Http404
    if MANAGE not in allowed:
        raise PermissionDenied
    return row


def report_for(user: User, key: UUID, ability: str = READ) -> ConditionReport:
    rows = ConditionReport.objects.select_related(
        "building__studio", "survey", "issued_by", "supersedes", "superseded_by"
    )
    return fetch(user, rows, key, lambda row: row.building, ability)


def notice_for(user: User, key: UUID, ability: str = READ) -> MakeSafeNotice:
    rows = MakeSafeNotice.objects.select_related(
        "building__studio",
        "finding__survey__building",
        "issued_by",
        "superseded_by",
    ).prefetch_related(Prefetch("danger", Danger.objects.with_facts()))
    return fetch(user, rows, key, lambda row: row.building, ability)


def area_for(user: User, key: UUID, ability: str = READ) -> Area:
    rows = Area.objects.select_related("building__studio")
    return fetch(user, rows, key, lambda row: row.building, ability)


def incident_for(user: User, key: UUID, ability: str = READ) -> Incident:
    rows = Incident.objects.select_related(
        "building__studio", "danger__kind", "danger__opening", "recorded_by"
    )
    return fetch(user, rows, key, lambda row: row.building, ability)


def safety_sheet_for(user: User, key: UUID, ability: str = READ) -> SafetySheet:
    rows = SafetySheet.objects.select_related("building__studio", "survey")
    return fetch(user, rows, key, lambda row: row.building, ability)
