"""Rules of a look without a finding: nothing found, or not inspected and why."""

from collections.abc import Iterator
from typing import Final

from condition.compute.recording.facts import (
    NOT_INSPECTED,
    Context,
    InspectionData,
    Key,
    Refused,
    gettext_noop,
    refused,
)
from condition.compute.recording.subjects import MISSING, contradicts, subject_problems

NO_REASON: Final = gettext_noop("Say why it was not inspected.")
A_SECOND: Final = gettext_noop("This side is recorded already: %(there)s. Take that away first.")
HAS_FINDINGS: Final = gettext_noop(
    "It has a finding: %(numbers)s. “Nothing found” would contradict that."
)


def inspection_problems(
    data: InspectionData, known: Context, key: Key | None = None
) -> Iterator[Refused]:
    """Yield all that is wrong with a look. key: its own, by which it may be among the known."""
    yield from subject_problems(data, known)
    if data.outcome is None:
        yield refused("outcome", MISSING)
    if data.outcome == NOT_INSPECTED and not data.reason.strip():
        yield refused("reason", NO_REASON)
    place = (data.survey, data.opening)
    for other, look in known.inspections_at.get(place, ()):
        if other != key and (look.part, look.side) == (data.part, data.side):
            yield refused("side", A_SECOND, there=look.outcome)
    findings = known.findings_at.get(place, ())
    found = [each.number for each in findings if contradicts(data, data.outcome, each)]
    if found:
        yield refused("outcome", HAS_FINDINGS, numbers=", ".join(found))
