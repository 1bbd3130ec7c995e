"""Inscription proofs: issued by a worker, approved by somebody, void after any later change."""

import logging
from dataclasses import dataclass
from typing import Any, Final
from uuid import UUID

from django.db import transaction
from django.utils.translation import gettext as _

from sites.compute.inscription.paper import PaperError, sheet_for
from sites.compute.inscription.proof_content import Change, changes
from sites.documents.canonical import digest
from sites.documents.inscription_proof.build import build_snapshot
from sites.documents.inscription_proof.layout import proof_html
from sites.documents.inscription_proof.plate import content_of
from sites.errors import JobFailedError, SaddlebarError
from sites.jobs import Progress, ask_for
from sites.models import AttachedItem, DocumentNumber, InscriptionProof, Job, ProofApproval, User
from sites.models.choices import DocumentKind
from sites.services.figures import figures_of
from sites.services.issuing import Draft, freeze, print_draft
from sites.services.numbers import next_version, reserve_number, today_at

logger = logging.getLogger(__name__)

TASK: Final = "issue_proof"
STEPS: Final = 3


class ProofNotReadyError(SaddlebarError):
    """An item whose proof cannot be issued yet; the text lists what is missing."""

    def __init__(self, missing: list[str]) -> None:
        super().__init__(" ".join(missing))
        self.missing = missing


class ApprovalError(SaddlebarError):
    """An approval that cannot have been given; `box` is the box of the form it belongs to."""

    def __init__(self, message: str, box: str | None = None) -> None:
        super().__init__(message)
        self.box = box


@dataclass(frozen=True)
class JudgedApproval:
    """An approval, and what has changed since: nothing, and it stands."""

    approval: ProofApproval
    changes: tuple[Change, ...]

    @property
    def stands(self) -> bool:
        return not self.changes


def missing_for_proof(item: AttachedItem) -> list[str]:
    """Return what must still be recorded before a proof can be issued, if anything."""
    missing = []
    if not item.inscription.strip():
        missing.append(_("The inscription is not recorded: write it line by line."))
    if item.width_mm is None or item.height_mm is None:
        missing.append(_("The width and the height of the plate are not both recorded."))
    if item.letter_height_mm is None:
        missing.append(_("The height of its letters is not recorded."))
    if item.width_mm is not None and item.height_mm is not None:
        try:
            sheet_for(float(item.width_mm), float(item.height_mm), item.opening.building.paper)
        except PaperError as problem:
            missing.append(str(problem))
    return missing


def ask_for_proof(item: AttachedItem, user: User) -> Job:
    """Return the job that issues the item's next proof, made now unless it is there.

    Raises ProofNotReadyError, naming what is missing.
    """
    if missing := missing_for_proof(item):
        raise ProofNotReadyError(missing)
    version = next_version(DocumentKind.PROOF, item.pk)
    return ask_for(
        item.opening.building.studio,
        TASK,
        job_key(item, version),
        user,
        item=str(item.pk),
        version=version,
        asked_by=str(user.pk),
    )


def job_key(item: AttachedItem, version: int) -> str:
    return f"{TASK}:{item.pk}:{version}"


def open_job(item: AttachedItem) -> Job | None:
    """Return the job that is printing the item's next proof, or failed at it; None for none."""
    version = next_version(DocumentKind.PROOF, item.pk)
    return Job.objects.filter(key=job_key(item, version)).select_related("asked_by").first()


