"""The tables of what is done about it."""

from restoration.models.action import ActionFinding, RepairAction
from restoration.models.estimate import Estimate, SharedCost
from restoration.models.quote import Quote, QuoteEvent
from restoration.models.ratebook import LabourRate, Material, Norm, NormMaterial, RateBook
from restoration.models.vocabulary import ActionKind

__all__ = [
    "ActionFinding",
    "ActionKind",
    "Estimate",
    "LabourRate",
    "Material",
    "Norm",
    "NormMaterial",
    "Quote",
    "QuoteEvent",
    "RateBook",
    "RepairAction",
    "SharedCost",
]
