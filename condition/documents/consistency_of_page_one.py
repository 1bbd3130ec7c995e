"""Page one held against the rest of its report. Pure: it reads a snapshot, and no sentence of it.

Each danger is met as an entry, as a row of page one and in the findings that saw it; each closed
area at its danger and in the list; each window in its group and with the classes it has.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from typing import Any, Final

from condition.compute.danger.facts import Falls, MeasureKind, Under
from condition.compute.danger.state import DANGEROUS, Standing
from condition.documents.cautions import ALWAYS, FALLING
from condition.documents.terms import months_after

Plain = dict[str, Any]

GROUPS: Final = {Standing.DANGER: "danger", Standing.LET_IN: "let in"}
WINDOWS: Final = {3: "now", 2: "soon", 1: "later", 0: "nothing"}


def findings_of(snapshot: Plain) -> list[Plain]:
    """Return all entries of findings, opening after opening."""
    return [finding for opening in snapshot["openings"] for finding in opening["findings"]]


def can_hurt(entry: Plain) -> bool:
    """Whether a danger's entry says that it can hurt somebody today."""
    return entry["standing"] in DANGEROUS


def group_of(entry: Plain) -> str:
    """Return the group of page one that a danger's entry belongs to; "" for none."""
    if not can_hurt(entry):
        return ""
    taken = entry["held_by"] == MeasureKind.TAKEN_AWAY
    return "taken" if taken else GROUPS[Standing(entry["standing"])]


def _dangers(snapshot: Plain) -> Iterator[str]:
    """Every danger is there, and as dangerous as its answers make it."""
    entries = snapshot["dangers"]
    still = [each for each in entries if each["standing"] != Standing.ENDED]
    yield from differ({"dangers": (snapshot["counts"]["dangers"], len(still))}, "the counts")
    yield from once([each["id"] for each in entries], "danger")
    for entry in entries:
        place = f"danger {entry['code']}"
        if entry["standing"] not in _standings(entry):
            yield f"{place}: it stands as {entry['standing']}, its answers say otherwise"
        yield from differ(
            {
                "seen again": (entry["seen_again"], bool(entry["findings"])),
                "held": (bool(entry["held_by"]), _is_held_by_tasks(entry)),
            },
            place,
        )
        yield from _due(entry, snapshot["terms"], place)


def _standings(entry: Plain) -> set[str]:
    """Where a danger may stand by its answers, if nobody has ended it."""
    if entry["ended"]:
        return {Standing.ENDED}
    if entry["falls"] == Falls.NO:
        found = Standing.ANSWERED_NO
    elif entry["under"] == Under.NOBODY:
        found = Standing.SLEEPING
    else:
        found = Standing.LET_IN if entry["under"] == Under.LET_IN else Standing.DANGER
    lighter = set() if found == Standing.ANSWERED_NO else {Standing.MAY_BE_LOST}
    return {found, Standing.NOT_ASKED} | lighter


def _is_held_by_tasks(entry: Plain) -> bool:
    """Where something holds it, nobody has to keep people out; what hurts nobody has no tasks."""
    if not can_hurt(entry):
        return bool(entry["held_by"])
    return "keep out" not in {task["key"] for task in entry["tasks"]}


def _due(entry: Plain, terms: Plain, place: str) -> Iterator[str]:
    """The last day of its repair follows from its class, the day it was judged, and the terms."""
    due = [task["by"] for task in entry["tasks"] if task["key"] == "repair"]
    judged = date.fromisoformat(entry["judged_on"])
    wanted = months_after(judged, _months(terms, entry["urgency"])).isoformat()
    there = (entry["urgency"], due), (entry["urgency"] if due else 0, [wanted] if due else [])
    yield from differ({"the day of its repair": there}, place)
    if bool(due) != can_hurt(entry):
        yield f"{place}: a repair is asked for and nothing is dangerous, or the other way round"


def _months(terms: Plain, urgency: int) -> int:
    years = ("long_years", "intermediate_years", "short_years")
    return int(terms["immediate_months"]) if urgency >= 3 else 12 * int(terms[years[urgency]])


def _rows(snapshot: Plain) -> Iterator[str]:
    """The rows of page one: each danger that can hurt somebody, in its group, at its place."""
    page, entries = snapshot["page_one"], snapshot["dangers"]
    wanted = {
        each["id"]: (group_of(each), each["where"], each["code"], bool(each["held_by"]))
        for each in entries
        if can_hurt(each)
    }
    rows = page["rows"]
    given = {row["danger"]: (row["group"], row["where"], row["code"], row["held"]) for row in rows}
    sides = {each["id"]: each["side"] for each in entries}
    places = {(r["group"], r["place"]): (r["code"], sides.get(r["danger"])) for r in rows}
    loose = {row["place"] for row in rows if row["group"] == "danger" and not row["held"]}
    held = {row["place"] for row in rows if row["group"] == "danger"} - loose
    yield from differ({"dangers": (given, wanted)}, "page one")
    yield from once([row["danger"] for row in rows], "page one: danger")
    for group, name in (("danger", "places"), ("let in", "let_in"), ("taken", "taken_places")):
        counted = {(each["code"], each["side"]) for each in entries if group_of(each) == group}
        numbered = sorted(place for of_group, place in places if of_group == group)
        yield from differ(
            {
                name: (page[name], len(counted)),
                f"{name} numbered": (numbered, list(range(1, len(counted) + 1))),
            },
            "page one",
        )
    yield from differ(
        {
            "places held": (page["places_held"], len(held)),
            "one thing a place": (
                [places[row["group"], row["place"]] for row in rows],
                [(row["code"], sides.get(row["danger"])) for row in rows],
            ),
        },
        "page one",
    )


