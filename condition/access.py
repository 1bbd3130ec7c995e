"""The one way to what was seen: each record by its key, for a user, at its building."""

from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.http import Http404

from condition.models import (
    ClassRule,
    ConditionReport,
    Danger,
    Finding,
    Inspection,
    MakeSafeNotice,
    Photograph,
    SafetySheet,
    Survey,
)
from sites.access import fetch, studio_abilities
from sites.compute.roles import MANAGE, READ
from sites.models import User


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
    rule = ClassRule.objects.select_related("studio", "kind").filter(pk=key).first()
    allowed = studio_abilities(user, rule.studio) if rule else frozenset()
    if rule is None or READ not in allowed:
        raise Http404
    if MANAGE not in allowed:
        raise PermissionDenied
    return rule


def report_for(user: User, key: UUID, ability: str = READ) -> ConditionReport:
    rows = ConditionReport.objects.select_related(
        "building__studio", "survey", "issued_by", "supersedes", "superseded_by"
    )
    return fetch(user, rows, key, lambda row: row.building, ability)


def notice_for(user: User, key: UUID, ability: str = READ) -> MakeSafeNotice:
    rows = MakeSafeNotice.objects.select_related(
        "building__studio",
        "finding__survey__building",
        "finding__kind",
        "finding__opening",
        "finding__panel",
        "finding__attached_item",
        "issued_by",
        "superseded_by",
        "reopening__recorded_by",
    )
    return fetch(user, rows, key, lambda row: row.building, ability)


def safety_sheet_for(user: User, key: UUID, ability: str = READ) -> SafetySheet:
    rows = SafetySheet.objects.select_related("building__studio", "survey")
    return fetch(user, rows, key, lambda row: row.building, ability)
