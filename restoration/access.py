"""The one way to an estimate, a quote or a rate book; see `sites.access`."""

from typing import TypeVar
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.http import Http404

from restoration.models import (
    Estimate,
    LabourRate,
    Material,
    Norm,
    Quote,
    RateBook,
    RepairAction,
    SharedCost,
)
from sites.access import fetch, studio_abilities
from sites.compute.roles import PRICE, READ_COSTS, READ_QUOTES
from sites.models import Studio, User

Row = TypeVar("Row")


def estimate_for(user: User, key: UUID, ability: str = READ_COSTS) -> Estimate:
    """Return an estimate. Whoever may not see costs is not told that there is one."""
    rows = Estimate.objects.select_related("building__studio", "rate_book", "survey")
    return fetch(user, rows, key, lambda row: row.building, ability, to_know=READ_COSTS)


def action_for(user: User, key: UUID, ability: str = PRICE) -> RepairAction:
    rows = RepairAction.objects.select_related(
        "estimate__building__studio",
        "estimate__rate_book",
        "estimate__survey",
        "kind",
        "opening",
        "panel",
        "attached_item",
    )
    return fetch(user, rows, key, lambda row: row.estimate.building, ability, to_know=READ_COSTS)


def shared_cost_for(user: User, key: UUID, ability: str = PRICE) -> SharedCost:
    rows = SharedCost.objects.select_related("estimate__building__studio", "estimate__rate_book")
    return fetch(user, rows, key, lambda row: row.estimate.building, ability, to_know=READ_COSTS)


def quote_for(user: User, key: UUID, ability: str = READ_QUOTES) -> Quote:
    """Return an issued quote. Whoever may not read quotes is not told that there is one."""
    rows = Quote.objects.select_related(
        "building__studio", "estimate", "issued_by", "supersedes", "superseded_by"
    )
    return fetch(user, rows, key, lambda row: row.building, ability, to_know=READ_QUOTES)


def rate_book_for(user: User, key: UUID) -> RateBook:
    """Return a rate book, to a user who prices for the whole of its studio."""
    book = RateBook.objects.select_related("studio").filter(pk=key).first()
    return _for_the_studio(user, book, book.studio if book else None)


def labour_rate_for(user: User, key: UUID) -> LabourRate:
    rate = LabourRate.objects.select_related("rate_book__studio").filter(pk=key).first()
    return _for_the_studio(user, rate, rate.rate_book.studio if rate else None)


def material_for(user: User, key: UUID) -> Material:
    material = Material.objects.select_related("rate_book__studio").filter(pk=key).first()
    return _for_the_studio(user, material, material.rate_book.studio if material else None)


def norm_for(user: User, key: UUID) -> Norm:
    norm = Norm.objects.select_related("rate_book__studio", "action_kind").filter(pk=key).first()
    return _for_the_studio(user, norm, norm.rate_book.studio if norm else None)


def _for_the_studio(user: User, row: Row | None, studio: Studio | None) -> Row:
    """Return the row to those who price for its whole studio: rates belong to no building."""
    if row is None or studio is None:
        raise Http404
    allowed = studio_abilities(user, studio)
    if READ_COSTS not in allowed:
        raise Http404
    if PRICE not in allowed:
        raise PermissionDenied
    return row
