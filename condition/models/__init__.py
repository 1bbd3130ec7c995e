"""The tables of what was seen, and of what it means."""

from condition.models.assessment import SubjectAssessment
from condition.models.finding import Finding, FindingSource
from condition.models.marks import FindingMark, PhotographScale
from condition.models.photograph import Photograph, PhotographFinding, Rendition
from condition.models.report import ConditionReport
from condition.models.rules import ClassRule
from condition.models.safety import MakeSafeNotice, NoticeReopening, SafetySheet
from condition.models.supports import WindSite
from condition.models.survey import Inspection, Survey
from condition.models.terms import ReportTerms
from condition.models.vocabulary import ActionCaution, ActionKind, FindingKind, UsualAction

__all__ = [
    "ActionCaution",
    "ActionKind",
    "ClassRule",
    "ConditionReport",
    "Finding",
    "FindingKind",
    "FindingMark",
    "FindingSource",
    "Inspection",
    "MakeSafeNotice",
    "NoticeReopening",
    "Photograph",
    "PhotographFinding",
    "PhotographScale",
    "Rendition",
    "ReportTerms",
    "SafetySheet",
    "SubjectAssessment",
    "Survey",
    "UsualAction",
    "WindSite",
]
