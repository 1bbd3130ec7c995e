"""Values of a folder that are out of their usual range: asked about before they are taken in."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from restoration.compute.visit_folder.problems import Problem, alike
from restoration.compute.visit_folder.rows import Rows, SizedRow
from sites.compute.lengths import Length
from sites.compute.plausible import implausible
from sites.compute.typed_numbers import number_for_box

# The sheets' rows, and of each heading what it is the size of: a key of `USUAL`.
ASKED: Final[dict[str, dict[str, str]]] = {
    "openings": {"width": "opening width", "height": "opening height"},
    "panels": {
        "width": "panel width",
        "height": "panel height",
        "glass thickness": "glass thickness",
    },
    "items": {
        "width": "item width",
        "height": "item height",
        "thickness": "item thickness",
        "letter height": "letter height",
        "weight in kg": "item mass",
    },
    "actions": {"lump sum": "sum"},
    "shared_costs": {"amount": "sum"},
}
ATTRIBUTES: Final = {"weight in kg": "weighed_kg"}


def check_plausible(rows: Rows) -> Iterator[Problem]:
    """Yield a problem for every value out of its usual range that its row does not say is right.

    The column `sure` says so: heading and value, as `width 12 mm`; several apart by `;`.
    """
    currency = (rows.building.currency if rows.building else None) or ""
    for sheet, quantities in ASKED.items():
        for row in getattr(rows, sheet):
            yield from _questions(row, quantities, currency)


def _questions(row: SizedRow, quantities: dict[str, str], currency: str) -> Iterator[Problem]:
    sure = {alike(each) for each in row.sure or ()}
    for heading, quantity in quantities.items():
        value: Length | Decimal | None = getattr(
            row, ATTRIBUTES.get(heading, heading.replace(" ", "_"))
        )
        if value is None:
            continue
        amount, typed = _amount(value)
        question = implausible(quantity, amount, currency)
        answer = f"{heading} {typed}"
        if question is not None and alike(answer) not in sure:
            possible = f"{question.usual} If it is right, write “{answer}” in the column sure."
            yield row.at.problem(heading, question.asked, possible)


def _amount(value: Length | Decimal) -> tuple[Decimal, str]:
    if isinstance(value, Length):
        return value.mm, value.typed
    return value, number_for_box(value)
