"""An opening judged as a whole, and what is recommended for it."""

from collections.abc import Iterable, Mapping, Sequence
from uuid import UUID

from condition.documents.snapshot import Advice, Assessment, ClassMark, FindingEntry
from condition.documents.words import mark
from condition.models import Finding, SubjectAssessment
from condition.models.choices import RecommendationClass

MEASURES = set(RecommendationClass) - {RecommendationClass.NO_MEASURES}


def assessment_of(own: SubjectAssessment | None, findings: Sequence[Finding]) -> Assessment:
    """Return the classes of an opening: as the surveyor set them, else the worst of its findings.

    The worst, never an average; see `condition.compute.classes.propose_subject`.
    """
    if own is not None:
        return Assessment(
            condition=mark(own, "condition_class"),
            urgency=mark(own, "urgency_class"),
            recommendation=mark(own, "recommendation_class"),
            is_set=True,
            reason=own.reason.strip(),
        )
    return Assessment(
        condition=worst(findings, "condition_class"),
        urgency=worst(findings, "urgency_class"),
        recommendation=worst(findings, "recommendation_class"),
        is_set=False,
        reason="",
    )


def worst(findings: Iterable[Finding], name: str) -> ClassMark | None:
    """Return the highest class given to any of the findings."""
    marks = [found for found in (mark(finding, name) for finding in findings) if found]
    return max(marks, key=lambda each: each.level, default=None)


def advice_of(
    findings: Sequence[Finding],
    entries: Sequence[FindingEntry],
    steps: Mapping[UUID, Sequence[str]],
) -> list[Advice]:
    """Return what is recommended, the highest level first; what needs nothing is left out.

    steps: the names of the next steps, by the keys of the findings.
    """
    told = []
    for level in sorted(MEASURES, reverse=True):
        there = [finding for finding in findings if finding.recommendation_class == level]
        if there:
            numbers = [entry.number for entry in entries if _is_at(entry, level)]
            told.append(Advice(level.value, str(level.label), numbers, _steps(there, steps)))
    return told


def _is_at(entry: FindingEntry, level: RecommendationClass) -> bool:
    return entry.recommendation is not None and entry.recommendation.level == level


def _steps(findings: Iterable[Finding], steps: Mapping[UUID, Sequence[str]]) -> list[str]:
    """The steps of the findings by name, each once."""
    return list(dict.fromkeys(name for finding in findings for name in steps[finding.pk]))
