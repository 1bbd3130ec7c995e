"""The page for the building committee: what to do now, what this year, what can wait."""

from collections.abc import Sequence

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from condition.documents.snapshot import Counts, ListedFinding, UrgencyGroup
from condition.documents.words import findings_counted, first_clause, places_named
from condition.models import Finding
from condition.models.choices import UrgencyClass

NOW, THIS_YEAR, CAN_WAIT, NOT_JUDGED = "now", "this-year", "can-wait", "not-judged"
# As many as one page holds, the pressing ones first.
MOST_LISTED = {NOW: 6, THIS_YEAR: 5, CAN_WAIT: 4, NOT_JUDGED: 2}


def group_of(finding: Finding) -> str:
    """Return the one group a finding stands in. A hazard is never put off, whatever its class."""
    if finding.hazard or finding.urgency_class == UrgencyClass.IMMEDIATE:
        return NOW
    if finding.urgency_class is None:
        return NOT_JUDGED
    return THIS_YEAR if finding.urgency_class == UrgencyClass.SHORT_TERM else CAN_WAIT


def groups_of(findings: Sequence[Finding]) -> list[UrgencyGroup]:
    """Return the groups in the order they are read; the last only where it has any finding.

    findings: all of a survey, in the order of the openings. Each stands in one group, so the
    counts of the groups add up to the number of findings.
    """
    sorted_out: dict[str, list[Finding]] = {NOW: [], THIS_YEAR: [], CAN_WAIT: [], NOT_JUDGED: []}
    for finding in findings:
        sorted_out[group_of(finding)].append(finding)
    groups = [
        _now(sorted_out[NOW]),
        _by_kind(
            THIS_YEAR, _("To be done this year"), sorted_out[THIS_YEAR], _("classed short term")
        ),
        _by_kind(
            CAN_WAIT,
            _("Can wait until the next visit"),
            sorted_out[CAN_WAIT],
            _("classed intermediate or long term"),
        ),
    ]
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
        title=_("To be made safe now"),
        count=len(findings),
        sentence=_danger_sentence(findings),
        listed=listed,
        beyond=_beyond(len(findings) - len(listed)),
    )


def _danger_sentence(findings: list[Finding]) -> str:
    if not findings:
        return _("Nothing was found that can hurt someone or that is urgent.")
    hazards = [finding for finding in findings if finding.hazard]
    urgent = len(findings) - len(hazards)
    parts = []
    if hazards:
        can_hurt = ngettext("%d can hurt someone", "%d can hurt someone", len(hazards))
        parts.append(can_hurt % len(hazards) + _made_safe(hazards))
    if urgent:
        parts.append(ngettext("%d is urgent", "%d are urgent", urgent) % urgent)
    return f"{findings_counted(len(findings))}: {'; '.join(parts)}."


def _made_safe(hazards: list[Finding]) -> str:
    done = sum(bool(finding.made_safe.strip()) for finding in hazards)
    if not done:
        return ""
    if done == len(hazards):
        return _(", made safe for the time being on the day")
    return _(", %d of them made safe for the time being on the day") % done


def _by_kind(key: str, title: str, findings: list[Finding], why: str) -> UrgencyGroup:
    kinds: dict[str, list[Finding]] = {}
    for finding in findings:
        kinds.setdefault(finding.kind.name, []).append(finding)
    commonest = sorted(kinds.values(), key=len, reverse=True)[: MOST_LISTED[key]]
    listed = [
        ListedFinding(
            where=places_named([finding.subject_label for finding in of_kind]),
            text=f"{of_kind[0].kind.name}: {_continued(first_clause(of_kind[0].kind.plain))}",
            findings=[finding.number for finding in of_kind],
            hazard=False,
            made_safe="",
        )
        for of_kind in commonest
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
