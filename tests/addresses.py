"""Every address of the program, and what each kind of person gets there: the table of roles.

A row: the record its key is of (two, if it has two), then what GET and POST give to each column
of `COLUMNS`. `o` allowed, `f` forbidden (403), `n` not known (404), `m` wrong method (405). An
address that ends in one of several words has a row for each, the word behind its name.
Whoever has not signed in is sent to sign in, whatever the row.
"""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from django.urls import URLPattern, get_resolver, reverse

# Each role at the building; an owner at one building of another studio; an owner of the whole
# studio; an owner at another building of the same studio; an owner of the whole of another studio.
COLUMNS: Final = (
    "owner",
    "estimator",
    "surveyor",
    "bench",
    "committee",
    "reader",
    "stranger",
    "studio",
    "neighbour",
    "foreign",
)
#      oesbcrxSNF
ALL = "oooooooooo"
NO = "mmmmmmmmmm"
READ = "oooooononn"
EDIT = "ooofffnonn"  # owner, estimator, surveyor
PEOPLE = "ooonnnnonn"  # personal data: the others are not even told of it
OFFICE = "ooffffnonn"
COSTS = "oonnnnnonn"  # estimates are the studio's own
QUOTES = "oonnonnonn"
DECIDE = "oonnfnnonn"
STUDIO = "fffffffofo"  # everybody's own studio: its pages name none
RATES = "nnnnnnnonn"  # a record of the studio itself, not of a building
MINE = "onnnnnnnnn"  # for whoever asked for it

