"""A report held against itself: the same figure wherever it stands. Pure: it reads a snapshot.

Issuing runs it before anything is frozen. What a reader meets in two places (the page for the
committee, the list of openings, the sections, the table of changes) is counted again from the
entries of the findings, which are the one place where each finding stands in full.
"""

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from typing import Any, Final

Plain = dict[str, Any]

IMMEDIATE, SHORT_TERM, INTERMEDIATE = 3, 2, 1
NUMBER: Final = re.compile(r"\d+")
MADE_SAFE: Final = "made_safe"
CLASSES: Final = ("condition", "urgency", "recommendation")


def contradictions(snapshot: Plain) -> list[str]:
    """Return every figure of a condition report that another of its figures contradicts.

    snapshot: of the schema saddlebar/condition-report/4.
    """
    return [told for check in CHECKS for told in check(snapshot)]


def findings_of(snapshot: Plain) -> list[Plain]:
    """Return all entries of findings, opening after opening."""
    return [finding for opening in snapshot["openings"] for finding in opening["findings"]]


def group_of(finding: Plain) -> str:
    """Return the group of the committee's page that a finding stands in, from its entry."""
    urgency = _level(finding, "urgency")
    if finding["hazard"] or urgency == IMMEDIATE:
        return "now"
    if _level(finding, "condition") == 0 and _level(finding, "recommendation") == 0:
        return "mended"
    if urgency is None:
        return "not-judged"
    return "soon" if urgency == SHORT_TERM else "can-wait"


