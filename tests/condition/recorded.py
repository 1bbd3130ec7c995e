"""Records made as the program makes them: through their services, by somebody who may."""

from condition.compute.recording.facts import FindingData, InspectionData, PhotographData
from condition.services.recording.findings import record_finding
from condition.services.recording.inspections import record_inspection
from condition.services.recording.photographs import record_photograph
from sites.keys import uuid7
from tests.factories import MembershipFactory


def surveyor_at(building):
    return MembershipFactory(building=building, role="surveyor").user


def receive_photograph(
    *, building, file, survey=None, opening=None, findings=(), name="", caption="", user=None,
    key=None, **seen
):  # fmt: skip
    """Keep a photograph at a building, by a surveyor of it unless a user is named."""
    data = PhotographData(
        building=building.pk,
        survey=survey and survey.pk,
        opening=opening and opening.pk,
        findings=tuple(each.pk for each in findings),
        name=name,
        caption=caption,
        **seen,
    )
    return record_photograph(data, file, key or uuid7(), user or surveyor_at(building))


def finding_of(survey, opening, kind, **facts):
    return FindingData(survey=survey.pk, opening=opening.pk, kind=kind.pk, **facts)


def look_at(survey, opening, **facts):
    facts.setdefault("outcome", "nothing found")
    return InspectionData(survey=survey.pk, opening=opening.pk, **facts)


def log_finding(data, user, key=None):
    return record_finding(data, key or uuid7(), user)


def log_look(data, user, key=None):
    return record_inspection(data, key or uuid7(), user)
