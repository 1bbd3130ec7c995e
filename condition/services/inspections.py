"""Looks without a finding: several logged at once, and told from what contradicts them."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db import transaction
from django.utils.translation import gettext as _

from condition.compute.recording.facts import InspectionData, RecordedFinding, RecordedInspection
from condition.compute.recording.subjects import contradicts
from condition.models import Finding, Inspection, Survey
from condition.models.choices import Outcome
from condition.services.recording.inspections import record_inspections
from condition.services.recording.known import about
from sites.keys import uuid7
from sites.models import Opening, User
from sites.services.recording import NotRecordedError, Problem


@dataclass
class InspectionsLogged:
    """The openings a look was logged for, and those left out because something stands there."""

    logged: list[Opening] = field(default_factory=list)
    left_out: list[Opening] = field(default_factory=list)


def contradicted_by(inspection: Inspection, findings: Iterable[Finding]) -> list[int]:
    """Return the numbers of the findings that a look's "nothing found" cannot be true beside.

    findings: of the look's own survey and opening. Those on the very same thing count, and for
        a look at the whole opening all of them; what was seen from the other side alone does not.
    """
    look = RecordedInspection(outcome=inspection.outcome, **about(inspection))
    return [
        finding.number
        for finding in findings
        if contradicts(look, look.outcome, RecordedFinding(label="", number="", **about(finding)))
    ]


@transaction.atomic
def log_nothing_found(
    survey: Survey, openings: Iterable[Opening], *, side: str, seen_from: str, user: User
) -> InspectionsLogged:
    """Log "looked at, nothing found" for each of `openings`, and return which were logged.

    An opening of which the survey has a finding, or a look from that side, is left out: what
    was said of it is not to be contradicted by a tap on a list. Raises NotRecordedError where
    there is no opening.
    """
    # A second tap waits here for the first, then finds its looks.
    survey = Survey.objects.select_for_update().get(pk=survey.pk)
    with_findings = set(survey.findings.values_list("opening", flat=True))
    with_inspections = set(
        survey.inspections.filter(side=side).values_list("subject_key", flat=True)
    )
    result = InspectionsLogged()
    for opening in openings:
        spoken_of = opening.pk in with_findings or opening.pk in with_inspections
        (result.left_out if spoken_of else result.logged).append(opening)
    looks = [
        InspectionData(
            survey=survey.pk,
            opening=opening.pk,
            side=side,
            seen_from=seen_from,
            outcome=Outcome.NOTHING_FOUND.value,
        )
        for opening in result.logged
    ]
    if not looks and not result.left_out:
        problem = Problem("openings", _("Tick the openings that were looked at."))
        raise NotRecordedError([problem])
    if looks:
        record_inspections({uuid7(): look for look in looks}, user)
    return result
