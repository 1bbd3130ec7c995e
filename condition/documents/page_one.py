"""Page one: the entries for the committee, as many as fit, and the words a reader may not know."""

from collections.abc import Callable, Sequence
from typing import Any, Final

from condition.documents.committee import ROOM_LINES, groups_of
from condition.documents.snapshot import Terms, UrgencyGroup
from condition.models import Finding
from sites.documents.vocabulary import words_in

Plain = dict[str, Any]

PRINTED_OF_A_GROUP: Final = ("title", "sentence", "listed", "beyond")
# What the page holds, in lines of its text, and letters a line; measured on pages filled to the
# foot. Letter is wider and lower than A4.
PAGE_LINES: Final = {"Letter": 56.5, "A4": 60.0}
LETTERS_A_LINE: Final = 112
LETTERS_A_NOTE_LINE: Final = 138
# A heading, a first sentence and a note take more or less than a line of text.
HEADING, LEAD, NOTE = 1.9, 1.15, 0.85
# Letters of the phrases around what changes: in notices, terms, the list of words, an entry.
NOTICES, TERMS, WORDS, ENTRY = 48, 150, 24, 14


def filled(
    report: Plain, findings: Sequence[Finding], terms: Terms, as_plain: Callable[[Any], Plain]
) -> Plain:
    """Return the report with its groups and its words, the groups as long as the page allows.

    findings: all of the survey, in order. as_plain: makes a group into plain data.
    """
    report = dict(report)
    holds = PAGE_LINES[report["document"]["paper"]]
    for room in range(ROOM_LINES, 0, -1):
        groups = groups_of(findings, terms, room)
        report["groups"] = [as_plain(group) for group in groups]
        report["words"] = words_in(first_page(report))
        if lines_of(report, groups) <= holds:
            break
    return report


def first_page(snapshot: Plain) -> list[Any]:
    """Return what the page prints of a snapshot, its list of words left out."""
    change = snapshot["change"]
    return [
        snapshot["introduction"],
        snapshot["how_numbered"],
        change["sentence"] if change else "",
        [{key: group[key] for key in PRINTED_OF_A_GROUP} for group in snapshot["groups"]],
        [[notice["where"], notice["area"]] for notice in snapshot["notices"]],
    ]


def lines_of(report: Plain, groups: Sequence[UrgencyGroup]) -> float:
    """Return about how many lines the page takes, reckoned from the letters of its parts."""
    change = report["change"]["sentence"] if report["change"] else ""
    lead = LEAD * _lines(f"{report['introduction']} {change}", LETTERS_A_LINE - 12)
    told = sum(HEADING + _of_group(group) for group in groups)
    notices = "".join(f"{n['number']}, {n['where']}: {n['area']}; " for n in report["notices"])
    terms = TERMS + len(report["terms"]["relied_on_by"])
    words = " ".join(f"{each['term']}: {each['meaning']};" for each in report["words"])
    notes = sum(
        0.3 + NOTE * -(-letters // LETTERS_A_NOTE_LINE)
        for letters in (terms, len(report["how_numbered"]), WORDS + len(words))
        if letters
    )
    closed = _lines(" " * NOTICES + notices, LETTERS_A_LINE) if notices else 0
    return HEADING + lead + told + closed + notes


def _of_group(group: UrgencyGroup) -> float:
    entries = [
        f"! Danger {each.where}. {each.text} Made safe for the time being: {each.made_safe}"
        + " " * ENTRY
        if each.made_safe
        else f"{each.where}. {each.text} (findings {each.findings})"
        for each in group.listed
    ]
    sentence = _lines(f"{group.sentence} {group.beyond}", LETTERS_A_LINE)
    return sentence + sum(0.15 + _lines(entry, LETTERS_A_LINE - 4) for entry in entries)


def _lines(text: str, letters: int) -> int:
    return -(-len(text) // letters)