TABLE: dict[str, tuple[str, str, str]] = {
    "today": ("", ALL, NO),
    "own-address": ("", ALL, NO),
    "sites:buildings": ("", ALL, NO),
    "sites:building-add": ("", STUDIO, STUDIO),
    "sites:building": ("building", READ, NO),
    "sites:building-edit": ("building", EDIT, EDIT),
    "sites:person-add": ("building", EDIT, EDIT),
    "sites:person-edit": ("person", PEOPLE, PEOPLE),
    "sites:person-delete": ("person", NO, PEOPLE),
    "sites:plan-edit": ("building", EDIT, EDIT),
    "sites:plan-delete": ("building", NO, EDIT),
    "sites:plan-preview": ("building", NO, EDIT),
    "sites:plan-picture-add": ("building", NO, EDIT),
    "sites:plan-picture": ("plan_picture", EDIT, NO),
    "sites:plan-picture-delete": ("plan_picture", NO, EDIT),
    "sites:numbers-assign": ("building", EDIT, EDIT),
    "sites:opening-add": ("building", EDIT, EDIT),
    "sites:opening": ("opening", READ, NO),
    "sites:opening-edit": ("opening", EDIT, EDIT),
    "sites:opening-draw-new": ("building", EDIT, EDIT),
    "sites:opening-draw-new-preview": ("building", NO, EDIT),
    "sites:opening-draw": ("opening", EDIT, EDIT),
    "sites:opening-draw-preview": ("opening", NO, EDIT),
    "sites:opening-drawing": ("opening", READ, NO),
    "sites:older-number-add": ("opening", NO, EDIT),
    "sites:older-number-delete": ("older_number", NO, EDIT),
    "sites:panel-add": ("opening", EDIT, EDIT),
    "sites:panels-lay-out": ("opening", NO, EDIT),
    "sites:panel": ("panel", READ, NO),
    "sites:panel-edit": ("panel", EDIT, EDIT),
    "sites:panel-leads": ("panel", EDIT, EDIT),
    "sites:came-run-add": ("panel", EDIT, EDIT),
    "sites:came-run-edit": ("came_run", EDIT, EDIT),
    "sites:came-run-delete": ("came_run", NO, EDIT),
    "sites:item-add": ("opening", EDIT, EDIT),
    "sites:item": ("item", READ, NO),
    "sites:item-edit": ("item", EDIT, EDIT),
    "sites:fixing-add": ("item", EDIT, EDIT),
    "sites:fixing-edit": ("fixing", EDIT, EDIT),
    "sites:fixing-delete": ("fixing", NO, EDIT),
    "sites:lettering-edit": ("item", EDIT, EDIT),
    "sites:proof-issue": ("item", NO, EDIT),
    "sites:proof": ("proof", READ, NO),
    "sites:proof-pdf": ("proof", READ, NO),
    "sites:proof-approve": ("proof", NO, EDIT),
    "sites:proof-compare": ("proof", NO, READ),
    "sites:job": ("job", MINE, NO),
    "sites:studio-edit": ("", STUDIO, STUDIO),
    "sites:figures": ("", STUDIO, NO),
    "sites:figure-edit": ("figure", STUDIO, STUDIO),
    "sites:figure-forget": ("figure", NO, STUDIO),
    "sites:came-profiles": ("", STUDIO, NO),
    "sites:came-profile-add": ("", STUDIO, STUDIO),
    "sites:came-profile-edit": ("came_profile", RATES, RATES),
    "sites:own-settings": ("", ALL, ALL),
    "sites:patterns": ("", STUDIO, NO),
    "condition:survey-add": ("building", EDIT, EDIT),
    "condition:survey": ("survey", READ, NO),
    "condition:survey-edit": ("survey", EDIT, EDIT),
    "condition:wind-site": ("building", READ, EDIT),
    "condition:opening-supports": ("opening", READ, NO),
    "condition:survey-compare": ("survey", READ, NO),
    "condition:continuing": ("survey", EDIT, EDIT),
    "condition:finding-add": ("survey", EDIT, EDIT),
    "condition:danger-add": ("building", EDIT, EDIT),
    "condition:danger": ("open_danger", READ, NO),
    "condition:danger-act answer": ("open_danger", EDIT, EDIT),
    "condition:danger-act measure": ("open_danger", EDIT, EDIT),
    "condition:danger-act look": ("open_danger", EDIT, EDIT),
    "condition:danger-act end": ("open_danger", EDIT, EDIT),
    "condition:danger-act take-back": ("open_danger", EDIT, EDIT),
    "condition:notice-issue": ("open_danger", EDIT, EDIT),
    "condition:notice": ("notice", READ, NO),
    "condition:danger-where": ("", ALL, NO),
    "condition:danger-reopen": ("closed", EDIT, EDIT),
    "condition:danger-withdraw": ("closed", EDIT, EDIT),
    "condition:danger-rows": ("", STUDIO, NO),
    "condition:danger-row-edit": ("danger_row", RATES, RATES),
    "condition:areas": ("building", EDIT, EDIT),
    "condition:area-edit": ("area", EDIT, EDIT),
    "condition:incident-add": ("building", EDIT, EDIT),
    "condition:incident": ("incident", READ, NO),
    "condition:safety-sheet-add": ("building", EDIT, EDIT),
    "condition:safety-sheet": ("safety_sheet", READ, NO),
    "condition:safety-sheet-edit": ("safety_sheet", EDIT, EDIT),
    "condition:safety-sheet-pdf": ("safety_sheet", READ, NO),
    "condition:notice-pdf": ("notice", READ, NO),
    "condition:finding": ("finding", READ, NO),
    "condition:finding-edit": ("finding", EDIT, EDIT),
    "condition:finding-delete": ("finding", NO, EDIT),
    "condition:finding-classes": ("finding", EDIT, EDIT),
    "condition:finding-marks": ("finding", EDIT, EDIT),
    "condition:damage-map": ("survey opening", READ, NO),
    "condition:subject-classes": ("survey opening", EDIT, EDIT),
    "condition:class-rules": ("", STUDIO, NO),
    "condition:class-rule-add": ("", STUDIO, STUDIO),
    "condition:class-rule-edit": ("class_rule", RATES, RATES),
    "condition:inspection-add": ("survey", EDIT, EDIT),
    "condition:inspection-nothing-found": ("survey", NO, EDIT),
    "condition:inspection-delete": ("inspection", NO, EDIT),
    "condition:photograph-add": ("survey", EDIT, EDIT),
    "condition:photographs-sort": ("survey", NO, EDIT),
    "condition:photographs-in-order": ("survey", EDIT, EDIT),
    "condition:photographs-alike": ("survey", EDIT, EDIT),
    "condition:survey-review": ("survey", EDIT, NO),
    "condition:survey-classes": ("survey", EDIT, EDIT),
    "condition:photograph": ("photograph", READ, NO),
    "condition:photograph-compare": ("photograph", READ, NO),
    "condition:photograph-edit": ("photograph", EDIT, EDIT),
    "condition:photograph-scale": ("photograph", EDIT, EDIT),
    "condition:photograph-rectified": ("measured", READ, NO),
    "condition:photograph-original": ("photograph", EDIT, NO),
    "condition:report-issue": ("survey", NO, OFFICE),
    "condition:report": ("report", READ, NO),
    "condition:report-pdf": ("report", READ, NO),
    "condition:report-archival": ("report", READ, NO),
    "condition:report-terms": ("building", OFFICE, OFFICE),
    "restoration:estimate-add": ("building", OFFICE, OFFICE),
    "restoration:estimate": ("estimate", COSTS, NO),
    "restoration:estimate-edit": ("estimate", COSTS, COSTS),
    "restoration:action-add": ("estimate", COSTS, COSTS),
    "restoration:actions-from-findings": ("estimate", COSTS, COSTS),
    "restoration:action-edit": ("action", COSTS, COSTS),
    "restoration:action-delete": ("action", NO, COSTS),
    "restoration:shared-cost-add": ("estimate", COSTS, COSTS),
    "restoration:shared-cost-edit": ("shared_cost", COSTS, COSTS),
    "restoration:shared-cost-delete": ("shared_cost", NO, COSTS),
    "restoration:quote-issue": ("estimate", NO, COSTS),
    "restoration:quote": ("quote", QUOTES, NO),
    "restoration:quote-pdf": ("quote", QUOTES, NO),
    "restoration:quote-event-add": ("quote", NO, DECIDE),
    "restoration:rate-books": ("", STUDIO, NO),
    "restoration:rate-book-add": ("", STUDIO, STUDIO),
    "restoration:rate-book": ("rate_book", RATES, NO),
    "restoration:rate-book-edit": ("rate_book", RATES, RATES),
    "restoration:labour-rate-add": ("rate_book", RATES, RATES),
    "restoration:labour-rate-edit": ("labour_rate", RATES, RATES),
    "restoration:material-add": ("rate_book", RATES, RATES),
    "restoration:material-edit": ("material", RATES, RATES),
    "restoration:norm-add": ("rate_book", RATES, RATES),
    "restoration:norm-edit": ("norm", RATES, RATES),
}

# Pages of signing in, served by allauth: open to everybody, and hold no record.
SIGNING_IN: Final = "account_"
# Served by a signature in the address itself; tests/condition/test_photo_urls.py holds it.
SIGNED: Final = {"condition:photograph-file"}


def names(patterns: Any = None, prefix: str = "") -> Iterator[str]:
    """Every address's name, as the resolver knows it."""
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(pattern, URLPattern):
            yield f"{prefix}{pattern.name}"
        else:
            inner = f"{pattern.namespace}:" if pattern.namespace else ""
            yield from names(pattern.url_patterns, prefix + inner)


def view_of(name: str) -> str:
    """The name of the view of a row of the table."""
    return name.partition(" ")[0]


def records_of(name: str) -> list[str]:
    """What the keys of an address are of, none for a page of no record."""
    return TABLE[name][0].split()


def address(name: str, records: Mapping[str, Any]) -> str:
    """The address of this name for these records, by what each is."""
    keys = [records[record].pk for record in records_of(name)]
    return reverse(view_of(name), args=[*keys, *name.split(" ")[1:]])
