"""A report held against itself: the same figure wherever it stands. Pure: it reads a snapshot.

Issuing runs it before anything is frozen. What a reader meets in two places (the page for the
committee, the list of openings, the sections, the table of changes) is counted again from the
entries of the findings, which are the one place where each finding stands in full.
"""

from collections import Counter
from collections.abc import Callable, Iterator
from typing import Final

from condition.documents import consistency_of_page_one as page_one
from condition.documents.consistency_of_page_one import (
    Plain,
    can_hurt,
    differ,
    findings_of,
    level_of,
    once,
)

CLASSES: Final = ("condition", "urgency", "recommendation")


def contradictions(snapshot: Plain) -> list[str]:
    """Return every figure of a condition report that another of its figures contradicts.

    snapshot: of the schema saddlebar/condition-report/5. No sentence is read: a translation
        blocks no issue.
    """
    return [told for check in CHECKS for told in check(snapshot)]


def _counts(snapshot: Plain) -> Iterator[str]:
    """The report's counts of itself against what it holds."""
    counts, findings = snapshot["counts"], findings_of(snapshot)
    photographs = _photographs(snapshot)
    yield from differ(
        {
            "findings": (counts["findings"], len(findings)),
            "photographs": (counts["photographs"], len(photographs)),
            "openings": (counts["openings"], len(snapshot["opening_lines"])),
            "openings looked at, not inspected and not recorded": (
                counts["openings"],
                counts["openings_looked_at"]
                + counts["openings_not_inspected"]
                + counts["openings_not_recorded"],
            ),
            "openings with something recorded": (
                len(snapshot["openings"]),
                sum(bool(line["anchor"]) for line in snapshot["opening_lines"]),
            ),
            "openings seen": (
                counts["openings_looked_at"],
                sum(_was_looked_at(each) for each in snapshot["openings"]),
            ),
            "openings not inspected": (
                counts["openings_not_inspected"],
                sum(
                    bool(each["not_seen"]) and not _was_looked_at(each)
                    for each in snapshot["openings"]
                ),
            ),
            "openings seen in part": (
                counts["openings_seen_in_part"],
                sum(
                    bool(each["not_seen"]) and _was_looked_at(each) for each in snapshot["openings"]
                ),
            ),
        },
        "the counts",
    )
    yield from once([photograph["number"] for photograph in photographs], "photograph")
    yield from once([finding["number"] for finding in findings], "finding")


def _lines(snapshot: Plain) -> Iterator[str]:
    """The list of openings, and the classes of each as a whole, against its section."""
    sections = {opening["number"]: opening for opening in snapshot["openings"]}
    dangerous = {each["opening"] for each in snapshot["dangers"] if can_hurt(each)}
    for line in snapshot["opening_lines"]:
        section = sections.get(line["number"])
        findings = section["findings"] if section else []
        place = f"the list of openings, {line['number']}"
        yield from differ(
            {
                "findings": (line["finding_count"], len(findings)),
                "danger": (line["hazard"], line["number"] in dangerous),
            },
            place,
        )
        if section:
            judged = section["assessment"]
            yield from differ({name: (line[name], judged[name]) for name in CLASSES}, place)
            if not judged["is_set"]:
                yield from _worst(judged, findings, place)


def _worst(judged: Plain, findings: list[Plain], place: str) -> Iterator[str]:
    """Unless the surveyor set them, an opening's classes are the worst of its findings'."""
    for name in CLASSES:
        levels = [level for each in findings if (level := level_of(each, name)) is not None]
        given = judged[name]["level"] if judged[name] else None
        if given != max(levels, default=None):
            yield f"{place}: its {name} class is {given}, the worst of its findings' is not"


def _advice(snapshot: Plain) -> Iterator[str]:
    """What is recommended for each opening against the classes of its findings."""
    for opening in snapshot["openings"]:
        wanted: dict[int, list[int]] = {}
        for finding in opening["findings"]:
            if level := level_of(finding, "recommendation"):
                wanted.setdefault(level, []).append(finding["number"])
        given = {each["level"]: each["findings"] for each in opening["advice"]}
        yield from differ({"what is recommended": (given, wanted)}, opening["number"])


def _evidence(snapshot: Plain) -> Iterator[str]:
    """Findings and photographs name each other, and pins name findings of their opening."""
    for opening in snapshot["openings"]:
        numbers = {finding["number"] for finding in opening["findings"]}
        for finding in opening["findings"]:
            shown = [
                p["number"] for p in opening["photographs"] if finding["number"] in _shown_on(p)
            ]
            yield from differ(
                {f"photographs of finding {finding['number']}": (finding["photographs"], shown)},
                opening["number"],
            )
            if finding["opening"] != opening["number"]:
                yield f"finding {finding['number']} is of another window"
        pins = opening["drawing"]["pins"] if opening["drawing"] else []
        named = {pin["finding"] for pin in pins} | {
            number for p in opening["photographs"] for number in _shown_on(p)
        }
        for number in sorted(named - numbers):
            yield f"{opening['number']}: finding {number} is pictured and has no entry there"


