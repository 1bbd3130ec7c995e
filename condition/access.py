"""The one way to what was seen: each record by its key, for a user, at its building."""

from uuid import UUID

from condition.models import ConditionReport, Finding, Look, Photograph, Survey
from sites.access import fetch
from sites.compute.roles import READ
from sites.models import User


def survey_for(user: User, key: UUID, ability: str = READ) -> Survey:
    rows = Survey.objects.select_related("building__studio")
    return fetch(user, rows, key, lambda row: row.building, ability)


def finding_for(user: User, key: UUID, ability: str = READ) -> Finding:
    rows = Finding.objects.select_related(
        "survey__building__studio", "kind", "opening", "panel", "attached_item", "continues__survey"
    )
    return fetch(user, rows, key, lambda row: row.survey.building, ability)


def look_for(user: User, key: UUID, ability: str = READ) -> Look:
    rows = Look.objects.select_related(
        "survey__building__studio", "opening", "panel", "attached_item"
    )
    return fetch(user, rows, key, lambda row: row.survey.building, ability)


def photograph_for(user: User, key: UUID, ability: str = READ) -> Photograph:
    rows = Photograph.objects.select_related(
        "building__studio",
        "survey",
        "opening",
        "finding__kind",
        "finding__opening",
        "finding__panel",
        "finding__attached_item",
        "received_from",
    ).with_renditions()
    return fetch(user, rows, key, lambda row: row.building, ability)


def report_for(user: User, key: UUID, ability: str = READ) -> ConditionReport:
    rows = ConditionReport.objects.select_related(
        "building__studio", "survey", "issued_by", "supersedes", "superseded_by"
    )
    return fetch(user, rows, key, lambda row: row.building, ability)
