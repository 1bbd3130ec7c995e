"""A proposal as it is kept with a finding: plain lists and words, and back."""

from collections.abc import Mapping
from typing import Any

from condition.compute.classes.propose import Proposal, Reason
from condition.compute.classes.rules import CLASSES


def as_kept(proposal: Proposal) -> dict[str, Any]:
    """Return a proposal as JSON can hold it."""
    return {
        **dict(zip(CLASSES, proposal.levels, strict=True)),
        "reasons": [
            {
                "text": reason.text,
                "source": reason.source,
                "rule": reason.rule,
                "touched": list(reason.touched),
            }
            for reason in proposal.reasons
        ],
    }


def from_kept(kept: Mapping[str, Any] | None) -> Proposal | None:
    """Return the proposal that was kept; None where there was none."""
    if not kept:
        return None
    reasons = tuple(
        Reason(
            str(each.get("text", "")),
            str(each.get("source", "")),
            str(each.get("rule", "")),
            tuple(each.get("touched", ())),
        )
        for each in kept.get("reasons", ())
    )
    return Proposal(kept.get("condition"), kept.get("urgency"), kept.get("recommendation"), reasons)
