"""Looks without a finding: several logged at once, and told from what contradicts them."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from django.db import transaction

from condition.models import Finding, Inspection, Survey
from condition.models.choices import Outcome, Side
from sites.models import Opening


@dataclass
class InspectionsLogged:
    """The openings a look was logged for, and those left out because something stands there."""

    logged: list[Opening] = field(default_factory=list)
    left_out: list[Opening] = field(default_factory=list)


OPPOSITE = {Side.INSIDE: Side.OUTSIDE, Side.OUTSIDE: Side.INSIDE}


def contradicted_by(inspection: Inspection, findings: Iterable[Finding]) -> list[int]:
    """Return the numbers of the findings that a look's "nothing found" cannot be true beside.

    findings: of the look's own survey and opening. Those on the very same thing count, and for
        a look at the whole opening all of them; what was seen from the other side alone does not.
    """
    if inspection.outcome != Outcome.NOTHING_FOUND:
        return []
    of_the_whole = inspection.panel_id is None and inspection.attached_item_id is None
    return [
        finding.number
        for finding in findings
        if finding.side != OPPOSITE.get(Side(inspection.side))
        and (
            of_the_whole
            or (inspection.panel_id, inspection.attached_item_id)
            == (finding.panel_id, finding.attached_item_id)
        )
    ]


@transaction.atomic
def log_nothing_found(
    survey: Survey, openings: Iterable[Opening], *, side: str, seen_from: str
) -> InspectionsLogged:
    """Log "looked at, nothing found" for each of `openings`, and return which were logged.

    An opening of which the survey has a finding, or a look from that side, is left out: what
    was said of it is not to be contradicted by a tap on a list.
    """
    # A second tap waits here for the first, then finds its looks.
    survey = Survey.objects.select_for_update().get(pk=survey.pk)
    with_findings = set(survey.findings.values_list("opening", flat=True))
    with_inspections = set(
        survey.inspections.filter(side=side).values_list("subject_key", flat=True)
    )
    result = InspectionsLogged()
    for opening in openings:
        if opening.pk in with_findings or opening.pk in with_inspections:
            result.left_out.append(opening)
            continue
        inspection = Inspection(
            survey=survey,
            opening=opening,
            side=side,
            seen_from=seen_from,
            outcome=Outcome.NOTHING_FOUND,
        )
        inspection.save(force_insert=True)
        result.logged.append(opening)
    return result
