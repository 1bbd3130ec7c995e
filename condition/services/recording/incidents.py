"""Something that did fall, recorded with or without a survey. It ends no danger."""

from dataclasses import asdict, dataclass
from datetime import date
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from condition.compute.danger.acts import TO_COME
from condition.compute.recording.facts import Key, refused
from condition.compute.recording.subjects import MISSING
from condition.models import Danger, Incident
from condition.services.recording.sending import column_problems, in_words
from sites.access import abilities_at
from sites.compute.roles import SURVEY
from sites.models import Building, User
from sites.rules.actor import acting_as
from sites.services.numbers import today_at
from sites.services.recording import Problem, raise_for


@dataclass(frozen=True, kw_only=True)
class IncidentData:
    """What is recorded of something that fell. danger: the one it belongs to, if one is known."""

    building: Key
    day: date
    what_fell: str
    danger: Key = None
    seen_by: str = ""
    hurt: str = ""
    must_be_told: str = ""


def record_incident(data: IncidentData, key: UUID, user: User) -> Incident:
    """Record what fell under its key; sent again it is the one that stands.

    Raises NotRecordedError with all problems.
    """
    with transaction.atomic(), acting_as(str(user.pk)):
        if there := Incident.objects.filter(pk=key, building=data.building).first():
            return there
        raise_for(why_not_recorded(data, user))
        incident = _row(data, key)
        incident.save(force_insert=True)
    return incident


def why_not_recorded(data: IncidentData, user: User) -> list[Problem]:
    """Return all that is wrong with what is to be recorded of something that fell."""
    building = Building.objects.filter(pk=data.building).select_related("studio").first()
    if building is None or SURVEY not in abilities_at(user, building):
        return [Problem("building", _("That building is not known here."))]
    problems = []
    if not data.what_fell.strip():
        problems.append(refused("what_fell", MISSING))
    if data.day > today_at(building):
        problems.append(refused("day", TO_COME))
    told = in_words(problems)
    known = Danger.objects.filter(pk=data.danger, building=building)
    if data.danger is not None and not known.exists():
        told.append(Problem("danger", _("That danger is not one of this building.")))
    return told + column_problems(_row(data, None), told, {})


def _row(data: IncidentData, key: UUID | None) -> Incident:
    values = asdict(data)
    keys = {f"{name}_id": values.pop(name) for name in ("building", "danger")}
    return Incident(**values, **keys, **({"pk": key} if key else {}))
