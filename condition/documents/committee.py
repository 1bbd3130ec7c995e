"""The page for the building committee: what to do now, what next, what can wait, in plain words."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext

from condition.documents.snapshot import Counts, ListedFinding, Terms, UrgencyGroup
from condition.documents.terms import years_counted
from condition.documents.words import (
    findings_counted,
    first_clause,
    is_mended,
    places_named,
)
from condition.models import Finding
from condition.models.choices import UrgencyClass

NOW, SOON, CAN_WAIT = "now", "soon", "can-wait"
MENDED, NOT_JUDGED = "mended", "not-judged"
KEEP_OUT = gettext_lazy(
    "Keep people out from under these places, inside and outside, until they are repaired. "
    "Local codes and the authority having jurisdiction decide how."
)
MOST_LISTED = {NOW: 10, SOON: 4, CAN_WAIT: 2, MENDED: 1, NOT_JUDGED: 1}
# Lines for single entries on the page, and letters a line; see `page_one` for the whole of it.
ROOM_LINES = 30
LETTERS_A_LINE = 104


def group_of(finding: Finding) -> str:
    """Return the one group a finding stands in. A hazard is never put off, whatever its class."""
    if finding.hazard or finding.urgency_class == UrgencyClass.IMMEDIATE:
        return NOW
    if is_mended(finding):
        return MENDED
    if finding.urgency_class is None:
        return NOT_JUDGED
    return SOON if finding.urgency_class == UrgencyClass.SHORT_TERM else CAN_WAIT


def groups_of(
    findings: Sequence[Finding], terms: Terms, room: int = ROOM_LINES
) -> list[UrgencyGroup]:
    """Return the groups in the order they are read; the last two only where there is any finding.

    findings: all of a survey, in the order of the openings. Each stands in one group, so the
    counts of the groups add up to the number of findings. room: the lines there are for single
    entries, the pressing ones first.
    """
    sorted_out: dict[str, list[Finding]] = {key: [] for key in MOST_LISTED}
    for finding in findings:
        sorted_out[group_of(finding)].append(finding)
    soon, waiting = sorted_out[SOON], sorted_out[CAN_WAIT]
    title = _("To be done within %s of the visit") % years_counted(terms.short_years)
    groups = [_now(sorted_out[NOW])]
    groups.append(
        _by_kind(SOON, title, soon, _counted(soon, _("not marked as a danger on the day")))
    )
    groups.append(_by_kind(CAN_WAIT, _("Can wait longer"), waiting, _waiting(waiting, terms)))
    if mended := sorted_out[MENDED]:
        why = _counted(mended, _("of earlier damage; nothing is to be done there now"))
        groups.append(_by_kind(MENDED, _("Found mended or gone"), mended, why))
    if unjudged := sorted_out[NOT_JUDGED]:
        why = _counted(unjudged, _("that nobody has judged yet"))
        groups.append(_by_kind(NOT_JUDGED, _("Not judged yet"), unjudged, why))
    return _within(groups, room)


def _within(groups: Iterable[UrgencyGroup], room: int) -> list[UrgencyGroup]:
    """The groups with as many entries as there is room for; the first has one in any case."""
    fitted: list[UrgencyGroup] = []
    for group in groups:
        listed: list[ListedFinding] = []
        for entry in group.listed:
            lines = _lines_of(entry)
            if lines > room and (fitted or listed):
                break
            room -= lines
            listed.append(entry)
        told = sum(len(entry.findings) for entry in listed)
        fitted.append(
            replace(group, listed=listed, beyond=_beyond(group.count - told, more=bool(told)))
        )
    return fitted


def _lines_of(entry: ListedFinding) -> int:
    numbers = ", ".join(str(number) for number in entry.findings)
    letters = len(entry.where) + len(entry.text) + len(numbers) + len(" (findings )")
    if entry.hazard:
        letters += len("! Danger ")
    if entry.made_safe:
        letters += len(" Made safe for the time being: ") + len(entry.made_safe)
    return -(-letters // LETTERS_A_LINE)


def _counted(findings: Sequence[Finding], what: str) -> str:
    return f"{findings_counted(len(findings))} {what}." if findings else _("Nothing.")


def _waiting(findings: Sequence[Finding], terms: Terms) -> str:
    """How many of what can wait are to be done by when, and how many only looked at again."""
    if not findings:
        return _("Nothing.")
    later = sum(finding.urgency_class == UrgencyClass.INTERMEDIATE for finding in findings)
    last = len(findings) - later
    told = []
    if later:
        told.append(
            _("%(count)d to be done within %(years)s")
            % {"count": later, "years": years_counted(terms.intermediate_years)}
        )
    if last:
        told.append(
            _("%(count)d to be looked at again within %(years)s")
            % {"count": last, "years": years_counted(terms.long_years)}
        )
    return "; ".join(told) + "."


def introduction(counts: Counts, day_words: str) -> str:
    """Return the first sentences of the page, from the report's own counts."""
    seen = _("On %(day)s we looked at %(seen)d of %(all)d windows and logged %(findings)s.") % {
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
        "Nothing can be said here of %d window that was not looked at.",
        "Nothing can be said here of %d windows that were not looked at.",
        unseen,
    )
    return f"{seen} {more % unseen}"


def _now(findings: list[Finding]) -> UrgencyGroup:
    dangerous = sorted(findings, key=_pressing)
    listed = [
        ListedFinding(
            where=_place(finding),
            text=first_clause(finding.kind.plain),
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
        beyond="",
    )


def _pressing(finding: Finding) -> tuple[bool, bool, int]:
    """What comes first: a danger, of these one nobody has made safe, then the worst condition."""
    return not finding.hazard, bool(finding.made_safe.strip()), -(finding.condition_class or 0)


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


def _by_kind(key: str, title: str, findings: list[Finding], sentence: str) -> UrgencyGroup:
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
    return UrgencyGroup(
        key=key, title=title, count=len(findings), sentence=sentence, listed=listed, beyond=""
    )


def _weight(of_kind: list[Finding]) -> tuple[bool, int, int]:
    """What comes first: what can fall on people, then the worst condition, then the commonest."""
    worst = max(finding.condition_class or 0 for finding in of_kind)
    return of_kind[0].kind.danger, worst, len(of_kind)


def _told(finding: Finding, group: str) -> str:
    """What is wrong in plain words; of damage that is gone its name alone, for nothing is."""
    if group == MENDED:
        return f"{finding.kind.name}."
    return first_clause(finding.kind.plain)


def _beyond(count: int, *, more: bool) -> str:
    """How many stand in the sections alone; more: some are listed already."""
    if not count:
        return ""
    if more:
        said = ngettext("%d more finding stands", "%d more findings stand", count)
    else:
        said = ngettext("%d finding stands", "%d findings stand", count)
    return _("%s in the sections of the openings.") % (said % count)


def _place(finding: Finding) -> str:
    title = finding.opening.title.strip()
    return f"{finding.subject_label}, {title}" if title else finding.subject_label