def _sightings(snapshot: Plain) -> Iterator[str]:
    """A finding and the danger it saw name each other, stand at one window and agree."""
    entries = {each["id"]: each for each in snapshot["dangers"]}
    of_dangers = {(number, each["id"]) for each in entries.values() for number in each["findings"]}
    of_findings = {(f["number"], f["danger"]) for f in findings_of(snapshot) if f["danger"]}
    yield from differ({"dangers": (of_findings, of_dangers)}, "the findings")
    for finding in findings_of(snapshot):
        entry = entries.get(finding["danger"])
        there = (finding["opening"], can_hurt(entry)) if entry else (finding["opening"], False)
        wanted = (entry["opening"] if entry else finding["opening"], finding["hazard"])
        yield from differ({"its danger": (there, wanted)}, f"finding {finding['number']}")


def _closed(snapshot: Plain) -> Iterator[str]:
    """Areas that stand closed, and notices that stand open: each at its danger too."""
    counts, page = snapshot["counts"], snapshot["page_one"]
    entries = snapshot["dangers"]
    listed = Counter((shut["area"], key) for shut in page["shut"] for key in shut["dangers"])
    named = Counter((area, each["id"]) for each in entries for area in each["closed"])
    yield from differ(
        {
            "areas": (counts["areas_shut"], len(page["shut"])),
            "areas and their dangers": (listed, named),
            "open notices": (counts["notices"], len(snapshot["notices"])),
        },
        "what is shut now",
    )
    for entry in entries:
        there = [each for each in snapshot["notices"] if _is_of(each, entry)]
        if entry["closed"] and not there:
            yield f"danger {entry['code']}: what its notice closes is not in the list"


def _is_of(notice: Plain, entry: Plain) -> bool:
    """Whether a line of the list of notices says what stands at a danger."""
    finding = min(entry["findings"], default=0)
    same = (notice["number"], notice["finding"]) == (entry["notice"], finding)
    return same and all(area.strip().rstrip(".") in notice["area"] for area in entry["closed"])


def _windows(snapshot: Plain) -> Iterator[str]:
    """Each window stands in one group: the one its worst class and its dangers put it in."""
    lines = [line["number"] for line in snapshot["opening_lines"]]
    groups = snapshot["page_one"]["windows"]
    given = [(number, group["key"]) for group in groups for number in group["windows"]]
    wanted = [(number, _window(number, snapshot)) for number in lines]
    yield from differ({"the windows": (sorted(given), sorted(wanted))}, "page one")
    terms, day = snapshot["terms"], date.fromisoformat(snapshot["survey"]["day"])
    due = {key: _months(terms, urgency) for urgency, key in WINDOWS.items()}
    for group in groups:
        months = due.get(group["key"])
        by = months_after(day, months).isoformat() if months is not None else ""
        yield from differ(
            {"windows": (group["count"], len(group["windows"])), "the day": (group["by"], by)},
            f"page one, group {group['key']}",
        )


def _window(number: str, snapshot: Plain) -> str:
    """The group of a window, from its section and its dangers."""
    section = next((each for each in snapshot["openings"] if each["number"] == number), None)
    levels = [
        each["urgency"]
        for each in snapshot["dangers"]
        if each["opening"] == number and can_hurt(each)
    ]
    if section:
        levels += [level_of(each, "urgency") for each in section["findings"]]
        if section["assessment"]["is_set"]:
            levels.append(level_of(section["assessment"], "urgency"))
    worst = max((level for level in levels if level is not None), default=0)
    if worst or (levels and None not in levels):
        return WINDOWS.get(worst, "")
    if levels:
        return "not judged"
    return "nothing" if section and section["looked_at"] else "not seen"


def _cautions(snapshot: Plain) -> Iterator[str]:
    """What is said to whoever works there: always the same two, and whatever a window calls for."""
    whole = {each["code"] for each in snapshot["cautions"]}
    here = {
        opening["number"]: {each["code"] for each in opening["cautions"]}
        for opening in snapshot["openings"]
    }
    dangerous = {each["opening"] for each in snapshot["dangers"] if can_hurt(each)}
    needed = {*ALWAYS, *([FALLING] if dangerous else [])}.union(*here.values())
    yield from differ({"missing": (sorted(needed - whole), [])}, "the cautions")
    for number, codes in here.items():
        yield from differ({"falling": (FALLING in codes, number in dangerous)}, number)
        if not codes <= whole:
            yield f"{number}: a caution there stands nowhere whole"


CHECKS: Final[tuple[Callable[[Plain], Iterator[str]], ...]] = (
    _dangers,
    _rows,
    _sightings,
    _closed,
    _windows,
    _cautions,
)


def differ(pairs: dict[str, tuple[Any, Any]], place: str) -> Iterator[str]:
    """Yield what a place says and what was counted, of each pair whose two sides are not equal."""
    for name, (given, counted) in pairs.items():
        if given != counted:
            yield f"{place}, {name}: it says {given}, and {counted} are there"


def once(keys: Iterable[object], what: str) -> Iterator[str]:
    """Yield each key that stands more than once."""
    for key, times in Counter(keys).items():
        if times > 1:
            yield f"{what} {key} stands {times} times"


def level_of(judged: Plain, name: str) -> int | None:
    """Return a class of something judged; None where it was not given."""
    return int(judged[name]["level"]) if judged[name] else None
