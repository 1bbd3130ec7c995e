"""The register's tables."""

from sites.models.attached import AttachedItem, Fixing
from sites.models.building import Building, BuildingPerson
from sites.models.change import Change
from sites.models.documents import DocumentNumber, FrozenDocument
from sites.models.job import Job
from sites.models.opening import OlderNumber, Opening, Panel
from sites.models.people import Membership, User
from sites.models.studio import Studio
from sites.models.visit_folder import VisitFolder

__all__ = [
    "AttachedItem",
    "Building",
    "BuildingPerson",
    "Change",
    "DocumentNumber",
    "Fixing",
    "FrozenDocument",
    "Job",
    "Membership",
    "OlderNumber",
    "Opening",
    "Panel",
    "Studio",
    "User",
    "VisitFolder",
]
