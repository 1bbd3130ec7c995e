"""From a snapshot to HTML: what the layouts of all documents share."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any, TypeVar

from django.template.loader import render_to_string
from django.utils import translation
from django.utils.translation import gettext as _

from sites.documents.characters import covered_by_our_fonts, printable

# About as many characters as half the width of the page holds.
LONGEST_BESIDE = 34

Plain = dict[str, Any]
Thing = TypeVar("Thing")


def lay_out(template: str, snapshot: Plain, arrange: Callable[[Plain], Plain]) -> str:
    """Return `template` filled from a snapshot: `snapshot`, and what `arrange` makes of it.

    Characters that no typeface of ours has are printed by their codes and listed at the end.
    """
    printed, replaced = printable(snapshot, covered_by_our_fonts())
    document = printed["document"]
    printed["document"] = document | {"language_tag": document["locale"].replace("_", "-")}
    with translation.override(document["language"]):
        filled = {"snapshot": printed, "replaced": replaced, **arrange(printed)}
        return render_to_string(template, filled)


def heading_facts(document: Plain) -> list[tuple[str, str]]:
    """Return what every cover opens with: number, version, date and what it supersedes."""
    before = document["supersedes"]
    superseded = (
        _("Version %(version)d of %(day)s")
        % {"version": before["version"], "day": before["dated_words"]}
        if before
        else ""
    )
    return [
        (_("Number"), document["number"]),
        (_("Version"), str(document["version"])),
        (_("Date"), document["dated_words"]),
        (_("Takes the place of"), superseded),
    ]


def building_line(building: Plain) -> str:
    """Name, address and place on one line; an address that ends with the place says it once."""
    address = [building["name"], *building["address"]]
    if not address[-1].casefold().endswith(building["place"].casefold()):
        address.append(building["place"])
    return ", ".join(address)


def facts_known(facts: Iterable[tuple[str, str]]) -> list[Plain]:
    """Return names with values as the templates read them, leaving out what is not known."""
    return [{"name": name, "value": value} for name, value in facts if value]


def fact_rows(facts: Sequence[Plain]) -> list[list[Plain]]:
    """Return facts (names with values) in rows of two; a long one has a row to itself."""
    rows: list[list[Plain]] = []
    for fact in facts:
        long = len(fact["value"]) > LONGEST_BESIDE
        if rows and not long and _has_room(rows[-1]):
            rows[-1].append(fact)
        else:
            rows.append([fact])
    return rows


def _has_room(row: list[Plain]) -> bool:
    return len(row) == 1 and len(row[0]["value"]) <= LONGEST_BESIDE


def two_a_row(things: Sequence[Thing]) -> list[Sequence[Thing]]:
    """Return the things in rows of two, the last row perhaps of one."""
    return [things[start : start + 2] for start in range(0, len(things), 2)]
