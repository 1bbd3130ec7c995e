"""The snapshot of a condition report, with what judging the survey adds to what was seen."""

from collections import defaultdict
from collections.abc import Sequence
from functools import partial
from typing import Any
from uuid import UUID

from django.utils import timezone

from condition.compute.classes.kept import from_kept
from condition.compute.classes.propose import Proposal
from condition.compute.stroke_drawing import Stroke
from condition.documents import build
from condition.documents.judged import Judged
from condition.models import ConditionReport, Finding, FindingMark, Survey
from condition.services.classes import proposals_for
from condition.services.comparing import Comparison, chosen_of, compare_surveys, earlier_surveys
from condition.services.marks import marks_of, strokes_of
from condition.services.steps import steps_of
from sites.compute.figures import Figures
from sites.models import DocumentNumber


def build_snapshot(
    survey: Survey,
    number: DocumentNumber,
    supersedes: ConditionReport | None,
    since: UUID | None = None,
) -> dict[str, Any]:
    """Return the report of `survey` under `number`, complete, as plain data for JSON.

    since: the key of the earlier survey it is compared with; None: of the suggested one.
    The number of queries does not grow with the survey. Personal contact data stays out. Raises
    NoSuchSurveyError for a survey that it cannot be compared with.
    """
    judging = partial(judge, since=since)
    return build.build_snapshot(survey, number, supersedes, judging, timezone.now())


def judge(
    survey: Survey, findings: Sequence[Finding], figures: Figures, since: UUID | None = None
) -> Judged:
    """Return what the rules propose, what changed since then, what is drawn where, and what would
    be done next."""
    steps = steps_of(findings, figures)
    return Judged(
        _proposals(findings),
        _changes(survey, figures, since),
        _strokes(survey),
        {each.pk: steps[each.pk].names(each.recommendation_class) for each in findings},
    )


def _proposals(findings: Sequence[Finding]) -> dict[UUID, Proposal]:
    """What was proposed when the classes were set; where nothing was kept, what is proposed now."""
    kept = {finding.pk: from_kept(finding.proposal) for finding in findings}
    known = {key: proposal for key, proposal in kept.items() if proposal is not None}
    return proposals_for(findings) | known


def _changes(survey: Survey, figures: Figures, since: UUID | None) -> Comparison | None:
    earlier = chosen_of(earlier_surveys(survey), since)
    return compare_surveys(earlier, survey, figures) if earlier else None


def _strokes(survey: Survey) -> dict[UUID, tuple[Stroke, ...]]:
    rows = FindingMark.objects.filter(finding__survey=survey, photograph__isnull=True)
    by_opening: dict[UUID, list[FindingMark]] = defaultdict(list)
    for row in marks_of(rows):
        by_opening[row.finding.opening_id].append(row)
    return {key: strokes_of(marks) for key, marks in by_opening.items()}