def _counts(snapshot: Plain) -> Iterator[str]:
    """The report's counts of itself against what it holds."""
    counts, findings = snapshot["counts"], findings_of(snapshot)
    hazards = [finding for finding in findings if finding["hazard"]]
    photographs = _photographs(snapshot)
    yield from _differ(
        {
            "findings": (counts["findings"], len(findings)),
            "dangers": (counts["hazards"], len(hazards)),
            "dangers made safe": (
                counts["hazards_made_safe"],
                sum(bool(each[MADE_SAFE]) for each in hazards),
            ),
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
    yield from _once([photograph["number"] for photograph in photographs], "photograph")
    yield from _once([finding["number"] for finding in findings], "finding")


def _introduction(snapshot: Plain) -> Iterator[str]:
    """The figures in the first sentences of the committee's page."""
    counts = snapshot["counts"]
    wanted = [counts["openings_looked_at"], counts["openings"], counts["findings"]]
    if counts["openings_seen_in_part"]:
        wanted.append(counts["openings_seen_in_part"])
    if unseen := counts["openings"] - counts["openings_looked_at"]:
        wanted.append(unseen)
    said = snapshot["introduction"].replace(snapshot["survey"]["day_words"], "")
    yield from _differ({"the introduction": (_numbers(said), wanted)}, "page one")


def _groups(snapshot: Plain) -> Iterator[str]:
    """The groups of the committee's page against the entries of the findings."""
    findings = findings_of(snapshot)
    by_number = {finding["number"]: finding for finding in findings}
    there = Counter(group_of(finding) for finding in findings)
    for group in snapshot["groups"]:
        listed = [number for entry in group["listed"] for number in entry["findings"]]
        beyond = group["count"] - len(listed)
        yield from _differ(
            {
                "findings": (group["count"], there.pop(group["key"], 0)),
                "findings beyond those listed": (
                    _numbers(group["beyond"]),
                    [beyond] if beyond else [],
                ),
                "the sentence": (_numbers(group["sentence"]), _of_sentence(group, snapshot)),
                "the title": (_numbers(group["title"]), _of_title(group, snapshot)),
            },
            f"group {group['key']}",
        )
        yield from _once(listed, f"group {group['key']}: finding")
        for entry in group["listed"]:
            yield from _listed(entry, group["key"], by_number)
    if there:
        yield f"page one has no group for: {', '.join(sorted(there))}"


def _listed(entry: Plain, key: str, by_number: dict[int, Plain]) -> Iterator[str]:
    for number in entry["findings"]:
        finding = by_number.get(number)
        if finding is None:
            yield f"page one lists finding {number}, which has no entry"
        elif group_of(finding) != key:
            yield f"page one lists finding {number} in group {key}, not {group_of(finding)}"
        elif finding["hazard"] != entry["hazard"]:
            yield f"finding {number} is a danger in one place and not in another"
        elif entry["hazard"] and finding[MADE_SAFE] != entry[MADE_SAFE]:
            yield f"finding {number} is made safe in one place and not in another"


def _of_title(group: Plain, snapshot: Plain) -> list[int]:
    return [snapshot["terms"]["short_years"]] if group["key"] == "soon" else []


def _of_sentence(group: Plain, snapshot: Plain) -> list[int]:
    """The figures that a group's sentence must have, in their order."""
    of_group = [each for each in findings_of(snapshot) if group_of(each) == group["key"]]
    if group["key"] == "now":
        hazards = [each for each in of_group if each["hazard"]]
        safe = sum(bool(each[MADE_SAFE]) for each in hazards)
        urgent = len(of_group) - len(hazards)
        partly = 0 < safe < len(hazards)
        return [n for n in (len(hazards), safe if partly else 0, urgent) if n]
    if group["key"] == "can-wait":
        terms = snapshot["terms"]
        later = sum(_level(each, "urgency") == INTERMEDIATE for each in of_group)
        last = len(of_group) - later
        parts = [(later, terms["intermediate_years"]), (last, terms["long_years"])]
        return [figure for part in parts if part[0] for figure in part]
    return [len(of_group)] if of_group else []


def _lines(snapshot: Plain) -> Iterator[str]:
    """The list of openings, and the classes of each as a whole, against its section."""
    sections = {opening["number"]: opening for opening in snapshot["openings"]}
    for line in snapshot["opening_lines"]:
        section = sections.get(line["number"])
        findings = section["findings"] if section else []
        place = f"the list of openings, {line['number']}"
        wanted = len(findings)
        yield from _differ(
            {
                "findings": (line["finding_count"], wanted),
                "what was seen": (_numbers(line["outcome"]), [wanted] if wanted else []),
                "danger": (line["hazard"], any(each["hazard"] for each in findings)),
            },
            place,
        )
        if section:
            judged = section["assessment"]
            yield from _differ({name: (line[name], judged[name]) for name in CLASSES}, place)
            if not judged["is_set"]:
                yield from _worst(judged, findings, place)


def _worst(judged: Plain, findings: list[Plain], place: str) -> Iterator[str]:
    """Unless the surveyor set them, an opening's classes are the worst of its findings'."""
    for name in CLASSES:
        levels = [level for each in findings if (level := _level(each, name)) is not None]
        given = judged[name]["level"] if judged[name] else None
        if given != max(levels, default=None):
            yield f"{place}: its {name} class is {given}, the worst of its findings' is not"


def _advice(snapshot: Plain) -> Iterator[str]:
    """What is recommended for each opening against the classes of its findings."""
    for opening in snapshot["openings"]:
        wanted: dict[int, list[int]] = {}
        for finding in opening["findings"]:
            if level := _level(finding, "recommendation"):
                wanted.setdefault(level, []).append(finding["number"])
        given = {each["level"]: each["findings"] for each in opening["advice"]}
        yield from _differ({"what is recommended": (given, wanted)}, opening["number"])


def _evidence(snapshot: Plain) -> Iterator[str]:
    """Findings and photographs name each other, and pins name findings of their opening."""
    for opening in snapshot["openings"]:
        numbers = {finding["number"] for finding in opening["findings"]}
        for finding in opening["findings"]:
            shown = [
                p["number"] for p in opening["photographs"] if finding["number"] in _shown_on(p)
            ]
            yield from _differ(
                {f"photographs of finding {finding['number']}": (finding["photographs"], shown)},
                opening["number"],
            )
            if str(finding["number"]) not in finding["label"].split():
                yield f"finding {finding['number']} is headed {finding['label']}"
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
        yield from _differ({"changes": ([f["number"] for f in findings if f["state"]], [])}, "")
        return
    rows = change["rows"]
    counted = Counter(row["state"] for row in rows)
    states = [each["state"] for each in change["counts"]]
    others = any(row["day"] not in ("", change["day"]) for row in rows)
    yield from _differ(
        {
            "all states": (
                {each["state"]: each["count"] for each in change["counts"]},
                {state: counted[state] for state in states},
            ),
            "findings now": (change["findings_now"], sum(bool(row["later"]) for row in rows)),
            "findings logged": (change["findings_now"], len(findings)),
            "findings then": (change["findings_then"], sum(bool(row["earlier"]) for row in rows)),
            "other surveys": (change["has_others"], others),
            "the sentence": (
                _numbers(
                    change["sentence"]
                    .replace(change["day_words"], "")
                    .replace(change["interval"], "")
                ),
                [each["count"] for each in change["counts"] if each["count"]],
            ),
            "each finding now": (
                {row["later"]: row["state"] for row in rows if row["later"]},
                {finding["number"]: finding["state"] for finding in findings},
            ),
        },
        "what changed",
    )
    then = [(row["survey"], row["earlier"]) for row in rows if row["earlier"]]
    yield from _once(then, "earlier finding")
    yield from _continued(snapshot)
    yield from _change_lines(snapshot, states)


def _continued(snapshot: Plain) -> Iterator[str]:
    """A finding that says which earlier one it continues: the table of changes says the same."""
    change = snapshot["change"]
    rows = {row["later"]: row for row in change["rows"] if row["later"]}
    for finding in findings_of(snapshot):
        before, row = finding["continues"], rows.get(finding["number"])
        if before and row and row["earlier"] and before["day"] == row["day"]:
            yield from _differ(
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
        yield from _differ(places, f"what changed at {number}")


def _times(snapshot: Plain) -> Iterator[str]:
    """The years of each class: in the legend as in the terms."""
    terms = snapshot["terms"]
    wanted = [
        terms[name]
        for name in ("long_years", "intermediate_years", "short_years", "immediate_months")
    ]
    told = [number for row in snapshot["legend"] for number in _numbers(row["within"])]
    yield from _differ({"the times of the classes": (told, wanted)}, "the legend")


def _notices(snapshot: Plain) -> Iterator[str]:
    """Open notices: at their finding as in their list."""
    listed = Counter(
        (each["finding"], each["number"]) for each in snapshot["notices"] if each["finding"]
    )
    named = Counter(
        (finding["number"], number)
        for finding in findings_of(snapshot)
        for number in finding["notices"]
    )
    yield from _differ({"open notices": (listed, named)}, "the list of notices")


CHECKS: Final[tuple[Callable[[Plain], Iterator[str]], ...]] = (
    _counts,
    _introduction,
    _groups,
    _lines,
    _words,
    _advice,
    _evidence,
    _changes,
    _times,
    _notices,
)


def _differ(pairs: dict[str, tuple[Any, Any]], place: str) -> Iterator[str]:
    for name, (said, counted) in pairs.items():
        if said != counted:
            yield f"{place}, {name}: it says {said}, and {counted} are there"


def _once(numbers: Iterable[Any], what: str) -> Iterator[str]:
    for number, times in Counter(numbers).items():
        if times > 1:
            yield f"{what} {number} stands {times} times"


def _numbers(text: str) -> list[int]:
    return [int(number) for number in NUMBER.findall(text)]


def _level(judged: Plain, name: str) -> int | None:
    return judged[name]["level"] if judged[name] else None


def _was_looked_at(opening: Plain) -> bool:
    return bool(opening["findings"] or opening["looked_at"])


def _photographs(snapshot: Plain) -> list[Plain]:
    of_openings = [p for opening in snapshot["openings"] for p in opening["photographs"]]
    return [*snapshot["general_photographs"], *of_openings]
