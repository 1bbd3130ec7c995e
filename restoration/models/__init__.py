"""The tables of what is done about it."""

from restoration.models.action import ActionFinding, RepairAction
from restoration.models.estimate import Estimate, SharedCost
from restoration.models.quote import Quote, QuoteEvent
from restoration.models.ratebook import LabourRate, Material, Norm, NormMaterial, RateBook

__all__ = [
    "ActionFinding",
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
