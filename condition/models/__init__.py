"""The tables of what was seen."""

from condition.models.finding import Finding
from condition.models.photograph import Photograph, Rendition
from condition.models.report import ConditionReport
from condition.models.survey import Look, Survey
from condition.models.vocabulary import FindingKind

__all__ = [
    "ConditionReport",
    "Finding",
    "FindingKind",
    "Look",
    "Photograph",
    "Rendition",
    "Survey",
]
