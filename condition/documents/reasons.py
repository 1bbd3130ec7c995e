"""Why a finding has its classes: what the rules proposed, and what the surveyor set otherwise."""

from django.utils.translation import gettext as _

from condition.compute.classes.propose import Proposal
from condition.compute.classes.rules import CLASSES
from condition.documents.snapshot import Because, ClassReasons
from condition.documents.words import is_mended
from condition.models import Finding


def reasons_of(finding: Finding, proposal: Proposal | None) -> ClassReasons:
    """Return the reasons of a finding's classes.

    proposal: what the rules propose. Its reasons are those of the classes given only as far as
    the classes are the same; where another was set, the surveyor's own reason stands beside them.
    """
    why = finding.classes_reason.strip()
    if proposal is None or is_mended(finding):
        return ClassReasons([], "", why)
    touching = [reason for reason in proposal.reasons if reason.text]
    return ClassReasons(
        because=[Because(reason.text, reason.source) for reason in touching],
        proposed=_otherwise(finding, proposal),
        why=why,
    )


def _otherwise(finding: Finding, proposal: Proposal) -> str:
    """The classes proposed where others were given: `condition 1, urgency 2`; else nothing."""
    given = [getattr(finding, f"{name}_class") for name in CLASSES]
    names = (_("condition"), _("urgency"), _("recommendation"))
    apart = [
        f"{name} {level}"
        for name, mine, level in zip(names, given, proposal.levels, strict=True)
        if level is not None and mine is not None and mine != level
    ]
    return ", ".join(apart)
