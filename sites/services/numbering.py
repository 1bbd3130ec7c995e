"""Numbers of the convention for a building's openings: proposed from its plan, given when asked."""

import hashlib
from collections import Counter
from dataclasses import dataclass
from datetime import date

from django.db import transaction
from django.utils.translation import gettext as _

from sites.compute.numbering import Numerals, numerals_of, opening_number, opening_order
from sites.compute.numbering_plan import assign
from sites.compute.plan.walls import orientation_of_plan, place_openings
from sites.errors import SaddlebarError
from sites.models import Building, OlderNumber, Opening
from sites.services.plan import east_of, on_wall, openings_along, walls_of
from sites.services.register import fill_opening

# No number anybody types: it stands while two openings change numbers with each other.
BETWEEN = "\N{RIGHTWARDS ARROW}"


class StaleNumbersError(SaddlebarError):
    """What was confirmed is not what the plan gives any more, or it cannot be given."""


@dataclass(frozen=True)
class NewNumber:
    """An opening on the plan, with the number it would have."""

    opening: Opening
    old: str
    new: str

    @property
    def changes(self) -> bool:
        return self.old != self.new


@dataclass(frozen=True)
class Proposal:
    """What numbering would do. `clashes`: why it cannot be done; `seen`: what was looked at."""

    rows: list[NewNumber]
    unplaced: list[Opening]
    clashes: list[str]
    numerals: Numerals

    @property
    def changed(self) -> list[NewNumber]:
        return [row for row in self.rows if row.changes]

    @property
    def seen(self) -> str:
        told = "\n".join(f"{row.opening.pk} {row.old} {row.new}" for row in self.rows)
        return hashlib.sha256(told.encode()).hexdigest()


def usual_numerals(building: Building) -> Numerals:
    """Return the numerals most numbers of the building are written in; Roman where none is."""
    numbers = building.openings.values_list("number", flat=True)
    counts = Counter(kind for number in numbers if (kind := numerals_of(number)))
    return counts.most_common(1)[0][0] if counts else "roman"


def propose(building: Building, numerals: Numerals, renumber_all: bool) -> Proposal:
    """Return the numbers the plan gives.

    Openings with a number of the convention keep it, unless all are to be renumbered; those
    without a place on the plan keep theirs in either case.
    Raises NumberingError where no wall is drawn, or letters or numerals run out.
    """
    walls = walls_of(building)
    lie = orientation_of_plan(walls, east_of(building))
    openings = {str(each.pk): each for each in openings_along(building.openings.all())}
    placed = place_openings(walls, [on_wall(each) for each in openings.values()])
    on_plan = {each.key for each in placed}
    unplaced = [each for key, each in openings.items() if key not in on_plan]
    kept = {} if renumber_all else {key: each.number for key, each in openings.items()}
    given = assign([each.counted for each in placed], lie, numerals, kept)
    rows = [NewNumber(openings[key], openings[key].number, new) for key, new in given.items()]
    rows.sort(key=lambda row: opening_order(row.new))
    return Proposal(rows, unplaced, _clashes(rows, unplaced), numerals)


def _clashes(rows: list[NewNumber], unplaced: list[Opening]) -> list[str]:
    wanted = {opening_number(row.new): row.new for row in rows}
    return [
        _(
            "Opening %(number)s has no place on the plan and would keep its number, which "
            "another would get. Place it on a wall, or give it another number first."
        )
        % {"number": opening.number}
        for opening in unplaced
        if (read := opening_number(opening.number)) is not None and read in wanted
    ]


def give_numbers(
    building: Building, numerals: Numerals, renumber_all: bool, seen: str, day: date
) -> int:
    """Give the numbers that were looked at, keep the old ones, and return how many changed.

    seen: of the proposal that was shown. day: that the old numbers are dated by.
    Raises StaleNumbersError where the plan or a number has changed since, or numbers clash, and
    NumberingError as `propose` does. Documents that are issued keep the numbers they have.
    """
    with transaction.atomic():
        Building.objects.select_for_update().get(pk=building.pk)
        proposal = propose(building, numerals, renumber_all)
        if proposal.clashes:
            raise StaleNumbersError(proposal.clashes[0])
        if proposal.seen != seen:
            raise StaleNumbersError(
                _("The plan or a number has changed since. Look at the list again, then confirm.")
            )
        changed = proposal.changed
        _keep_old_numbers(changed, day)
        held = {row.old for row in changed}
        for row in changed:
            if row.new in held:
                _write(row.opening, f"{BETWEEN}{row.opening.pk.hex[-20:]}")
        for row in changed:
            _write(row.opening, row.new)
    return len(changed)


def _keep_old_numbers(changed: list[NewNumber], day: date) -> None:
    system = _("before the renumbering of %(day)s") % {"day": day.isoformat()}
    for row in changed:
        OlderNumber.objects.get_or_create(opening=row.opening, number=row.old, system=system)


def _write(opening: Opening, number: str) -> None:
    opening.number = number
    fill_opening(opening).save(update_fields=["number", "order"])
