"""The one way to a record: by key, for a user, for an ability at the record's building.

A record the user may not know of is 404; one they may read but not do this with is 403.
"""

from collections.abc import Callable
from typing import TypeVar
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db.models import Model, QuerySet
from django.http import Http404

from sites.compute.roles import EDIT_REGISTER, READ, READ_PEOPLE, ROLES
from sites.models import (
    AttachedItem,
    Building,
    BuildingPerson,
    CameProfile,
    CameRun,
    Fixing,
    InscriptionProof,
    Job,
    OlderNumber,
    Opening,
    Panel,
    PlanPicture,
    Studio,
    User,
)

Row = TypeVar("Row", bound=Model)


def abilities_at(user: User, building: Building) -> frozenset[str]:
    """Return all that the user's roles at the building, and at its whole studio, allow."""
    memberships = user.memberships.filter(building=building) | user.memberships.filter(
        building__isnull=True, studio_id=building.studio_id
    )
    roles = memberships.values_list("role", flat=True)
    return frozenset(ability for role in roles for ability in ROLES[role])


def studio_abilities(user: User, studio: Studio) -> frozenset[str]:
    """Return what the user's role at the whole studio allows."""
    roles = user.memberships.filter(studio=studio, building__isnull=True)
    return frozenset(
        ability for role in roles.values_list("role", flat=True) for ability in ROLES[role]
    )


def fetch(
    user: User,
    rows: QuerySet[Row],
    key: UUID,
    building_of: Callable[[Row], Building],
    ability: str = READ,
    to_know: str = READ,
) -> Row:
    """Return the row `key` of `rows` if the user holds `ability` at its building.

    `to_know` is the ability without which the row's very existence is not told.
    Raises Http404 and PermissionDenied as the module says.
    """
    row = rows.filter(pk=key).first()
    if row is None:
        raise Http404
    allowed = abilities_at(user, building_of(row))
    if to_know not in allowed:
        raise Http404
    if ability not in allowed:
        raise PermissionDenied
    return row


def building_for(user: User, key: UUID, ability: str = READ) -> Building:
    return fetch(user, Building.objects.select_related("studio"), key, lambda row: row, ability)


def opening_for(user: User, key: UUID, ability: str = READ) -> Opening:
    rows = Opening.objects.select_related("building__studio")
    return fetch(user, rows, key, lambda row: row.building, ability)


def panel_for(user: User, key: UUID, ability: str = READ) -> Panel:
    rows = Panel.objects.select_related("opening__building__studio")
    return fetch(user, rows, key, lambda row: row.opening.building, ability)


def plan_picture_for(user: User, key: UUID, ability: str) -> PlanPicture:
    rows = PlanPicture.objects.select_related("building__studio")
    return fetch(user, rows, key, lambda row: row.building, ability)


def item_for(user: User, key: UUID, ability: str = READ) -> AttachedItem:
    rows = AttachedItem.objects.select_related("opening__building__studio", "panel")
    return fetch(user, rows, key, lambda row: row.opening.building, ability)


def person_for(user: User, key: UUID) -> BuildingPerson:
    """Return a person for changing; who may not read personal data is not told of them."""
    rows = BuildingPerson.objects.select_related("building__studio")
    return fetch(user, rows, key, lambda row: row.building, EDIT_REGISTER, READ_PEOPLE)


def older_number_for(user: User, key: UUID, ability: str = READ) -> OlderNumber:
    rows = OlderNumber.objects.select_related("opening__building__studio")
    return fetch(user, rows, key, lambda row: row.opening.building, ability)


def fixing_for(user: User, key: UUID, ability: str = READ) -> Fixing:
    rows = Fixing.objects.select_related("item__opening__building__studio")
    return fetch(user, rows, key, lambda row: row.item.opening.building, ability)


def proof_for(user: User, key: UUID, ability: str = READ) -> InscriptionProof:
    rows = InscriptionProof.objects.select_related(
        "building__studio",
        "item__opening__building__studio",
        "issued_by",
        "supersedes",
        "superseded_by",
    )
    return fetch(user, rows, key, lambda row: row.building, ability)


def came_run_for(user: User, key: UUID, ability: str = READ) -> CameRun:
    rows = CameRun.objects.select_related("panel__opening__building__studio", "profile")
    return fetch(user, rows, key, lambda row: row.panel.opening.building, ability)


def came_profile_for(user: User, key: UUID, ability: str) -> CameProfile:
    """Return a profile of the user's studio; whoever is not of the whole of it is not told.

    Raises Http404 and PermissionDenied as the module says.
    """
    profile = CameProfile.objects.select_related("studio").filter(pk=key).first()
    allowed = studio_abilities(user, profile.studio) if profile else frozenset()
    if profile is None or READ not in allowed:
        raise Http404
    if ability not in allowed:
        raise PermissionDenied
    return profile


def studio_for(user: User, ability: str) -> Studio:
    """Return the user's studio if their role at the whole of it holds `ability`.

    Raises Http404 for a user of no studio and PermissionDenied for one who may not.
    """
    studios = Studio.objects.filter(memberships__user=user).distinct().order_by("name")
    if not studios:
        raise Http404
    # A role at one building of another studio must not stand before the user's own.
    for studio in studios:
        if ability in studio_abilities(user, studio):
            return studio
    raise PermissionDenied


def job_for(user: User, key: UUID) -> Job:
    """Return a job the user asked for. Raises Http404 for anybody else's."""
    job = Job.objects.filter(pk=key, asked_by=user).first()
    if job is None:
        raise Http404
    return job
