"""From an estimate's rows to what it is priced from, and its price."""

from collections import defaultdict
from typing import cast
from uuid import UUID

from django.utils.translation import gettext as _

from restoration.compute.estimate import price_estimate
from restoration.compute.estimate_inputs import (
    ActionInput,
    LabourUse,
    MaterialUse,
    Option,
    Percentages,
    SharedKind,
    SharedLine,
)
from restoration.compute.estimate_lines import PricedEstimate
from restoration.models import Estimate, RateBook, RepairAction

UNIT_SIGNS = {"m2": "m²"}

Labour = dict[UUID, tuple[LabourUse, ...]]
Materials = dict[UUID, tuple[MaterialUse, ...]]


def price(estimate: Estimate) -> PricedEstimate:
    """Return the estimate priced with its rate book, in a fixed number of queries.

    Raises EstimateError, naming the line, for one that cannot be priced yet.
    """
    return price_estimate(
        action_inputs(estimate),
        shared_lines(estimate),
        percentages(estimate),
        estimate.rate_book.currency,
    )


def action_inputs(estimate: Estimate) -> tuple[ActionInput, ...]:
    """Return what each action of the estimate is priced from; `key` is the action's key."""
    labour, materials = _labour(estimate.rate_book), _materials(estimate.rate_book)
    actions = estimate.actions.select_related("kind", "opening", "panel", "attached_item")
    places = {
        key: place
        for place, key in enumerate(estimate.building.openings.values_list("pk", flat=True))
    }
    return tuple(
        _input(
            action,
            places[action.opening_id],
            labour.get(action.kind_id, ()),
            materials.get(action.kind_id, ()),
        )
        for action in actions
    )


def shared_lines(estimate: Estimate) -> tuple[SharedLine, ...]:
    """Return the estimate's shared costs; `key` is the cost's key."""
    return tuple(
        SharedLine(
            key=str(cost.pk),
            kind=cast("SharedKind", cost.kind),
            description=cost.description,
            amount=cost.amount,
            phase=cost.phase,
        )
        for cost in estimate.shared_costs.all()
    )


def percentages(estimate: Estimate) -> Percentages:
    """Return the rate book's percentages with the estimate's own contingency."""
    book = estimate.rate_book
    return Percentages(
        overhead=book.overhead,
        profit=book.profit,
        contingency=estimate.contingency,
        tax=book.tax,
        tax_name=book.tax_name,
        contingency_reason=estimate.contingency_reason,
    )


def subject_words(action: RepairAction) -> str:
    """Return what the work is done on, within its opening: `panel 3b`, `Plaque P1`."""
    if action.attached_item is not None:
        return f"{action.attached_item.get_kind_display()} {action.attached_item.number}"
    if action.panel is not None:
        return _("panel %(number)s") % {"number": action.panel.number}
    return _("the whole window")


def _input(
    action: RepairAction,
    place: int,
    labour: tuple[LabourUse, ...],
    materials: tuple[MaterialUse, ...],
) -> ActionInput:
    unit = action.kind.unit
    return ActionInput(
        key=str(action.pk),
        opening=action.opening.number,
        opening_order=place,
        subject=subject_words(action),
        description=action.kind.name,
        plain=action.scope or action.kind.plain,
        unit=UNIT_SIGNS.get(unit, unit),
        quantity=action.quantity,
        labour=labour,
        materials=materials,
        difficulty=action.difficulty,
        lump_sum=action.lump_sum,
        lump_sum_reason=action.lump_sum_reason,
        option=cast("Option", action.option),
        phase=action.phase,
    )


def _labour(book: RateBook) -> Labour:
    """Return the hours of each kind of action, at the book's rates."""
    found: dict[UUID, list[LabourUse]] = defaultdict(list)
    for norm in book.norms.select_related("labour_rate").order_by("labour_rate__trade"):
        found[norm.action_kind_id].append(
            LabourUse(
                trade=norm.labour_rate.trade,
                hours_per_unit=norm.hours_per_unit,
                setup_hours=norm.setup_hours,
                hourly_rate=norm.labour_rate.hourly,
            )
        )
    return {key: tuple(uses) for key, uses in found.items()}


def _materials(book: RateBook) -> Materials:
    found: dict[UUID, list[MaterialUse]] = defaultdict(list)
    for use in book.norm_materials.select_related("material").order_by("material__code"):
        material = use.material
        found[use.action_kind_id].append(
            MaterialUse(
                code=material.code,
                name=material.name,
                unit=material.unit,
                quantity_per_unit=use.quantity_per_unit,
                waste_percent=material.waste,
                price_per_unit=material.price,
            )
        )
    return {key: tuple(uses) for key, uses in found.items()}
