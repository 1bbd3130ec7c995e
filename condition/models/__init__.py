"""The tables of what was seen, and of what it means."""

from condition.models.assessment import SubjectAssessment
from condition.models.closures import Area, AreaClosure, ClosureEnd, Incident
from condition.models.danger import Danger, DangerAct
from condition.models.finding import Finding, FindingSource
from condition.models.marks import FindingMark, PhotographScale
from condition.models.photograph import Photograph, PhotographFinding, Rendition
from condition.models.report import ConditionReport
from condition.models.rules import ClassRule
from condition.models.safety import MakeSafeNotice, SafetySheet
from condition.models.supports import WindSite
from condition.models.survey import Inspection, Survey
from condition.models.terms import ReportTerms
from condition.models.vocabulary import (
    ActionCaution,
    ActionKind,
    DangerRow,
    FindingKind,
    UsualAction,
)

__all__ = [
    "ActionCaution",
    "ActionKind",
    "Area",
    "AreaClosure",
    "ClassRule",
    "ClosureEnd",
    "ConditionReport",
    "Danger",
    "DangerAct",
    "DangerRow",
    "Finding",
    "FindingKind",
    "FindingMark",
    "FindingSource",
    "Incident",
    "Inspection",
    "MakeSafeNotice",
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