def _shown_on(photograph: Plain) -> list[int]:
    """The numbers of the findings that a photograph shows."""
    first = photograph["finding"]
    return [] if first is None else [first, *photograph["also_shows"]]


def _words(snapshot: Plain) -> Iterator[str]:
    """The number of each class given, against its word: both as the legend has them."""
    words = {(row["level"], name): row[name] for row in snapshot["legend"] for name in CLASSES}
    for place, judged in _judged(snapshot):
        for name in CLASSES:
            mark = judged.get(name)
            if mark and words.get((mark["level"], name)) != mark["word"]:
                yield f"{place}: {name} {mark['level']} is called {mark['word']}"


def _judged(snapshot: Plain) -> Iterator[tuple[str, Plain]]:
    """Everything that bears classes, with its place in words."""
    for line in snapshot["opening_lines"]:
        yield f"the list of openings, {line['number']}", line
    for opening in snapshot["openings"]:
        yield opening["number"], opening["assessment"]
        for each in opening["advice"]:
            yield f"what is recommended at {opening['number']}", {"recommendation": each}
        for finding in opening["findings"]:
            yield f"finding {finding['number']}", finding
            if finding["continues"]:
                yield f"what finding {finding['number']} continues", finding["continues"]


def _changes(snapshot: Plain) -> Iterator[str]:
    """The table of changes against its rows, the sections and the findings."""
    change = snapshot["change"]
    findings = findings_of(snapshot)
    if change is None:
        yield from differ({"changes": ([f["number"] for f in findings if f["state"]], [])}, "")
        return
    rows = change["rows"]
    counted = Counter(row["state"] for row in rows)
    states = [each["state"] for each in change["counts"]]
    others = any(row["day"] not in ("", change["day"]) for row in rows)
    yield from differ(
        {
            "all states": (
                {each["state"]: each["count"] for each in change["counts"]},
                {state: counted[state] for state in states},
            ),
            "findings now": (change["findings_now"], sum(bool(row["later"]) for row in rows)),
            "findings logged": (change["findings_now"], len(findings)),
            "findings then": (change["findings_then"], sum(bool(row["earlier"]) for row in rows)),
            "other surveys": (change["has_others"], others),
            "each finding now": (
                {row["later"]: row["state"] for row in rows if row["later"]},
                {finding["number"]: finding["state"] for finding in findings},
            ),
        },
        "what changed",
    )
    then = [(row["survey"], row["earlier"]) for row in rows if row["earlier"]]
    yield from once(then, "earlier finding")
    yield from _continued(snapshot)
    yield from _change_lines(snapshot, states)


def _continued(snapshot: Plain) -> Iterator[str]:
    """A finding that says which earlier one it continues: the table of changes says the same."""
    change = snapshot["change"]
    rows = {row["later"]: row for row in change["rows"] if row["later"]}
    for finding in findings_of(snapshot):
        before, row = finding["continues"], rows.get(finding["number"])
        if before and row and row["earlier"] and before["day"] == row["day"]:
            yield from differ(
                {"the finding continued": (row["earlier"], before["number"])},
                f"finding {finding['number']}",
            )


def _change_lines(snapshot: Plain, states: list[str]) -> Iterator[str]:
    change = snapshot["change"]
    sections = {opening["number"]: opening for opening in snapshot["openings"]}
    lines = {line["opening"]: line["counts"] for line in change["lines"]}
    for number in dict.fromkeys([row["opening"] for row in change["rows"]] + list(lines)):
        rows = [row for row in change["rows"] if row["opening"] == number]
        counted = Counter(row["state"] for row in rows)
        wanted = [counted[state] for state in states]
        places = {"the table of changes": (lines.get(number), wanted)}
        if number in sections:
            section = sections[number]
            places["its section"] = ([each["count"] for each in section["changed"]], wanted)
            past = [row for row in rows if not row["later"]]
            places["what is not there now"] = (section["past"], past)
        yield from differ(places, f"what changed at {number}")


CHECKS: Final[tuple[Callable[[Plain], Iterator[str]], ...]] = (
    _counts,
    _lines,
    _words,
    _advice,
    _evidence,
    _changes,
    *page_one.CHECKS,
)


def _was_looked_at(opening: Plain) -> bool:
    return bool(opening["findings"] or opening["looked_at"])


def _photographs(snapshot: Plain) -> list[Plain]:
    of_openings = [p for opening in snapshot["openings"] for p in opening["photographs"]]
    return [*snapshot["general_photographs"], *of_openings]
