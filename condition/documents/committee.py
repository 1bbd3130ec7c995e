"""The page for the building committee: what to do now, what this year, what can wait."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from condition.documents.snapshot import Counts, ListedFinding, UrgencyGroup
from condition.documents.words import (
    findings_counted,
    first_clause,
    is_mended,
    places_named,
)
from condition.models import Finding
from condition.models.choices import UrgencyClass

NOW, THIS_YEAR, CAN_WAIT = "now", "this-year", "can-wait"
MENDED, NOT_JUDGED = "mended", "not-judged"
KEEP_OUT = gettext_lazy(
    "Keep people out from under these places, inside and outside, until they are repaired. "
    "Local codes and the authority having jurisdiction decide how."
)
# As many as one page holds, the pressing ones first.
MOST_LISTED = {NOW: 6, THIS_YEAR: 4, CAN_WAIT: 2, MENDED: 1, NOT_JUDGED: 1}


def group_of(finding: Finding) -> str:
    """Return the one group a finding stands in. A hazard is never put off, whatever its class."""
    if finding.hazard or finding.urgency_class == UrgencyClass.IMMEDIATE:
        return NOW
    if is_mended(finding):
        return MENDED
    if finding.urgency_class is None:
        return NOT_JUDGED
    return THIS_YEAR if finding.urgency_class == UrgencyClass.SHORT_TERM else CAN_WAIT


def groups_of(findings: Sequence[Finding]) -> list[UrgencyGroup]:
    """Return the groups in the order they are read; the last only where it has any finding.

    findings: all of a survey, in the order of the openings. Each stands in one group, so the
    counts of the groups add up to the number of findings.
    """
    sorted_out: dict[str, list[Finding]] = {key: [] for key in MOST_LISTED}
    for finding in findings:
        sorted_out[group_of(finding)].append(finding)
    groups = [
        _now(sorted_out[NOW]),
        _by_kind(
            THIS_YEAR,
            _("To be done within a year of the visit"),
            sorted_out[THIS_YEAR],
            _("classed short term"),
        ),
        _by_kind(
            CAN_WAIT,
            _("Can wait until the next visit"),
            sorted_out[CAN_WAIT],
            _("classed intermediate or long term"),
        ),
    ]
    if sorted_out[MENDED]:
        name, why = _("Found mended or gone"), _("of earlier damage that needs nothing now")
        groups.append(_by_kind(MENDED, name, sorted_out[MENDED], why))
    if sorted_out[NOT_JUDGED]:
        name, why = _("Not judged yet"), _("logged without an urgency class")
        groups.append(_by_kind(NOT_JUDGED, name, sorted_out[NOT_JUDGED], why))
    return groups


def introduction(counts: Counts, day_words: str) -> str:
    """Return the first sentences of the page, from the report's own counts."""
    seen = _("On %(day)s we looked at %(seen)d of %(all)d openings and logged %(findings)s.") % {
        "day": day_words,
        "seen": counts.openings_looked_at,
        "all": counts.openings,
        "findings": findings_counted(counts.findings),
    }
    if counts.openings_seen_in_part:
        in_part = ngettext(
            "At %d of them a part could not be inspected.",
            "At %d of them a part could not be inspected.",
            counts.openings_seen_in_part,
        )
        seen = f"{seen} {in_part % counts.openings_seen_in_part}"
    unseen = counts.openings - counts.openings_looked_at
    if not unseen:
        return seen
    more = ngettext(
        "Nothing can be said here of %d opening that was not looked at.",
        "Nothing can be said here of %d openings that were not looked at.",
        unseen,
    )
    return f"{seen} {more % unseen}"


def _now(findings: list[Finding]) -> UrgencyGroup:
    dangerous = sorted(findings, key=lambda each: (not each.hazard, bool(each.made_safe)))
    listed = [
        ListedFinding(
            where=_place(finding),
            text=f"{finding.kind.name}: {_continued(first_clause(finding.kind.plain))}",
            findings=[finding.number],
            hazard=finding.hazard,
            made_safe=finding.made_safe.strip().rstrip("."),
        )
        for finding in dangerous[: MOST_LISTED[NOW]]
    ]
    return UrgencyGroup(
        key=NOW,
        title=_("Dangers, and what is urgent"),
        count=len(findings),
        sentence=_danger_sentence(findings),
        listed=listed,
        beyond=_beyond(len(findings) - len(listed)),
    )


def _danger_sentence(findings: list[Finding]) -> str:
    if not findings:
        return _("Nothing was marked on the day as a danger or as urgent.")
    hazards = [finding for finding in findings if finding.hazard]
    urgent = len(findings) - len(hazards)
    said = []
    if hazards:
        hurt = ngettext(
            "%d finding can hurt someone.", "%d findings can hurt someone.", len(hazards)
        )
        said += [hurt % len(hazards), _made_safe(hazards), KEEP_OUT]
    if urgent:
        pressing = ngettext("%d finding is urgent.", "%d findings are urgent.", urgent)
        said.append(pressing % urgent)
    return " ".join(str(sentence) for sentence in said if sentence)


def _made_safe(hazards: list[Finding]) -> str:
    done = sum(bool(finding.made_safe.strip()) for finding in hazards)
    if not done:
        return ""
    if done == len(hazards):
        return ngettext(
            "It was made safe for the time being on the day.",
            "All of them were made safe for the time being on the day.",
            done,
        )
    some = ngettext(
        "%d of them was made safe for the time being on the day.",
        "%d of them were made safe for the time being on the day.",
        done,
    )
    return some % done


def _by_kind(key: str, title: str, findings: list[Finding], why: str) -> UrgencyGroup:
    kinds: dict[str, list[Finding]] = {}
    for finding in findings:
        kinds.setdefault(finding.kind.name, []).append(finding)
    worst_first = sorted(kinds.values(), key=_weight, reverse=True)[: MOST_LISTED[key]]
    listed = [
        ListedFinding(
            where=places_named([finding.subject_label for finding in of_kind]),
            text=_told(of_kind[0], key),
            findings=[finding.number for finding in of_kind],
            hazard=False,
            made_safe="",
        )
        for of_kind in worst_first
    ]
    told = sum(len(entry.findings) for entry in listed)
    return UrgencyGroup(
        key=key,
        title=title,
        count=len(findings),
        sentence=f"{findings_counted(len(findings))} {why}." if findings else _("Nothing."),
        listed=listed,
        beyond=_beyond(len(findings) - told),
    )


def _weight(of_kind: list[Finding]) -> tuple[bool, int, int]:
    """What comes first: what can fall on people, then the worst condition, then the commonest."""
    worst = max(finding.condition_class or 0 for finding in of_kind)
    return of_kind[0].kind.danger, worst, len(of_kind)


def _told(finding: Finding, group: str) -> str:
    """The kind by name and in plain words; of damage that is gone the name alone."""
    if group == MENDED:
        return f"{finding.kind.name}."
    return f"{finding.kind.name}: {_continued(first_clause(finding.kind.plain))}"


def _beyond(count: int) -> str:
    if not count:
        return ""
    more = ngettext("%d more finding stands", "%d more findings stand", count) % count
    return _("%s in the sections of the openings.") % more


def _place(finding: Finding) -> str:
    title = finding.opening.title.strip()
    return f"{finding.subject_label}, {title}" if title else finding.subject_label


def _continued(sentence: str) -> str:
    """A sentence after a colon: it starts small."""
    return sentence[0].lower() + sentence[1:]