def issue_proof(
    item: AttachedItem, version: int, user: User, progress: Progress
) -> InscriptionProof:
    """Issue version `version` of the item's proof; issued already, it is returned as it is.

    May be run again after a crash at any point: the number is found again, and one row at most
    is ever inserted. Raises ProofNotReadyError or PrintError in the user's words.
    """
    if issued := item.proofs.filter(version=version).first():
        return issued
    number = _reserve(item, user)
    before = item.proofs.filter(version=number.version - 1).first()
    progress.step(1, STEPS, _("Laying out the letters"))
    snapshot = build_snapshot(item, figures_of(item.opening.building.studio), number, before)
    draft = Draft(snapshot, proof_html(snapshot), {})
    progress.step(2, STEPS, _("Printing"))
    printed = print_draft(draft)
    progress.step(3, STEPS, _("Issuing"))
    return freeze(
        InscriptionProof,
        number=number,
        building=item.opening.building,
        supersedes=before,
        draft=draft,
        printed=printed,
        item=item,
        content_sha256=digest(snapshot["content"]),
    )


def do_issue_proof(job: Job, progress: Progress) -> dict[str, Any]:
    """The task: arguments are the item's key, the version and who asked."""
    asked = job.arguments
    rows = AttachedItem.objects.select_related("opening__building__studio")
    item = rows.filter(pk=UUID(asked["item"])).first()
    if item is None:
        raise JobFailedError(_("The item is no longer there."))
    # What was there when the proof was asked for may have been taken away meanwhile.
    if missing := missing_for_proof(item):
        raise JobFailedError(" ".join(missing))
    user = User.objects.get(pk=UUID(asked["asked_by"]))
    proof = issue_proof(item, asked["version"], user, progress)
    return {
        "proof": str(proof.pk),
        "url": proof.get_absolute_url(),
        "text": _("Open the proof"),
    }


@transaction.atomic
def approve(proof: InscriptionProof, approval: ProofApproval, user: User) -> ProofApproval:
    """Record that somebody approved exactly this proof. The row is frozen.

    Raises ApprovalError when the record has changed since the proof was made, and for a day
    before the proof's or after today.
    """
    # The item's row is held, so that nobody changes it between the check and the record.
    item = AttachedItem.objects.select_for_update().get(pk=proof.item_id)
    if changed := changes_since(proof, item):
        raise ApprovalError(
            _("The record has changed since this proof was made: make a new one. %s")
            % in_words(changed)
        )
    if approval.approved_on < proof.dated:
        raise ApprovalError(_("The proof was not there yet on that day."), "approved_on")
    if approval.approved_on > today_at(proof.building):
        raise ApprovalError(_("That day is still to come."), "approved_on")
    approval.proof, approval.recorded_by = proof, user
    approval.save(force_insert=True)
    logger.info("proof %s approved", proof.pk)
    return approval


def changes_since(proof: InscriptionProof, item: AttachedItem) -> tuple[Change, ...]:
    """Return what has changed between the proof and its item as it stands now."""
    present = content_of(item, figures_of(proof.building.studio))
    if digest(present) == proof.content_sha256:
        return ()
    return changes(proof.snapshot["content"], present)


def is_approval_standing(approval: ProofApproval) -> bool:
    """Whether the item is still, in all that was proved, what was approved."""
    return not changes_since(approval.proof, approval.proof.item)


def latest_approval(item: AttachedItem) -> JudgedApproval | None:
    """Return the approval that counts for the item as it is: the last one that stands, else the
    last one given, with what has changed since; None where nobody has approved anything."""
    approvals = list(
        ProofApproval.objects.filter(proof__item=item).select_related(
            "proof__building__studio", "recorded_by"
        )
    )
    if not approvals:
        return None
    present = content_of(item, figures_of(approvals[0].proof.building.studio))
    now = digest(present)
    standing = [each for each in approvals if each.proof.content_sha256 == now]
    if standing:
        return JudgedApproval(standing[0], ())
    last = approvals[0]
    return JudgedApproval(last, changes(last.proof.snapshot["content"], present))


def in_words(changed: tuple[Change, ...]) -> str:
    """Return changes as one line of text."""
    return "; ".join(change.words for change in changed)


def _reserve(item: AttachedItem, user: User) -> DocumentNumber:
    building = item.opening.building
    return reserve_number(
        studio=building.studio,
        kind=DocumentKind.PROOF,
        subject=item.pk,
        dated=today_at(building),
        user=user,
    )
