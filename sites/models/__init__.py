"""The register's tables."""

from sites.models.attached import AttachedItem, Fixing
from sites.models.building import Building, BuildingPerson
from sites.models.came import CameProfile, CameRun
from sites.models.caution import Caution
from sites.models.change import Change
from sites.models.documents import DocumentNumber, FrozenDocument
from sites.models.figure import StudioFigure
from sites.models.job import Job
from sites.models.opening import Bar, OlderNumber, Opening, Panel
from sites.models.people import Membership, User
from sites.models.plan import PlanPicture, PlanWall
from sites.models.proof import InscriptionProof, ProofApproval
from sites.models.studio import Studio
from sites.models.visit_folder import VisitFolder

__all__ = [
    "AttachedItem",
    "Bar",
    "Building",
    "BuildingPerson",
    "CameProfile",
    "CameRun",
    "Caution",
    "Change",
    "DocumentNumber",
    "Fixing",
    "FrozenDocument",
    "InscriptionProof",
    "Job",
    "Membership",
    "OlderNumber",
    "Opening",
    "Panel",
    "PlanPicture",
    "PlanWall",
    "ProofApproval",
    "Studio",
    "StudioFigure",
    "User",
    "VisitFolder",
]
