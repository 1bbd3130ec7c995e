"""A new rate book from an older one: last year's figures are where this year's begin."""

import logging
from datetime import date
from uuid import UUID

from django.db import transaction

from restoration.models import LabourRate, Material, Norm, NormMaterial, RateBook
from sites.keys import uuid7

logger = logging.getLogger(__name__)

COPIED = (
    "studio_id",
    "currency",
    "overhead",
    "profit",
    "contingency",
    "tax_name",
    "tax",
    "payment_shares",
    "valid_days",
)


@transaction.atomic
def copy_rate_book(
    older: RateBook, *, name: str, valid_from: date, key: UUID | None = None
) -> RateBook:
    """Return a new book with every rate, price, norm and percentage of the older one.

    key: of the new row, where the caller has made one already.
    """
    copied = {field: getattr(older, field) for field in COPIED}
    book = RateBook.objects.create(id=key or uuid7(), name=name, valid_from=valid_from, **copied)
    rates = {
        rate.pk: LabourRate(rate_book=book, trade=rate.trade, hourly=rate.hourly)
        for rate in older.labour_rates.all()
    }
    LabourRate.objects.bulk_create(rates.values())
    Norm.objects.bulk_create(
        Norm(
            rate_book=book,
            action_kind_id=norm.action_kind_id,
            labour_rate=rates[norm.labour_rate_id],
            hours_per_unit=norm.hours_per_unit,
            setup_hours=norm.setup_hours,
        )
        for norm in older.norms.all()
    )
    _copy_materials(older, book)
    logger.info("rate book %s copied from %s", book.pk, older.pk)
    return book


def _copy_materials(older: RateBook, book: RateBook) -> None:
    copies = {
        material.pk: Material(
            rate_book=book,
            code=material.code,
            name=material.name,
            unit=material.unit,
            price=material.price,
            waste=material.waste,
        )
        for material in older.materials.all()
    }
    Material.objects.bulk_create(copies.values())
    NormMaterial.objects.bulk_create(
        NormMaterial(
            rate_book=book,
            action_kind_id=use.action_kind_id,
            material=copies[use.material_id],
            quantity_per_unit=use.quantity_per_unit,
        )
        for use in older.norm_materials.all()
    )
